#include "tests/planner/desk/rooms_scene.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

void add(std::string& to, std::initializer_list<int> bytes)
{
    for (const int byte : bytes) {
        to.push_back(static_cast<char>(byte));
    }
}

/// Exif, big-endian: 41 deg 12 min 30 s N, 77 deg 0 min 0 s W, 4 August 2026 07:12:30, +02:00 or
/// none.
std::string exif(bool with_offset)
{
    std::string e{"MM\0\x2a\0\0\0\x08", 8};
    // At 8: a directory of two pointers.
    add(e, {0, 2, 0x87, 0x69, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38});
    add(e, {0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 110, 0, 0, 0, 0});
    // At 38: taken, and the offset.
    add(e, {0, with_offset ? 2 : 1, 0x90, 0x03, 0, 2, 0, 0, 0, 20, 0, 0, 0, 68});
    add(e, {0x90, 0x11, 0, 2, 0, 0, 0, 7, 0, 0, 0, 88, 0, 0, 0, 0});
    e += std::string{"2026:08:04 07:12:30\0", 20};  // at 68
    e += std::string{"+02:00\0", 7};                // at 88
    e.resize(110, '\0');
    add(e, {0, 4, 0, 1, 0, 2, 0, 0, 0, 2, 'N', 0, 0, 0});
    add(e, {0, 2, 0, 5, 0, 0, 0, 3, 0, 0, 0, 164, 0, 3, 0, 2, 0, 0, 0, 2, 'W', 0, 0, 0});
    add(e, {0, 4, 0, 5, 0, 0, 0, 3, 0, 0, 0, 188, 0, 0, 0, 0});
    for (const int value : {41, 12, 30, 77, 0, 0}) {  // at 164
        add(e, {0, 0, 0, value, 0, 0, 0, 1});
    }
    return e;
}

std::string jpeg(bool with_offset = true)
{
    const auto body = std::string{"Exif\0\0", 6} + exif(with_offset);
    std::string file{"\xFF\xD8\xFF\xE1", 4};
    add(file,
        {static_cast<int>((body.size() + 2) >> 8U), static_cast<int>((body.size() + 2) & 255U)});
    file += body;
    add(file, {0xFF, 0xC0, 0, 11, 8, 0, 30, 0, 40, 1, 1, 0x11, 0, 0xFF, 0xD9});
    return file;
}

struct Photos : RoomScene {
    desk::Answer send(const std::string& bytes, std::multimap<std::string, std::string> query = {})
    {
        desk::Request request;
        request.method = desk::Method::Post;
        request.path = "/api/photos";
        request.query = std::move(query);
        request.headers["content-type"] = "image/jpeg";
        request.person = "Ada";
        request.body = bytes;
        return desk::answer(*desk, request);
    }
};

}  // namespace

TEST_CASE("PhotoRoom, PositionAndTimeAreRead")
{
    Photos scene;
    const auto answer = scene.send(jpeg(), {{"call", scene.call(0)}});
    INFO(answer.body);
    REQUIRE(answer.status == 201);
    const auto body = body_of(answer);
    CHECK(body["width_px"] == 40);
    CHECK(body["height_px"] == 30);
    CHECK(body["place"]["lat"].get<double>() == Approx(41.2083333).epsilon(1e-7));
    CHECK(body["place"]["lon"].get<double>() == Approx(-77.0));
    CHECK(body["taken"] == "2026-08-04T05:12:30.000Z");
    const auto shown = scene.get("/api/photos/" + body["id"].get<std::string>());
    CHECK(shown.content_type == "image/jpeg");
    CHECK(shown.body == jpeg());
    CHECK(body_of(scene.get("/api/calls/" + scene.call(0)))["photos"].size() == 1);
    // Without an offset the camera shows the clock of the book: New York, four hours behind.
    CHECK(body_of(scene.send(jpeg(false)))["taken"] == "2026-08-04T11:12:30.000Z");
}

TEST_CASE("PhotoRoom, ContentCountsAndNotWhatTheBrowserSays")
{
    Photos scene;
    CHECK(scene.send("<svg onload='x'>").status == 415);
    CHECK(scene.send("GIF89a....").status == 415);
    CHECK(scene.send("").status == 422);
    CHECK(scene.send(std::string(12'000'001, 'x')).status == 413);
    const auto whole = jpeg();
    std::size_t taken = 0;
    for (std::size_t length = 0; length < whole.size(); ++length) {
        taken += scene.send(whole.substr(0, length)).status == 201 ? 1U : 0U;
    }
    CHECK(taken <= 6);  // what follows the frame's size is the picture itself
    CHECK(scene.get("/api/photos/nothing").status == 404);
    CHECK(scene.get("/api/photos/5a0c3a7e-1b1d-4c7e-9f00-0123456789ab").status == 404);
}

TEST_CASE("PhotoRoom, APhotoSentAgainIsThereOnceAndCanBeTakenBack")
{
    Photos scene;
    const std::string id = "5a0c3a7e-1b1d-4c7e-9f00-0123456789ab";
    CHECK(scene.send(jpeg(), {{"id", id}}).status == 201);
    CHECK(scene.send(jpeg(), {{"id", id}}).status == 200);
    CHECK(scene.send(jpeg(false), {{"id", id}}).status == 409);
    // Taken before the call was entered, and then linked to it.
    const auto call = scene.post(
        "/api/calls", {{"site_name", "new"}, {"lon", -77.001}, {"lat", 41.2005}, {"photos", {id}}});
    INFO(call.body);
    REQUIRE(call.status == 201);
    CHECK(body_of(call)["photos"][0]["id"] == id);
    CHECK(scene.by("Ada", desk::Method::Post, "/api/undo").status == 200);
    CHECK(scene.get("/api/photos/" + id).status == 200);
    const desk::Json unknown{{"site_name", "new"},
                             {"lon", -77.001},
                             {"lat", 41.2005},
                             {"photos", {"5a0c3a7e-1b1d-4c7e-9f00-0123456789ac"}}};
    CHECK(scene.post("/api/calls", unknown).status == 404);
}
