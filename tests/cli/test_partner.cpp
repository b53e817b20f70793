// nestround partner as typed: taken in, paired, decided on, and never passed further.
#include <fmt/format.h>

#include <cmath>
#include <filesystem>
#include <map>
#include <nlohmann/json.hpp>
#include <vector>

#include "geocore/base/random.hpp"
#include "geocore/base/sha256.hpp"
#include "geocore/book/book.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;
using Json = nlohmann::json;

namespace {

std::string run(const std::vector<std::string>& words)
{
    const auto said = run_program(words);
    INFO(said.out << said.err);
    REQUIRE(said.code == 0);
    return said.out;
}

struct Colony {
    int number = 0;
    double lon = 0, lat = 0;
    const char* species = "";
    std::string day;
};

double even(Random& dice) { return double(dice.below(1'000'000)) / 1e6; }

/// Nests in 12 x 11 km, in clumps as villages are.
std::vector<Colony> county(int count)
{
    constexpr const char* kSpecies[]{"Vespula maculifrons", "Vespula maculifrons",
                                     "Vespula germanica",   "Dolichovespula maculata",
                                     "Polistes dominula",   ""};
    Random dice{2026};
    std::vector<std::pair<double, double>> villages;
    for (int i = 0; i < 9; ++i) {
        villages.emplace_back(-77 + 0.14 * even(dice), 41 + 0.1 * even(dice));
    }
    std::vector<Colony> out;
    for (int i = 0; i < count; ++i) {
        const auto& [lon, lat] = villages[dice.below(villages.size())];
        out.push_back({i, lon + 0.02 * (even(dice) - 0.5), lat + 0.014 * (even(dice) - 0.5),
                       kSpecies[dice.below(6)],
                       fmt::format("2026-0{}-{:02}", 6 + dice.below(3), 1 + dice.below(28))});
    }
    return out;
}

/// A crew's book: each colony of the list with an error of its own, its label the colony's number.
std::string book_of(const Folder& folder, const char* name, const std::vector<Colony>& colonies,
                    std::uint64_t seed)
{
    const auto book = folder / name;
    run({"book", "create", book});
    std::string calls = "key,received,lon,lat,place,species\n";
    Random dice{seed};
    for (const auto& one : colonies) {
        // A dozen draws give a round spread, of 12 m to each side here.
        double east = -6;
        double north = -6;
        for (int i = 0; i < 12; ++i) {
            east += even(dice);
            north += even(dice);
        }
        calls += fmt::format("{},{},{:.7f},{:.7f},colony {},{}\n", one.number, one.day,
                             one.lon + 12 * east / 84'000, one.lat + 12 * north / 111'000,
                             one.number, one.species);
    }
    run({"call", "import", book, folder.write(std::string{name} + ".csv", calls)});
    return book;
}

/// Which colony each nest of a book is, by its label.
std::map<std::string, std::string> colonies_of(const std::string& path)
{
    std::map<std::string, std::string> out;
    const auto book = book::Book::open(path, book::Mode::ReadOnly);
    for (const auto& sheet : book.calls(value_or_throw(parse_day("2027-01-01")))) {
        out[sheet.nest.id.text()] = sheet.site.label;
    }
    return out;
}

/// The key that a share gives a nest, as docs/sharing-without-telling.md says.
std::string share_key(const std::string& partner, const std::string& nest)
{
    return sha256("a nest shared with\n" + partner + "\n" + nest).substr(0, 16);
}

struct Score {
    int pairs = 0;
    int right = 0;
    int shared = 0;    ///< colonies that both crews know
    double hoped = 0;  ///< the sum of the chances that were told
};

Score score_of(const std::string& theirs, const std::string& ours, const std::string& partner,
               const char* least)
{
    std::map<std::string, std::string> by_key;
    const auto sent = colonies_of(theirs);
    for (const auto& [nest, colony] : sent) {
        by_key[share_key(partner, nest)] = colony;
        by_key["urn:nest:" + share_key(partner, nest)] = colony;
    }
    const auto known = colonies_of(ours);
    Score score;
    for (const auto& [nest, colony] : sent) {
        for (const auto& [other, same] : known) {
            score.shared += same == colony ? 1 : 0;
        }
    }
    const auto found = Json::parse(run({"partner", "matches", ours, "--json", "--least", least}));
    for (const auto& match : found["matches"]) {
        ++score.pairs;
        score.hoped += match["chance"].get<double>();
        const auto sender = match["row"]["sender_key"].get<std::string>();
        REQUIRE(by_key.contains(sender));
        score.right += by_key[sender] == known.at(match["nest"].get<std::string>()) ? 1 : 0;
    }
    return score;
}

void share(const std::string& book, const std::string& partner, const std::string& tier,
           const std::string& to, bool archive, const std::string& grid_m = "2000")
{
    run({"settings", "set", book, "partners." + partner + ".tier", tier});
    run({"settings", "set", book, "partners." + partner + ".grid_m", grid_m});
    run({"settings", "set", book, "partners." + partner + ".at_least", "2"});
    std::vector<std::string> words{"share", book, "--with", partner,
                                   "--to",  to,   "--on",   "2026-09-01"};
    if (archive) {
        words.insert(words.end(), {"--as", "dwca"});
    }
    run(words);
}

/// A small book and a file of two nests, one of which is in it.
struct Scene {
    Folder folder;
    std::string book = folder / "a.gpkg";
    std::string csv;
    Scene()
    {
        run({"book", "create", book});
        run({"call", "import", book,
             folder.write("calls.csv",
                          "key,received,lon,lat,place,species\n"
                          "k1,2026-08-01,-77.000000,41.000000,by the mill,Vespula maculifrons\n"
                          "k2,2026-08-02,-77.010000,41.010000,barn,Vespula germanica\n")});
        csv = file("county.csv", "2026-08-03");
    }
    std::string file(const std::string& name, const std::string& date,
                     const std::string& more = "") const
    {
        return folder.write(name,
                            "id,scientificName,date,lon,lat,uncertainty_m\n"
                            "c1,\"Vespula maculifrons (du Buysson, 1905)\"," +
                                date +
                                ",-77.000100,41.000050,20\n"
                                "c2,Vespula vulgaris,2026-08,-77.050000,41.050000,20\n" +
                                more);
    }
    std::string import(const std::string& path) const
    {
        return run({"partner", "import", book, path, "--from", "county", "--on", "2026-09-01"});
    }
    Json matches() const { return Json::parse(run({"partner", "matches", book, "--json"})); }
};

}  // namespace

