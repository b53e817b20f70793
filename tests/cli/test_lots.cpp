// nestround lot and nestround order, as typed: from catches to a laboratory's shelf and back.
#include <fmt/format.h>

#include <array>
#include <cctype>
#include <cstdio>
#include <filesystem>

#include "tests/cli/freezer_scene.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;

namespace {

std::string shell(const std::string& command)
{
    std::string out;
    FILE* pipe = popen((command + " 2>/dev/null").c_str(), "r");
    REQUIRE(pipe != nullptr);
    std::array<char, 512> part{};
    while (fgets(part.data(), static_cast<int>(part.size()), pipe) != nullptr) {
        out += part.data();
    }
    pclose(pipe);
    return out;
}

}  // namespace

TEST_CASE("Lots, ASealedLotIsListedShownAndTracedBackToItsCalls")
{
    const FreezerScene scene;
    const auto code = scene.seal("K1,K2");
    const auto list = scene.run({"lot", "list", scene.book});
    CHECK_THAT(list.out, Contains(code));
    CHECK_THAT(list.out, Contains("52.0 g"));
    CHECK_THAT(list.out, Contains("freezer A, shelf 2, box 7"));
    const auto show = scene.run({"lot", "show", scene.book, code});
    CHECK_THAT(show.out, Contains("Vespula germanica (VGER)"));
    CHECK_THAT(show.out, Contains("on dry ice"));
    CHECK_THAT(show.out, Contains("by ada"));
    const auto trace = scene.run({"lot", "trace", scene.book, code});
    CHECK(trace.code == 0);
    CHECK_THAT(trace.out, Contains("├─ catch "));
    CHECK_THAT(trace.out, Contains("received 2025-07-20"));
    CHECK_THAT(trace.out, Contains("received 2025-07-25"));
    // Small letters, without the hyphen.
    std::string typed;
    for (const char c : code) {
        if (c != '-') {
            typed += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
        }
    }
    CHECK(scene.run({"lot", "trace", scene.book, typed}).out == trace.out);
    CHECK(scene.run({"book", "check", scene.book}).code == 0);
}

TEST_CASE("Lots, NoClientAndNoPlaceLeavesWithATraceOrAPaper")
{
    const FreezerScene scene;
    const auto code = scene.seal("K1,K2");
    REQUIRE(scene
                .run({"lot", "ship", scene.book, code, "--who", "ada", "--on", "2025-09-01", "--to",
                      scene.folder / "out-"})
                .code == 0);
    std::string all = scene.run({"lot", "trace", scene.book, code}).out +
                      scene.run({"lot", "recall", scene.book, code}).out +
                      scene.run({"lot", "list", scene.book}).out;
    REQUIRE(
        scene.run({"lot", "trace", scene.book, code, "--picture", scene.folder / "t.svg"}).code ==
        0);
    const auto svg = bytes_of(scene.folder / "t.svg");
    CHECK(svg.find("Rosalind") == std::string::npos);
    all += bytes_of(scene.folder / "out-certificate.txt") +
           bytes_of(scene.folder / "out-packing-list.txt") +
           shell("pdftotext -layout " + (scene.folder / "out-certificate.pdf") + " -") +
           shell("pdftotext -layout " + (scene.folder / "out-packing-list.pdf") + " -");
    CHECK_THAT(all, Contains(code));
    for (const auto* secret : {"Rosalind", "555-0100", "mill", "barn", "41.2", "77.1"}) {
        INFO(secret);
        CHECK(all.find(secret) == std::string::npos);
    }
}

TEST_CASE("Lots, WhatIsInABagIsRefusedByName")
{
    const FreezerScene scene;
    const auto code = scene.seal("K1");
    const auto again = scene.run(scene.seal_words("K1"));
    CHECK(again.code == 11);
    CHECK_THAT(again.err, Contains("nothing of its nest is loose"));
    const auto key = scene.key_of_catch("K1");
    auto words = scene.seal_words("");
    words.insert(words.end(), {"--catch", key});
    const auto named = scene.run(words);
    CHECK(named.code == 10);
    CHECK_THAT(named.err, Contains("catch " + key + ": it is in lot " + code + " already"));
    CHECK(scene.count("lot") == 1);
}

