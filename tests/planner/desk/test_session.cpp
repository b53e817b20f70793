#include "planner/desk/session.hpp"

#include <catch2/catch.hpp>
#include <fstream>
#include <set>
#include <sstream>

#include "planner/desk/pairing_page.hpp"
#include "planner/desk/routes.hpp"

namespace nestround::desk {
namespace {

using std::chrono::hours;
using std::chrono::seconds;

Request asking(const std::string& path, const Headers& headers)
{
    Request request;
    request.path = path;
    request.headers = headers;
    request.session = request.header("Nestround-Session");
    return request;
}

Gate gate_of(Pairing* pairing = nullptr)
{
    Gate gate;
    gate.hosts = {"127.0.0.1:8137", "localhost:8137"};
    gate.token = "secret";
    gate.pairing = pairing;
    return gate;
}

int status(const Gate& gate, const Request& request, Pairing::Clock::time_point now = {})
{
    const auto refused = gate.refusal(request, now);
    return refused ? refused->status : 200;
}

}  // namespace

TEST_CASE("Gate, LetsInOnlyWhoKnowsItsName")
{
    const auto gate = gate_of();
    CHECK(status(gate, asking("/", {{"Host", "127.0.0.1:8137"}})) == 200);
    CHECK(status(gate, asking("/", {{"Host", "LocalHost:8137"}})) == 200);
    CHECK(status(gate, asking("/", {{"Host", "127.0.0.1"}})) == 403);
    CHECK(status(gate, asking("/", {})) == 403);
    CHECK(status(gate, asking("/", {{"Host", "127.0.0.1:8137"}, {"Origin", "null"}})) == 403);
    CHECK(status(gate, asking("/", {{"Host", "127.0.0.1:8137"},
                                    {"Origin", "http://localhost:8137"}})) == 200);
    CHECK(status(gate, asking("/", {{"Host", "127.0.0.1:8137"},
                                    {"Origin", "https://localhost:8137"}})) == 403);
}

TEST_CASE("Gate, WantsTheTokenForEveryChange")
{
    const auto gate = gate_of();
    Headers headers{{"Host", "127.0.0.1:8137"}, {"Content-Length", "0"}};
    for (const Method method : {Method::Post, Method::Put, Method::Patch, Method::Delete}) {
        headers.erase("Nestround-Session");
        auto request = asking("/api/calls", headers);
        request.method = method;
        CHECK(status(gate, request) == 403);
        headers["Nestround-Session"] = "secret";
        request = asking("/api/calls", headers);
        request.method = method;
        CHECK(status(gate, request) == 200);
    }
}

TEST_CASE("Secrets, AreComparedWhole")
{
    CHECK(same_secret("abc", "abc"));
    CHECK_FALSE(same_secret("abc", "abd"));
    CHECK_FALSE(same_secret("abc", "ab"));
    CHECK_FALSE(same_secret("", "a"));
    std::set<std::string> tokens;
    for (int i = 0; i < 100; ++i) {
        tokens.insert(random_token());
    }
    CHECK(tokens.size() == 100);
    CHECK(tokens.begin()->size() == 64);
}

TEST_CASE("Pairing, CodesAreGoodOnceAndFiveWrongOnesLock")
{
    Pairing pairing;
    const Pairing::Clock::time_point now{hours{1}};
    const auto code = pairing.code();
    REQUIRE(code.size() == 8);
    const auto device = pairing.pair(code, now);
    REQUIRE(device);
    CHECK(pairing.knows(*device, now));
    CHECK_FALSE(pairing.knows(*device, now + Pairing::kLasts + seconds{1}));
    CHECK_FALSE(pairing.knows("", now));
    CHECK(pairing.code() != code);
    CHECK_FALSE(pairing.pair(code, now));
    for (int i = 1; i < Pairing::kMostWrong; ++i) {
        CHECK_FALSE(pairing.locked(now));
        CHECK_FALSE(pairing.pair("wrong", now));
    }
    CHECK(pairing.locked(now));
    CHECK_FALSE(pairing.pair(pairing.code(), now));
    const auto later = now + Pairing::kLocked;
    CHECK(pairing.pair(pairing.code().substr(0, 4) + "-" + pairing.code().substr(4), later));

    const auto gate = gate_of(&pairing);
    const Headers known{{"Host", "127.0.0.1:8137"},
                        {"Cookie", "a=b; nestround-device=" + *device + "; c=d"}};
    CHECK(status(gate, asking("/api/state", known), now) == 200);
    CHECK(status(gate, asking("/api/state", {{"Host", "127.0.0.1:8137"}}), now) == 401);
    CHECK(status(gate, asking("/pair", {{"Host", "127.0.0.1:8137"}}), now) == 200);
}

TEST_CASE("PairingPage, PutsNothingTypedIntoMarkup")
{
    Pairing pairing;
    Request request;
    request.path = "/pair";
    request.query.emplace("code", "\"><script>AB12");
    const auto page = pairing_page(pairing, request);
    CHECK(page.body.find("<script") == std::string::npos);
    CHECK(page.body.find("value=\"scriptAB12\"") != std::string::npos);
}

TEST_CASE("Document, HoldsEveryRoute")
{
    std::ifstream file{NESTROUND_SOURCE_DIR "/planner/desk/openapi.json"};
    std::stringstream text;
    text << file.rdbuf();
    const auto document = Json::parse(text.str());
    std::set<std::string> written;
    for (const auto& [path, item] : document["paths"].items()) {
        for (const auto& [method, operation] : item.items()) {
            std::string word = method;
            for (char& c : word) {
                c = static_cast<char>(c - 'a' + 'A');
            }
            written.insert(word + " " + path);
        }
    }
    std::set<std::string> there{"GET /pair", "POST /pair"};  // of the server itself
    for (const auto& table : all_tables()) {
        for (const Route& route : table) {
            if (!route.path.ends_with('/')) {  // the same as without
                there.insert(std::string{desk::text(route.method)} + " " + std::string{route.path});
            }
        }
    }
    CHECK(written == there);
}

}  // namespace nestround::desk