TEST_CASE("Partner, OurOwnSharesFindTheirNestsAgain")
{
    const Folder folder;
    const auto all = county(300);
    // 60 colonies are known to the first crew alone, 60 to the second alone, 180 to both.
    const auto theirs = book_of(folder, "theirs.gpkg", {all.begin(), all.begin() + 240}, 1);
    const auto ours = book_of(folder, "ours.gpkg", {all.begin() + 60, all.end()}, 2);
    struct Case {
        const char* tier;
        bool archive;
        const char* grid_m;
        double found, right;  ///< at least these shares; docs/taking-in.md has the figures seen
    };
    for (const auto& one :
         {Case{"exact", false, "2000", 0.97, 0.97}, Case{"exact", true, "2000", 0.97, 0.97},
          Case{"grid", false, "100", 0.93, 0.95}, Case{"grid", true, "100", 0.93, 0.95},
          Case{"grid", false, "250", 0.7, 0.9}, Case{"grid", false, "500", 0.35, 0.85},
          Case{"grid", false, "2000", 0, 1}}) {
        const std::string partner =
            std::string{one.tier} + one.grid_m + (one.archive ? "-archive" : "");
        const auto file = folder / (partner + (one.archive ? ".zip" : ".gpkg"));
        share(theirs, partner, one.tier, file, one.archive, one.grid_m);
        const auto book = folder / (partner + "-book.gpkg");
        std::filesystem::copy_file(ours, book);
        run({"partner", "import", book, file, "--from", "neighbours", "--on", "2026-09-01"});
        for (const auto* least : {"0.5", "0.2"}) {
            const auto score = score_of(theirs, book, partner, least);
            INFO(
                fmt::format("{}, least {}: {} pairs, {} right where {:.0f} were hoped for, of {} "
                            "nests that both know",
                            partner, least, score.pairs, score.right, score.hoped, score.shared));
            CHECK(score.shared == 180);
            CHECK(score.right >= one.found * score.shared);
            if (std::string{least} == "0.5") {
                CHECK(score.right >= one.right * score.pairs);
            }
            // A chance means what it says; in coarse squares it may say less, never much more.
            CHECK(score.hoped <= score.right + 0.07 * score.pairs + 1);
            CHECK(score.hoped >= score.right - 0.2 * score.pairs - 1);
        }
    }
}

