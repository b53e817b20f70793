// Power cuts, two at once, and a clock set back: with real processes.
#include <fcntl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <set>
#include <thread>

#include "geocore/base/random.hpp"
#include "tests/cli/freezer_scene.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;
using namespace std::chrono_literals;

namespace {

/// Starts `nestround` with these words; its output goes nowhere.
pid_t start(const std::vector<std::string>& words)
{
    std::vector<char*> arguments;
    std::vector<std::string> all{NESTROUND_PROGRAM};
    all.insert(all.end(), words.begin(), words.end());
    for (auto& word : all) {
        arguments.push_back(word.data());
    }
    arguments.push_back(nullptr);
    const pid_t child = fork();
    if (child == 0) {
        const int nowhere = open("/dev/null", O_RDWR);
        dup2(nowhere, 0);
        dup2(nowhere, 1);
        dup2(nowhere, 2);
        execv(NESTROUND_PROGRAM, arguments.data());
        _exit(127);
    }
    return child;
}

int wait_for(pid_t child)
{
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/// How long the command takes when nobody kills it.
template <class Step>
std::chrono::microseconds duration_of(Step step)
{
    const auto begun = std::chrono::steady_clock::now();
    step();
    return std::chrono::duration_cast<std::chrono::microseconds>(std::chrono::steady_clock::now() -
                                                                 begun);
}

/// Sealed lots are whole: parents, a place, and a link for each.
void check_whole(const FreezerScene& scene)
{
    CHECK(scene.ask("SELECT count(*) FROM lot WHERE sealed_at IS NULL") == "0");
    CHECK(scene.ask("SELECT count(*) FROM lot WHERE id NOT IN (SELECT lot_id FROM lot_parent)") ==
          "0");
    CHECK(scene.ask("SELECT count(*) FROM lot WHERE id NOT IN (SELECT lot_id FROM lot_move)") ==
          "0");
    const auto check = scene.run({"book", "check", scene.book});
    INFO(check.out);
    CHECK(check.code == 0);
}

}  // namespace

TEST_CASE("LotFaults, ASealKilledAtAnyMomentLeavesNoHalfAndNoDoubleLot")
{
    const FreezerScene scene;
    // Thirty more catches of one kind.
    std::string calls = "key,received,lon,lat,place,species,nest_kind\n";
    std::string catches = "call,taken,method,species,mass_g\n";
    for (int i = 0; i < 30; ++i) {
        const auto key = "M" + std::to_string(i);
        calls += key + ",2025-07-20,-77.1,41.2,p" + key + ",Vespula germanica,void\n";
        catches += key + ",2025-08-20,hand,VGER," + std::to_string(10 + i) + "\n";
    }
    REQUIRE(scene.run({"call", "import", scene.book, scene.folder.write("c.csv", calls)}).code ==
            0);
    REQUIRE(scene.run({"catch", "import", scene.book, scene.folder.write("t.csv", catches)}).code ==
            0);
    const auto whole = duration_of([&] { (void)scene.seal("K1"); });
    Random random{11};
    int killed_before = 0;
    int killed_after = 0;
    for (int i = 0; i < 30; ++i) {
        const auto words = scene.seal_words("M" + std::to_string(i));
        const pid_t child = start(words);
        std::this_thread::sleep_for(whole * static_cast<long>(random.below(110)) / 100);
        kill(child, SIGKILL);
        (void)wait_for(child);
        // The same command again: it seals what the cut left undone, or says that it was done.
        const auto again = scene.run(words);
        INFO(again.err);
        if (again.code == 0) {
            ++killed_before;
        } else {
            CHECK_THAT(again.err, Contains("nothing of its nest is loose"));
            ++killed_after;
        }
        REQUIRE(scene.count("lot") == 2 + i);
    }
    UNSCOPED_INFO("cut before the end " << killed_before << ", after " << killed_after);
    CHECK(killed_before > 0);
    CHECK(scene.ask("SELECT count(*) FROM lot_parent") ==
          scene.ask("SELECT count(DISTINCT catch_id) FROM lot_parent"));
    check_whole(scene);
}

TEST_CASE("LotFaults, AShipmentKilledAtAnyMomentLeavesNoHalfAndNothingTwice")
{
    const FreezerScene scene;
    std::vector<std::string> codes;
    codes.push_back(scene.seal("K1"));
    codes.push_back(scene.seal("K2"));
    codes.push_back(scene.seal("K3"));
    codes.push_back(scene.seal("K4"));
    Random random{12};
    std::chrono::microseconds whole{30000};
    for (std::size_t i = 0; i < codes.size(); ++i) {
        const std::vector<std::string> words{"lot",   "ship", scene.book, codes[i],
                                             "--who", "ada",  "--to",     scene.folder / "out-"};
        for (int round = 0; round < 5; ++round) {
            const pid_t child = start(words);
            std::this_thread::sleep_for(whole * static_cast<long>(random.below(100)) / 100);
            kill(child, SIGKILL);
            (void)wait_for(child);
        }
        const auto took = duration_of([&] {
            const auto last = scene.run(words);
            INFO(last.err);
            if (last.code != 0) {
                CHECK_THAT(last.err, Contains("lot " + codes[i] + ": it was shipped on"));
            }
        });
        whole = std::max(whole, took);
        REQUIRE(scene.ask("SELECT count(*) FROM shipment") == std::to_string(i + 1));
        REQUIRE(scene.ask("SELECT count(*) FROM shipment_lot") == std::to_string(i + 1));
        // What the cut kept from the printer can be had.
        CHECK(scene.run({"lot", "papers", scene.book, codes[i], "--to", scene.folder / "out-"})
                  .code == 0);
    }
    check_whole(scene);
}

TEST_CASE("LotFaults, TwoProcessesSealTheSameCatchAndOneIsTold")
{
    const FreezerScene scene;
    for (const auto* call : {"K1", "K2", "K3"}) {
        const auto words = scene.seal_words(call);
        std::vector<pid_t> children;
        for (int i = 0; i < 4; ++i) {
            children.push_back(start(words));
        }
        int sealed = 0;
        int told = 0;
        for (const auto child : children) {
            const int code = wait_for(child);
            sealed += code == 0 ? 1 : 0;
            told += code == 11 || code == 10 ? 1 : 0;
        }
        CHECK(sealed == 1);
        CHECK(told == 3);
    }
    CHECK(scene.count("lot") == 3);
    check_whole(scene);
}

TEST_CASE("LotFaults, TwoProcessesSealDifferentCatchesAndBothWait")
{
    const FreezerScene scene;
    std::vector<pid_t> children;
    for (const auto* call : {"K1", "K2", "K3", "K4"}) {
        children.push_back(start(scene.seal_words(call)));
    }
    for (const auto child : children) {
        CHECK(wait_for(child) == 0);
    }
    CHECK(scene.count("lot") == 4);
    check_whole(scene);
}

TEST_CASE("LotFaults, ABookHeldByAnotherIsToldAndLeftAsItWas")
{
    const FreezerScene scene;
    sqlite3* other = nullptr;
    REQUIRE(sqlite3_open(scene.book.c_str(), &other) == SQLITE_OK);
    REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
    const auto told = scene.run(scene.seal_words("K1"));
    CHECK(told.code == 20);
    CHECK_THAT(told.err, Contains("another"));
    sqlite3_exec(other, "ROLLBACK", nullptr, nullptr, nullptr);
    sqlite3_close(other);
    CHECK(scene.count("lot") == 0);
    CHECK(scene.run(scene.seal_words("K1")).code == 0);
}

TEST_CASE("LotFaults, AClockSetBackIsNoticedAndMustBeConfirmed")
{
    const FreezerScene scene;
    const auto first = scene.seal("K1", "2025-09-02T08:00:00Z");
    auto words = scene.seal_words("K2", "2025-09-01T08:00:00Z");
    const auto told = scene.run(words);
    CHECK(told.code == 10);
    CHECK_THAT(told.err, Contains("the clock says 2025-09-01T08:00:00.000Z"));
    CHECK_THAT(told.err, Contains("2025-09-02T08:00:00.000Z"));
    CHECK_THAT(told.err, Contains("--clock-is-right"));
    CHECK(scene.count("lot") == 1);
    words.emplace_back("--clock-is-right");
    CHECK(scene.run(words).code == 0);
    CHECK(scene.count("lot") == 2);
    check_whole(scene);
}