TEST_CASE("Lots, MixedOrPoisonedOrUnnamedIsRefusedByName")
{
    const FreezerScene scene;
    const auto mixed = scene.run(scene.seal_words("K1,K4"));
    CHECK(mixed.code == 10);
    CHECK_THAT(mixed.err, Contains("a lot has one species"));
    const auto poisoned = scene.run(scene.seal_words("K5"));
    CHECK(poisoned.code == 10);
    CHECK_THAT(poisoned.err, Contains("had insecticide"));
    auto words = scene.seal_words("K5");
    words.emplace_back("--for-other");
    CHECK(scene.run(words).code == 0);
    const auto impure = [&](const char* grams) {
        auto with = scene.seal_words("K1");
        with.insert(with.end(), {"--foreign", grams});
        return scene.run(with);
    };
    CHECK_THAT(impure("5").err, Contains("more than the rule"));
    CHECK(impure("0.1").code == 0);
}

TEST_CASE("Lots, ALargeCatchIsSharedInWeighedParts")
{
    const FreezerScene scene;
    const auto key = scene.key_of_catch("K3");  // 41 g
    const auto part = [&](const char* grams, bool again) {
        auto words = scene.seal_words("");
        words.insert(words.end(), {"--catch", key + "=" + grams});
        if (again) {
            words.emplace_back("--again");
        }
        return scene.run(words);
    };
    CHECK(part("20", false).code == 0);
    const auto same = part("20", false);
    CHECK(same.code == 10);
    CHECK_THAT(same.err, Contains("just this in it is there already"));
    CHECK(part("20", true).code == 0);
    const auto more = part("2", false);
    CHECK(more.code == 13);
    CHECK_THAT(more.err, Contains("more than the whole"));
    CHECK_THAT(scene.run({"lot", "loose", scene.book}).out, Contains("1.0 g left"));
}

TEST_CASE("Lots, ALabelHasAQrCodeThatAnotherProgramReadsAndIsAlwaysTheSame")
{
    const FreezerScene scene;
    const auto first = scene.seal("K1");
    const auto second = scene.seal("K3");
    const auto pdf = scene.folder / "labels.pdf";
    for (const auto* size : {"63x38", "50x25", "100x60", "38x21"}) {
        INFO(size);
        REQUIRE(scene
                    .run({"lot", "label", scene.book, first, second, "--to", pdf, "--label", size,
                          "--sheet", "letter", "--skip", "2"})
                    .code == 0);
        shell(fmt::format("pdftoppm -r 300 -png {0} {0}", pdf));
        const auto read = shell(fmt::format("zbarimg --nodbus -q --raw {}-1.png", pdf));
        CHECK_THAT(read, Contains(first));
        CHECK_THAT(read, Contains(second));
        const auto words = shell("pdftotext -layout " + pdf + " -");
        CHECK_THAT(words, Contains(first));
        CHECK_THAT(words, Contains("Vespula germanica"));
        CHECK_THAT(words, Contains("frozen 2025-08-01"));
        CHECK_THAT(words, Contains("22.0 g net"));
    }
    const auto print = [&](const std::string& name) {
        REQUIRE(scene.run({"lot", "label", scene.book, first, "--to", scene.folder / name}).code ==
                0);
        return bytes_of(scene.folder / name);
    };
    const auto once = print("a.pdf");
    shell("sleep 1.1");
    CHECK(print("b.pdf") == once);
}

TEST_CASE("Lots, ALabelSheetSaysWhatDoesNotFit")
{
    const FreezerScene scene;
    const auto code = scene.seal("K1");
    const auto label = [&](std::vector<std::string> more) {
        std::vector<std::string> words{"lot", "label", scene.book,
                                       code,  "--to",  scene.folder / "x.pdf"};
        words.insert(words.end(), more.begin(), more.end());
        return scene.run(words);
    };
    CHECK(label({"--label", "300x38"}).code == 2);
    CHECK(label({"--label", "10x5"}).code == 2);
    CHECK(label({"--label", "wide"}).code == 2);
    CHECK(label({"--label", "63"}).code == 2);
    CHECK(label({"--sheet", "a3"}).code == 2);
    CHECK_FALSE(std::filesystem::exists(scene.folder / "x.pdf"));
    CHECK(
        scene.run({"lot", "label", scene.book, "K7F4-TQ6", "--to", scene.folder / "x.pdf"}).code ==
        10);
    CHECK(
        scene.run({"lot", "label", scene.book, "K7F4-TQ7", "--to", scene.folder / "x.pdf"}).code ==
        11);
}