TEST_CASE("Partner, CountsInSquaresComeBackAsCounts")
{
    const Folder folder;
    const auto all = county(300);
    const auto theirs = book_of(folder, "theirs.gpkg", all, 1);
    for (const bool archive : {false, true}) {
        const std::string partner = archive ? "b" : "a";
        const auto file = folder / (archive ? "cells.zip" : "cells.gpkg");
        share(theirs, partner, "cells", file, archive);
        const auto book = folder / (partner + ".gpkg");
        std::filesystem::copy_file(theirs, book);
        run({"partner", "import", book, file, "--from", "county", "--on", "2026-09-01"});
        const auto found = Json::parse(run({"partner", "matches", book, "--json"}));
        CHECK(found["matches"].empty());
        CHECK(found["open"] == 0);
        REQUIRE(found["counts"].size() > 10);
        int same = 0;
        int named = 0;
        for (const auto& count : found["counts"]) {
            CHECK(count["row"]["place_is"] == "cell");
            if (!count["row"].contains("taxon")) {
                CHECK(count["ours"] >= count["row"]["nests"]);  // of all wasps
                continue;
            }
            ++named;
            same += count["ours"] == count["row"]["nests"] ? 1 : 0;
        }
        // Their squares are ours to a metre: a nest on an edge may fall to the other side.
        CHECK(named > 10);
        CHECK(same >= 0.9 * named);
    }
}

TEST_CASE("Partner, TheSameFileTwiceChangesNothing")
{
    const Scene scene;
    CHECK_THAT(scene.import(scene.csv), Contains("2 new, 0 changed, 0 as before, 0 refused"));
    const auto before = bytes_of(scene.book);
    CHECK_THAT(scene.import(scene.csv), Contains("nothing changed"));
    const auto renamed = scene.folder.write("other name.csv", bytes_of(scene.csv));
    // A text table has no layer but its file's name.
    CHECK_THAT(scene.import(renamed), Contains("0 new, 0 changed, 2 as before"));
    CHECK(bytes_of(scene.book).size() >= before.size());
}

TEST_CASE("Partner, ANewerFileChangesOpenRowsAndListsDecidedOnes")
{
    const Scene scene;
    scene.import(scene.csv);
    const auto nest = scene.matches()["matches"][0]["nest"].get<std::string>();
    CHECK_THAT(run({"partner", "accept", scene.book, "c1", "--as", nest, "--who", "K"}),
               Contains("is our nest"));
    const auto newer =
        scene.folder.write("county.csv",
                           "id,scientificName,date,lon,lat,uncertainty_m\n"
                           "c1,Vespula germanica,2026-08-03,-77.000100,41.000050,20\n"
                           "c2,Vespula squamosa,2026-08,-77.050000,41.050000,20\n"
                           "c3,Vespula squamosa,2026-08,-77.060000,41.050000,20\n");
    const auto said = scene.import(newer);
    CHECK_THAT(said, Contains("1 new, 1 changed, 0 as before"));
    CHECK_THAT(said, Contains("was decided on and now reads otherwise"));
    const auto rows = Json::parse(run({"partner", "list", scene.book, "--json"}))["rows"];
    REQUIRE(rows.size() == 3);
    std::map<std::string, Json> by_key;
    for (const auto& row : rows) {
        by_key[row["sender_key"]] = row;
    }
    CHECK(by_key["c1"]["taxon"] == "VMAC");
    CHECK(by_key["c1"]["nest"] == nest);
    CHECK(by_key["c1"]["decided_by"] == "K");
    CHECK(by_key["c2"]["taxon"] == "VSQU");
    const auto shorter = scene.folder.write(
        "county.csv", "id,scientificName,date,lon,lat\nc9,Vespula,2026,-77,41\n");
    CHECK_THAT(scene.import(shorter), Contains("3 rows of earlier files"));
}

TEST_CASE("Partner, ADecisionIsShownKeptToOneRowAndTakenBack")
{
    const Scene scene;
    scene.import(scene.file("county.csv", "2026-08-03",
                            "c4,Vespula maculifrons,2026-08,-77.0002,41.0000,20\n"));
    const auto found = scene.matches();
    REQUIRE(found["matches"].size() == 1);
    const auto& best = found["matches"][0];
    CHECK(best["row"]["sender_key"] == "c1");
    CHECK(best["chance"] > 0.5);
    CHECK_THAT(best["words"].get<std::string>(),
               Contains("both 2026") && Contains("both Vespula maculifrons"));
    CHECK(found["open"] == 3);
    run({"partner", "accept", scene.book, "c1", "--as", "k1"});
    const auto again = run_program({"partner", "accept", scene.book, "c4", "--as", "k1"});
    CHECK(again.code != 0);
    CHECK_THAT(again.err, Contains("is that nest already"));
    // With its nest given away, the other row has none left.
    CHECK(scene.matches()["matches"].empty());
    run({"partner", "accept", scene.book, "c4"});
    run({"partner", "refuse", scene.book, "c2"});
    CHECK(scene.matches()["open"] == 0);
    CHECK_THAT(run({"partner", "list", scene.book}), Contains("1 other, 1 refused, 1 same"));
    run({"partner", "reopen", scene.book, "c1"});
    CHECK(scene.matches()["matches"].size() == 1);
    run({"book", "check", scene.book});
    for (const auto& [words, complaint] :
         {std::pair{std::vector<std::string>{"accept", scene.book, "nobody"}, "no row"},
          std::pair{std::vector<std::string>{"accept", scene.book, "c1", "--as", "zzzz"},
                    "no call"}}) {
        std::vector<std::string> typed{"partner"};
        typed.insert(typed.end(), words.begin(), words.end());
        const auto said = run_program(typed);
        CHECK(said.code != 0);
        CHECK_THAT(said.err, Contains(complaint));
    }
}

