// A merge as a whole: which books, which tables, in which order.
#include <algorithm>
#include <cstdio>
#include <fstream>
#include <set>

#include "geocore/base/random.hpp"
#include "tests/geocore/book/merge_support.hpp"

using namespace nestround;
using namespace nestround::test;

TEST_CASE("Merge, TheOtherBookAndAFailedMergeLeaveNoTrace")
{
    const TwoBooks two;
    enter_nest(two.b, 12);
    const auto there = bytes_of(two.b);
    const auto here = bytes_of(two.a);
    book::MergeSettings look;
    look.look_only = true;
    CHECK(added(two.merge(two.a, two.b, look), "nest") == 1);
    CHECK(bytes_of(two.a) == here);
    two.merge(two.a, two.b);
    CHECK(bytes_of(two.b) == there);
    must_have_no_copy(two.folder);
}

TEST_CASE("Merge, AnOlderBookIsMergedAndStaysAsOldAsItIs")
{
    const Folder folder;
    const std::string a = folder / "a.gpkg";
    const std::string b = folder / "b.gpkg";
    {
        book::create_book_file(b, kNow, book::standard_migrations().first(6));
        Stranger hand{b};
        hand.run("INSERT INTO client (id, created_at, changed_at, name) VALUES (" + id_text(5) +
                 ", '2026-08-04T06:30:00.000Z', '2026-08-04T06:30:00.000Z', 'Ada')");
    }
    const auto there = bytes_of(b);
    static_cast<void>(book::Book::create(a, kNow));
    const auto report = merge_books(a, b, kLater, {});
    CHECK(added(report, "client") == 1);
    CHECK(value(b, "SELECT value FROM app_meta WHERE key = 'schema_version'") == "6");
    CHECK(bytes_of(b) == there);
    must_be_whole(a);
    // Looking brings nothing up to date either.
    book::MergeSettings look;
    look.look_only = true;
    CHECK(error_of([&] { static_cast<void>(merge_books(b, a, kLater, look)); }).code ==
          ErrorCode::WrongVersion);
    CHECK(bytes_of(b) == there);
    must_have_no_copy(folder);
}

TEST_CASE("Merge, SettingsAndDeedsStayWhereTheyAre")
{
    const TwoBooks two;
    {
        book::Book book = book::Book::open(two.b);
        book::Change change{book, kLater};
        change.set_setting("partners.county.tier", "exact");
        change.commit();
    }
    const auto report = two.merge(two.a, two.b);
    CHECK(report.settings == std::vector<std::string>{"partners.county.tier"});
    CHECK(value(two.a, "SELECT count(*) FROM setting WHERE key LIKE 'partners%'") == "0");
    CHECK_FALSE(report.changed_anything);
}

TEST_CASE("Merge, ForeignDamagedOrAlteredBooksAreRefusedAndNothingIsWritten")
{
    const TwoBooks two;
    enter_nest(two.b, 12);
    const auto before = bytes_of(two.a);
    const auto refused = [&](const std::string& theirs) {
        return error_of([&] { two.merge(two.a, theirs); });
    };
    CHECK(refused(two.a).code == ErrorCode::InvalidInput);
    CHECK(refused(two.folder / "none.gpkg").code == ErrorCode::NotFound);
    std::ofstream{two.folder / "text.gpkg"} << std::string(5000, 'x');
    CHECK(refused(two.folder / "text.gpkg").code == ErrorCode::InvalidInput);
    CHECK(refused(two.folder / "text.gpkg").where.find("text.gpkg") != std::string::npos);
    {
        const auto whole = bytes_of(two.b);
        std::ofstream{two.folder / "half.gpkg", std::ios::binary}
            << whole.substr(0, whole.size() / 2);
        refused(two.folder / "half.gpkg");
    }
    std::filesystem::copy_file(two.b, two.folder / "newer.gpkg");
    Stranger{two.folder / "newer.gpkg"}.run(
        "UPDATE app_meta SET value = '999' WHERE key = 'schema_version'");
    CHECK(refused(two.folder / "newer.gpkg").code == ErrorCode::WrongVersion);
    seal_lot(two.b, 12, 12, "L-12");
    {
        Stranger hand{two.b};
        hand.run("DROP TRIGGER lot_once_sealed_is_not_edited");
        hand.run("UPDATE lot SET mass_g = 31 WHERE code = 'L-12'");
    }
    CHECK(refused(two.b).code == ErrorCode::RuleBroken);
    CHECK(bytes_of(two.a) == before);
    must_have_no_copy(two.folder);
}