TEST_CASE("Lots, CorrectionsAndMovesAreFurtherRecords")
{
    const FreezerScene scene;
    const auto code = scene.seal("K1");
    const auto made = scene.run({"lot", "correct", scene.book, code, "mass", "21.5", "--why",
                                 "scale read anew", "--who", "ada"});
    CHECK(made.code == 0);
    CHECK_THAT(made.out, Contains("mass was '22', is '21.5'"));
    CHECK(
        scene
            .run({"lot", "correct", scene.book, code, "mass", "21.5", "--why", "x", "--who", "ada"})
            .code == 10);
    CHECK(scene
              .run({"lot", "correct", scene.book, code, "mass", "heavy", "--why", "x", "--who",
                    "ada"})
              .code == 2);
    CHECK(scene.run({"lot", "correct", scene.book, code, "mass", "21"}).code == 2);
    CHECK(
        scene.run({"lot", "move", scene.book, code, "--freezer", "B", "--box", "1", "--who", "ben"})
            .code == 0);
    const auto show = scene.run({"lot", "show", scene.book, code});
    CHECK_THAT(show.out, Contains("21.5 g"));
    CHECK_THAT(show.out, Contains("into freezer B, box 1 by ben"));
    CHECK_THAT(show.out, Contains("into freezer A, shelf 2, box 7 by ada"));
    CHECK(
        scene.run({"lot", "withdraw", scene.book, code, "--why", "thawed", "--who", "ada"}).code ==
        0);
    CHECK_THAT(scene.run({"lot", "list", scene.book}).out, Contains("WITHDRAWN"));
    CHECK(scene.run({"lot", "ship", scene.book, code, "--who", "ada"}).code == 10);
    CHECK(scene.run({"lot", "label", scene.book, code, "--to", scene.folder / "x.pdf"}).code == 10);
    // What was in it is free again.
    CHECK_THAT(scene.run({"lot", "loose", scene.book}).out, Contains("22.0 g"));
    CHECK(scene.run({"book", "check", scene.book}).code == 0);
}

TEST_CASE("Lots, AWarmFreezerMarksWhatLayInItOnce")
{
    const FreezerScene scene;
    const auto code = scene.seal("K1", "2025-08-30T10:00:00Z");
    const auto log = scene.folder.write("log.csv",
                                        "time,temperature_c\n"
                                        "2025-08-30 12:00,-70\n2025-08-30 12:10,-55.5\n"
                                        "2025-08-30 12:20,-48\n2025-08-30 12:30,-66\n"
                                        "2025-08-30 12:40,cold\n");
    const std::vector<std::string> words{"lot",       "excursion", scene.book, log, "--limit=-60C",
                                         "--freezer", "A",         "--box",    "7", "--who",
                                         "ada"};
    const auto marked = scene.run(words);
    CHECK(marked.code == 0);
    CHECK_THAT(marked.out, Contains("2025-08-30T12:10:00.000Z to 2025-08-30T12:30:00.000Z: up to "
                                    "-48.0 C; marked " +
                                    code));
    CHECK_THAT(marked.err, Contains("column temperature_c"));
    CHECK_THAT(scene.run(words).out, Contains("0 new excursions"));
    CHECK_THAT(scene.run({"lot", "list", scene.book}).out, Contains("WAS WARM 1x"));
    auto other = words;
    other[8] = "8";
    CHECK_THAT(scene.run(other).out, Contains("no lot lay there"));
    CHECK(scene.run({"book", "check", scene.book}).code == 0);
}