TEST_CASE("Partner, WhatTheySentIsNoCallAndIsNeverSharedFurther")
{
    const Scene scene;
    run({"settings", "set", scene.book, "partners.museum.tier", "exact"});
    const auto shared = [&](const char* name) {
        const auto to = scene.folder / name;
        run({"share", scene.book, "--with", "museum", "--to", to, "--on", "2026-09-01"});
        return bytes_of(to);
    };
    const auto calls = run({"call", "list", scene.book, "--on", "2026-09-01"});
    const auto before = shared("before.gpkg");
    scene.import(scene.csv);
    run({"partner", "accept", scene.book, "c2"});
    run({"partner", "accept", scene.book, "c1", "--as", "k1"});
    CHECK(shared("after.gpkg") == before);
    CHECK(run({"call", "list", scene.book, "--on", "2026-09-01"}) == calls);
}

TEST_CASE("Partner, AFileThatIsRefusedLeavesTheBookAsItWas")
{
    const Scene scene;
    const auto before = bytes_of(scene.book);
    const auto refused = [&](const std::vector<std::string>& more, const char* complaint) {
        std::vector<std::string> words{"partner", "import", scene.book};
        words.insert(words.end(), more.begin(), more.end());
        const auto said = run_program(words);
        CAPTURE(complaint, said.out, said.err);
        CHECK(said.code != 0);
        CHECK_THAT(said.err, Contains(complaint));
        CHECK(std::count(said.err.begin(), said.err.end(), '\n') == 1);
    };
    refused({scene.folder / "nothing.gpkg", "--from", "x"}, "no such file");
    refused({scene.book, "--from", "x"}, "the book itself");
    refused({"/vsicurl/http://127.0.0.1:9/x.gpkg", "--from", "x"}, "no such file");
    refused({scene.folder.write("a.vrt", "<OGRVRTDataSource/>"), "--from", "x"},
            "cannot be read as a layer");
    refused({scene.csv, "--from", std::string(100, 'x')}, "--from");
    refused({scene.csv, "--from", "x", "--column", "taxon"}, "OURS=THEIRS");
    refused({scene.csv, "--from", "x", "--column", "taxon=nothing"}, "no column 'nothing'");
    refused({scene.folder.write("b.csv", "a,b\n1,2\n"), "--from", "x"}, "has no column lon, lat");
    CHECK(bytes_of(scene.book) == before);
    // Last year's day: nothing of this year is taken, row by row, and the reason is said.
    const auto said = run_program(
        {"partner", "import", scene.book, scene.csv, "--from", "county", "--on", "2025-09-01"});
    CHECK(said.code == 0);
    CHECK_THAT(said.err, Contains("row 2, column date") && Contains("lies after 2025-09-01"));
    CHECK_THAT(run({"partner", "list", scene.folder / "a.gpkg"}), Contains("0 rows, 2 refused"));
    CHECK_THAT(run({"partner", "matches", scene.book}), Contains("0 rows of single nests"));
    // With the right day the same file is not taken for one that was read already.
    CHECK_THAT(scene.import(scene.csv), Contains("2 new"));
    CHECK_THAT(scene.import(scene.csv), Contains("nothing changed"));
}

TEST_CASE("Partner, DensityCountsTheirNestsOnlyWhenAsked")
{
    const Scene scene;
    scene.import(scene.csv);
    run({"partner", "accept", scene.book, "c2"});
    run({"partner", "accept", scene.book, "c1", "--as", "k1"});
    const std::vector<std::string> words{"density", scene.book, "--season", "2026"};
    const auto alone = run(words);
    CHECK_THAT(alone, !Contains("partners") && Contains("2 nests on"));
    auto more = words;
    more.emplace_back("--with-partners");
    const auto both = run(more);
    // One is theirs; the other is ours already.
    CHECK_THAT(both, Contains("with 1 nest of partners") && Contains("3 nests on"));
    run({"partner", "refuse", scene.book, "c2"});
    CHECK_THAT(run(more), Contains("with 0 nests of partners") && Contains("2 nests on"));
}