TEST_CASE("Merge, EveryTableOfTheBookHasItsPlace")
{
    // A table that is neither merged by key nor named here would be forgotten silently.
    const std::set<std::string> by_other_means{"weather_day",  "weather_hour",  "habitat_reading",
                                               "shipment_lot", "excursion_lot", "lot_chain",
                                               "row_version",  "setting",       "lot_chain_branch",
                                               "deed",         "deed_row"};
    const TwoBooks two;
    auto tables = book::tables_with_key();
    Stranger hand{two.a};
    const auto all = hand.ask("SELECT table_name FROM gpkg_contents ORDER BY table_name");
    for (std::size_t from = 0; from < all.size();) {
        const auto end = std::min(all.find(' ', from), all.size());
        const auto table = all.substr(from, end - from);
        INFO(table);
        CHECK((by_other_means.contains(table) ||
               std::find(tables.begin(), tables.end(), table) != tables.end()));
        from = end + 1;
    }
    // Those that others refer to come first: rows are inserted in this order.
    for (const auto& relation : book::relations()) {
        const auto child = std::find(tables.begin(), tables.end(), relation.child);
        const auto parent = std::find(tables.begin(), tables.end(), relation.parent);
        if (child != tables.end() && relation.child != relation.parent) {
            INFO(relation.child << " refers to " << relation.parent);
            CHECK(parent < child);
        }
    }
}

TEST_CASE("Merge, AnyEditsOfThreeBooksComeToTheSameRowsInEveryOrder")
{
    // Made-up edits by three crews who never heard of each other's.
    for (std::uint64_t seed = 1; seed <= 3; ++seed) {
        INFO("seed " << seed);
        const TwoBooks two;
        const std::string c = two.folder / "c.gpkg";
        std::filesystem::copy_file(two.a, c);
        Random random{seed};
        const std::vector<std::string> books{two.a, two.b, c};
        const std::vector<std::pair<std::string, std::vector<std::string>>> edits{
            {"nest",
             {"height_m = 3", "height_m = 7.5", "note = 'hedge'", "note = NULL",
              "kind = "
              "'void'"}},
            {"call",
             {"ladder = 'given'", "ladder = 'refused'", "note = 'dog'", "allergic = 1",
              "state = 'taken', closed_on = '2026-08-09'"}},
            {"visit", {"outcome = 'all'", "outcome = 'half'", "note = 'x'"}},
            {"client", {"note = 'y'"}},
            {"comb_piece", {"larvae = 99", "eggs = 3"}}};
        int minute = 0;
        for (int n = 0; n < 24; ++n) {
            const auto& path = books[random.below(3)];
            const auto& [table, values] = edits[random.below(edits.size())];
            char when[32];
            std::snprintf(when, sizeof when, "2026-08-1%dT%02d:%02d", static_cast<int>(n / 12),
                          8 + n % 12, minute = (minute + 7) % 60);
            two.edit(path, table, 1 + static_cast<unsigned>(random.below(3)),
                     values[random.below(values.size())], when);
        }
        enter_nest(two.b, 30 + static_cast<unsigned>(seed));
        // A few rounds in an order of chance, then each takes in both others.
        for (int n = 0; n < 4; ++n) {
            const auto ours = random.below(3);
            two.merge(books[ours], books[(ours + 1 + random.below(2)) % 3]);
        }
        for (int round = 0; round < 3; ++round) {
            for (std::size_t ours = 0; ours < 3; ++ours) {
                two.merge(books[ours], books[(ours + 1) % 3]);
                two.merge(books[ours], books[(ours + 2) % 3]);
            }
        }
        CHECK(contents(two.a) == contents(two.b));
        CHECK(contents(two.a) == contents(c));
        must_be_whole(two.a);
        for (std::size_t ours = 0; ours < 3; ++ours) {
            CHECK_FALSE(two.merge(books[ours], books[(ours + 1) % 3]).changed_anything);
        }
    }
}