TEST_CASE("Lots, ARecallListsAllThatSharesANestAndWhereItIs")
{
    const FreezerScene scene;
    const auto key = scene.key_of_catch("K3");
    auto words = scene.seal_words("");
    words.insert(words.end(), {"--catch", key + "=20"});
    const auto first = scene.code_in(scene.run(words).out);
    words = scene.seal_words("");
    words.insert(words.end(), {"--catch", key + "=15," + scene.key_of_catch("K1")});
    const auto second = scene.code_in(scene.run(words).out);
    const auto apart = scene.seal("K2");
    REQUIRE(
        scene.run({"lot", "ship", scene.book, second, "--who", "ada", "--on", "2025-09-01"}).code ==
        0);
    const auto recall = scene.run({"lot", "recall", scene.book, first});
    CHECK_THAT(recall.out, Contains("2 lots share a nest with it"));
    CHECK_THAT(recall.out, Contains(second));
    CHECK_THAT(recall.out, Contains("shipped 2025-09-01"));
    CHECK(recall.out.find(apart) == std::string::npos);
    // By a call about the nest: also what is in no lot yet.
    const auto by_call = scene.run({"lot", "recall", scene.book, "K3"});
    CHECK_THAT(by_call.out, Contains(first));
    CHECK_THAT(by_call.out, Contains("in no lot: catch " + key));
    CHECK_THAT(scene.run({"lot", "trace", scene.book, "K3"}).out, Contains("lot " + second));
}

TEST_CASE("Lots, AnOrderIsFilledByWhatLeavesAndItsPapersAreAlwaysTheSame")
{
    const FreezerScene scene;
    REQUIRE(scene.run({"settings", "set", scene.book, "orders.minor_per_point", "1000"}).code == 0);
    const auto add = [&] {
        return scene.run({"order", "add", scene.book, "--laboratory", "LAB-2", "--species", "VGER",
                          "--grams", "60", "--by", "2025-10-01", "--price", "12.50", "--promised",
                          "50", "--placed", "2025-07-01"});
    };
    REQUIRE(add().code == 0);
    CHECK_THAT(add().err, Contains("--again"));
    const auto first = scene.seal("K1");
    auto status = scene.run({"order", "status", scene.book, "--on", "2025-09-01"}).out;
    CHECK_THAT(status, Contains("in the freezer        22.0 g"));
    CHECK_THAT(status, Contains("frozen, not sealed    38.0 g"));
    CHECK_THAT(status, Contains("covered"));
    CHECK_THAT(status, Contains("VGER  0.30 points"));
    const auto wrong = scene.seal("K4");
    const auto refused = scene.run({"lot", "ship", scene.book, wrong, "--order", "LAB-2", "--who",
                                    "ada", "--on", "2025-09-01"});
    CHECK(refused.code == 10);
    CHECK_THAT(refused.err, Contains("lot " + wrong + ": it is VMAC, and the order asks for VGER"));
    const auto early =
        scene.run({"lot", "ship", scene.book, first, "--who", "ada", "--on", "2025-08-20"});
    CHECK(early.code == 10);
    CHECK_THAT(early.err, Contains("cannot leave on 2025-08-20"));
    const auto second = scene.seal("K2,K3");
    const auto sent =
        scene.run({"lot", "ship", scene.book, first + "," + second, "--order", "LAB-2", "--who",
                   "ada", "--on", "2025-09-01", "--ice-kg", "3", "--to", scene.folder / "out-"});
    CHECK(sent.code == 0);
    CHECK_THAT(sent.out, Contains("the order is filled"));
    CHECK_THAT(scene.run({"order", "list", scene.book}).out, Contains("filled"));
    const auto certificate = bytes_of(scene.folder / "out-certificate.txt");
    CHECK_THAT(certificate, Contains("none is recorded for any nest"));
    CHECK_THAT(certificate, Contains("SHA-256"));
    const auto packing = bytes_of(scene.folder / "out-packing-list.txt");
    CHECK_THAT(packing, Contains("UN 1845"));
    CHECK_THAT(packing, Contains("3.00 kg net"));
    // Nothing leaves twice, and the papers can be had once more, byte for byte.
    CHECK(scene.run({"lot", "ship", scene.book, first, "--who", "ada"}).code == 10);
    REQUIRE(scene.run({"lot", "papers", scene.book, first, "--to", scene.folder / "again-"}).code ==
            0);
    for (const auto* name :
         {"certificate.txt", "certificate.pdf", "packing-list.txt", "packing-list.pdf"}) {
        CHECK(bytes_of(scene.folder / ("again-" + std::string{name})) ==
              bytes_of(scene.folder / ("out-" + std::string{name})));
    }
    // The hash on the paper is one that the book still knows.
    const auto check = scene.run({"book", "check", scene.book});
    CHECK(check.code == 0);
    const auto head = check.out.substr(check.out.find("the last ") + 9, 64);
    CHECK_THAT(certificate, Contains(head));
    CHECK(scene.run({"book", "check", scene.book, "--link", head}).code == 0);
    const auto unknown = scene.run({"book", "check", scene.book, "--link", std::string(64, 'a')});
    CHECK(unknown.code == 13);
    CHECK_THAT(unknown.err, Contains("no link has this hash"));
}

TEST_CASE("Lots, WhatOrdersWantMovesTheRanking")
{
    const FreezerScene scene;
    REQUIRE(scene.run({"settings", "set", scene.book, "orders.minor_per_point", "100"}).code == 0);
    const auto worth = [&](const char* taxon) {
        const auto out = scene.run({"order", "status", scene.book, "--on", "2025-09-01"}).out;
        const auto at = out.rfind(std::string{"  "} + taxon + "  ");
        REQUIRE(at != std::string::npos);
        return std::stod(out.substr(at + 8));
    };
    REQUIRE(scene
                .run({"order", "add", scene.book, "--laboratory", "L", "--species", "VGER",
                      "--grams", "500", "--price", "9", "--placed", "2025-07-01"})
                .code == 0);
    CHECK(worth("VGER") == Approx(9));
    REQUIRE(scene.run({"settings", "set", scene.book, "rank.worth.VGER", "2"}).code == 0);
    CHECK(worth("VGER") == Approx(2));  // what the crew has set goes first
}

TEST_CASE("Lots, AStrangerIsToldWhatToDo")
{
    const FreezerScene scene;
    const auto none = scene.run({"lot", "seal", scene.book, "--freezer", "A", "--who", "ada"});
    CHECK(none.code == 2);
    CHECK_THAT(none.err, Contains("nestround lot loose"));
    CHECK(scene.run({"lot", "list", scene.folder / "no.gpkg"}).code == 11);
    CHECK(scene.run({"lot", "seal", scene.book, "--call", "K1", "--who", "ada"}).code == 2);
    CHECK(scene.run({"lot", "seal", scene.book, "--call", "K9", "--freezer", "A", "--who", "ada"})
              .code == 11);
    CHECK(scene.run({"lot", "seal", scene.book, "--catch", "zzzz", "--freezer", "A", "--who", "a"})
              .code == 11);
    auto future = scene.seal_words("K1");
    future.insert(future.end(), {"--frozen", "2999-01-01T00:00:00Z"});
    CHECK_THAT(scene.run(future).err, Contains("still to come"));
    CHECK(scene
              .run({"order", "add", scene.book, "--laboratory", "L", "--species", "wasp", "--grams",
                    "5"})
              .code == 2);
    CHECK(scene
              .run({"order", "add", scene.book, "--laboratory", "L", "--species", "VGER", "--grams",
                    "-5"})
              .code == 2);
    CHECK(scene
              .run({"order", "add", scene.book, "--laboratory", "L", "--species", "VGER", "--grams",
                    "5", "--price", "1.234"})
              .code == 2);
    CHECK(scene.run({"order", "status", scene.book, "--season", scene.folder / "no.json"}).code ==
          11);
    CHECK(scene.count("lot") == 0);
    CHECK_THAT(scene.run({"lot", "list", scene.book}).out, Contains("no lots"));
    CHECK_THAT(scene.run({"order", "list", scene.book}).out, Contains("no orders"));
}
