#include "geocore/book/merge.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>

#include "geocore/base/random.hpp"
#include "geocore/book/check.hpp"
#include "geocore/book/schema.hpp"
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::merge_books;
using book::MergeReport;

namespace {

const Instant kLater = at("2026-08-20T18:00:00Z");

/// A book and its copy, as two crews have them in the morning.
struct TwoBooks {
    Folder folder;
    std::string a = folder / "a.gpkg";
    std::string b = folder / "b.gpkg";

    TwoBooks()
    {
        {
            book::Book book = book::Book::create(a, kNow);
            fill(book);
        }
        std::filesystem::copy_file(a, b);
    }
    void edit(const std::string& path, const std::string& table, unsigned n, const std::string& set,
              const char* when) const
    {
        Stranger hand{path};
        hand.run("UPDATE " + table + " SET " + set + ", changed_at = '" + when +
                 ":00.000Z' WHERE id = " + id_text(n));
    }
    MergeReport merge(const std::string& ours, const std::string& theirs,
                      book::MergeSettings settings = {}) const
    {
        return merge_books(ours, theirs, kLater, settings);
    }
};

std::string value(const std::string& path, const std::string& sql)
{
    Stranger hand{path};
    return hand.ask(sql);
}

/// All rows of all tables that two merged books should have alike, without the instants of writing.
std::string contents(const std::string& path)
{
    Stranger hand{path};
    std::string out;
    for (const auto& table : book::tables_with_key()) {
        std::string columns;
        book::Connection connection{path, SQLITE_OPEN_READONLY};
        for (const auto& column : book::columns_of(connection, table)) {
            if (column != "fid" && column != "created_at" && column != "changed_at") {
                columns += (columns.empty() ? "" : " || '|' || ") + ("quote(" + column + ")");
            }
        }
        out += table + "\n" +
               hand.ask("SELECT " + columns + " || char(10) FROM " + table + " ORDER BY id") + "\n";
    }
    return out;
}

std::size_t added(const MergeReport& report, const std::string& table)
{
    for (const auto& tally : report.tables) {
        if (tally.table == table) {
            return tally.added;
        }
    }
    return 0;
}

/// A new nest with its site, call, visit and catch.
void enter_nest(const std::string& path, unsigned n, const std::string& source_key = "")
{
    book::Book book = book::Book::open(path);
    book::Change change{book, at("2026-08-10T08:00:00Z")};
    change.insert(some_site(n, 9.6, 47.2));
    change.insert(some_nest(n, n));
    Call call = some_call(n, n, "2026-08-09");
    call.source_key = source_key;
    change.insert(call);
    Visit visit;
    visit.id = key<VisitId>(n);
    visit.nest = key<NestId>(n);
    visit.call = call.id;
    visit.begun = at("2026-08-10T09:00:00Z");
    change.insert(visit);
    CatchRecord row;
    row.id = key<CatchId>(n);
    row.visit = visit.id;
    row.taxon = "VMAC";
    row.mass = Grams{30};
    row.frozen_at = at("2026-08-10T09:30:00Z");
    change.insert(row);
    change.commit();
}

/// A sealed lot that holds the catch of the same number.
void seal_lot(const std::string& path, unsigned n, unsigned of_catch, const std::string& code,
              const char* when = "2026-08-11T08:00:00Z")
{
    book::Book book = book::Book::open(path);
    book::Change change{book, at(when)};
    Lot lot;
    lot.id = key<LotId>(n);
    lot.code = code;
    lot.taxon = "VMAC";
    lot.frozen_at = at("2026-08-10T09:30:00Z");
    lot.mass = Grams{30};
    change.insert(lot);
    LotParent parent;
    parent.id = key<LotParentId>(n);
    parent.lot = lot.id;
    parent.catch_id = key<CatchId>(of_catch);
    change.insert(parent);
    change.seal(lot.id, at(when));
    change.commit();
}

void must_be_whole(const std::string& path)
{
    for (const auto& broken : book::check(path).broken) {
        INFO(broken.text());
        CHECK(false);
    }
}

/// The copy of the other book, made for the merge, holds clients: it must be gone.
void must_have_no_copy(const Folder& folder)
{
    for (const auto& entry : std::filesystem::directory_iterator{folder / "."}) {
        CHECK(entry.path().filename().string().find("merging") == std::string::npos);
    }
}

}  // namespace

TEST_CASE("Merge, TakesTheOtherCrewsDayAndTwiceChangesNotAByte")
{
    const TwoBooks two;
    enter_nest(two.a, 11);
    enter_nest(two.b, 12);
    two.edit(two.b, "call", 1, "state = 'taken', closed_on = '2026-08-10'", "2026-08-10T12:00");
    auto report = two.merge(two.a, two.b);
    CHECK(added(report, "nest") == 1);
    CHECK(added(report, "catch") == 1);
    CHECK(report.conflicts.empty());
    CHECK(value(two.a, "SELECT state FROM call WHERE id = " + id_text(1)) == "taken");
    CHECK(value(two.a, "SELECT count(*) FROM nest") == "5");
    must_be_whole(two.a);

    const auto before = bytes_of(two.a);
    report = two.merge(two.a, two.b);
    CHECK_FALSE(report.changed_anything);
    CHECK(report.tables.empty());
    CHECK(bytes_of(two.a) == before);
    CHECK(bytes_of(two.b).size() > 0);

    two.merge(two.b, two.a);
    CHECK(contents(two.a) == contents(two.b));
    must_be_whole(two.b);
}

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

TEST_CASE("Merge, FieldsOfOneRowThatEachCrewChangedAreBothKept")
{
    const TwoBooks two;
    // The later edit knows nothing of the earlier one.
    two.edit(two.a, "nest", 1, "height_m = 4.5", "2026-08-10T09:00");
    two.edit(two.b, "nest", 1, "note = 'behind the shutter'", "2026-08-10T11:00");
    const auto report = two.merge(two.a, two.b);
    CHECK(report.conflicts.empty());
    CHECK(value(two.a, "SELECT height_m, note FROM nest WHERE id = " + id_text(1)) ==
          "4.5 behind the shutter");
    CHECK(value(two.a, "SELECT changed_at FROM nest WHERE id = " + id_text(1)) ==
          "2026-08-20T18:00:00.000Z");
}

TEST_CASE("Merge, AConflictIsListedOnceAndCanBeDecidedByHand")
{
    const TwoBooks two;
    two.edit(two.a, "nest", 1, "note = 'ours'", "2026-08-10T09:00");
    two.edit(two.b, "nest", 1, "note = 'theirs'", "2026-08-10T11:00");
    auto report = two.merge(two.a, two.b);
    REQUIRE(report.conflicts.size() == 1);
    CHECK(report.conflicts[0].first == "'ours'");
    CHECK(report.conflicts[0].second == "'theirs'");
    CHECK(report.conflicts[0].stands == "second");
    CHECK(two.merge(two.a, two.b).conflicts.empty());
    CHECK(value(two.a, "SELECT note FROM nest WHERE id = " + id_text(1)) == "theirs");

    // The same conflict has the same key in the other book.
    two.merge(two.b, two.a);
    const auto there = book::merge_conflicts(two.b, false);
    REQUIRE(there.size() == 1);
    CHECK(there[0].id == report.conflicts[0].id);

    const auto tail = there[0].id.substr(30);
    const auto decided =
        book::decide_conflict(two.a, tail, book::Choice::First, "ada", at("2026-08-21T06:00:00Z"));
    CHECK(decided.stands == "first");
    CHECK(value(two.a, "SELECT note FROM nest WHERE id = " + id_text(1)) == "ours");
    CHECK(book::merge_conflicts(two.a, false).empty());
    CHECK(book::merge_conflicts(two.a, true).size() == 1);
    must_be_whole(two.a);

    // The decision reaches the other book and is not undone by it.
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    report = two.merge(two.b, two.a);
    CHECK(report.conflicts.empty());
    CHECK(contents(two.a) == contents(two.b));
}

TEST_CASE("Merge, ADecisionIsRefusedWhenTheFieldWasChangedSince")
{
    const TwoBooks two;
    two.edit(two.a, "nest", 1, "note = 'ours'", "2026-08-10T09:00");
    two.edit(two.b, "nest", 1, "note = 'theirs'", "2026-08-10T11:00");
    const auto id = two.merge(two.a, two.b).conflicts.at(0).id;
    two.edit(two.a, "nest", 1, "note = 'third'", "2026-08-22T11:00");
    const auto decide = [&](const std::string& key) {
        return error_of(
            [&] { book::decide_conflict(two.a, key, book::Choice::First, "", kLater); });
    };
    CHECK(decide(id.substr(30)).code == ErrorCode::RuleBroken);
    CHECK(decide("ffff1").code == ErrorCode::NotFound);
    CHECK(decide("x").code == ErrorCode::InvalidInput);
    CHECK(decide("%%%%").code == ErrorCode::InvalidInput);
    CHECK(value(two.a, "SELECT note FROM nest WHERE id = " + id_text(1)) == "third");

    // A table or field that a foreign hand wrote there is not written to.
    Stranger{two.a}.run("UPDATE merge_conflict SET row_table = 'sqlite_master', field = 'sql'");
    CHECK(decide(id.substr(30)).code == ErrorCode::InvalidInput);
}

TEST_CASE("Merge, TheRuleOursOrTheirsIsObeyed")
{
    for (const auto rule : {MergeRule::Ours, MergeRule::Theirs}) {
        const TwoBooks two;
        two.edit(two.a, "nest", 1, "note = 'ours'", "2026-08-10T09:00");
        two.edit(two.b, "nest", 1, "note = 'theirs'", "2026-08-10T11:00");
        book::MergeSettings settings;
        settings.rule = rule;
        CHECK(two.merge(two.a, two.b, settings).conflicts.size() == 1);
        CHECK(value(two.a, "SELECT note FROM nest WHERE id = " + id_text(1)) ==
              (rule == MergeRule::Ours ? "ours" : "theirs"));
        CHECK_FALSE(two.merge(two.a, two.b, settings).changed_anything);
    }
}

TEST_CASE("Merge, FieldsThatBreakARuleTogetherFallBackOnTheLaterRow")
{
    const TwoBooks two;
    // Each is right alone; together the latest day would lie before the earliest.
    two.edit(two.a, "call", 1, "not_before_on = '2026-08-25'", "2026-08-10T09:00");
    two.edit(two.b, "call", 1, "not_after_on = '2026-08-15'", "2026-08-10T11:00");
    const auto report = two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT not_before_on, not_after_on FROM call WHERE id = " + id_text(1)) ==
          "NULL 2026-08-15");
    CHECK(report.conflicts.size() == 2);
    must_be_whole(two.a);
}

TEST_CASE("Merge, OneCallFromOneListIsOneCallInBothBooks")
{
    const TwoBooks two;
    enter_nest(two.a, 11, "T-77");
    enter_nest(two.b, 12, "T-77");
    two.edit(two.b, "nest", 12, "height_m = 6", "2026-08-10T13:00");
    auto report = two.merge(two.a, two.b);
    CHECK(added(report, "call") == 0);
    CHECK(added(report, "nest") == 0);
    CHECK(added(report, "visit") == 1);  // theirs, at the nest that is ours
    CHECK(value(two.a, "SELECT count(*) FROM visit WHERE nest_id = " + id_text(11)) == "2");
    CHECK(value(two.a, "SELECT height_m FROM nest WHERE id = " + id_text(11)) == "6.0");
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    must_be_whole(two.a);
    two.merge(two.b, two.a);
    CHECK(value(two.b, "SELECT count(*) FROM visit WHERE nest_id = " + id_text(12)) == "2");
    must_be_whole(two.b);
}

TEST_CASE("Merge, TwoCrewsOfOneNameStayTwo")
{
    const TwoBooks two;
    for (const unsigned n : {21U, 22U}) {
        book::Book book = book::Book::open(n == 21 ? two.a : two.b);
        book::Change change{book, at("2026-08-10T08:00:00Z")};
        Crew crew;
        crew.id = key<CrewId>(n);
        crew.name = "south";
        crew.depot = {Longitude{9.52}, Latitude{47.14}};
        crew.shift_begins = ClockTime::at(7, 0);
        crew.shift_ends = ClockTime::at(16, 0);
        change.insert(crew);
        change.commit();
    }
    const auto report = two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT name FROM crew ORDER BY name") == "north south south (2)");
    REQUIRE(report.notes.size() == 1);
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    two.merge(two.b, two.a);
    CHECK(contents(two.a) == contents(two.b));
    must_be_whole(two.b);
}

TEST_CASE("Merge, WhatOneBookRemovedIsRemovedAndDoesNotComeBack")
{
    const TwoBooks two;
    {
        book::Book book = book::Book::open(two.a);
        book::Change change{book, at("2026-08-10T08:00:00Z")};
        change.remove(key<LotParentId>(2));
        change.commit();
    }
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    CHECK(value(two.a, "SELECT count(*) FROM lot_parent") == "1");
    const auto report = two.merge(two.b, two.a);
    CHECK(value(two.b, "SELECT count(*) FROM lot_parent") == "1");
    CHECK(report.conflicts.empty());
    CHECK(contents(two.a) == contents(two.b));
}

TEST_CASE("Merge, ARemovedRowThatTheOtherBookBuiltOnComesBack")
{
    const TwoBooks two;
    Stranger{two.a}.run("DELETE FROM collection WHERE id = " + id_text(3) +
                        "; DELETE FROM comb_piece WHERE id = " + id_text(3));
    {
        book::Book book = book::Book::open(two.b);
        book::Change change{book, at("2026-08-12T08:00:00Z")};
        Collection collection;
        collection.id = key<CollectionId>(33);
        collection.comb = key<CombId>(3);
        collection.collected_at = at("2026-08-12T07:00:00Z");
        change.insert(collection);
        change.commit();
    }
    two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT count(*) FROM comb_piece WHERE id = " + id_text(3)) == "1");
    CHECK(value(two.a, "SELECT count(*) FROM collection WHERE id = " + id_text(33)) == "1");
    CHECK(value(two.a, "SELECT count(*) FROM collection WHERE id = " + id_text(3)) == "0");
    must_be_whole(two.a);
}

TEST_CASE("Merge, ChainsOfSealedLotsGoOnAndEveryHashIsStillFound")
{
    const TwoBooks two;
    enter_nest(two.a, 11);
    enter_nest(two.b, 12);
    seal_lot(two.a, 11, 11, "L-11");
    seal_lot(two.b, 12, 12, "L-12");
    const auto hash_there = value(two.b, "SELECT hash FROM lot_chain ORDER BY number DESC LIMIT 1");
    const auto hash_here = value(two.a, "SELECT hash FROM lot_chain ORDER BY number DESC LIMIT 1");
    const auto report = two.merge(two.a, two.b);
    CHECK(report.links == 1);
    must_be_whole(two.a);
    CHECK(book::link_with_hash(two.a, hash_here) == 1);
    CHECK(book::link_with_hash(two.a, hash_there) == 2);
    CHECK(book::link_with_hash(two.a, std::string(64, 'f')) == 0);
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);

    two.merge(two.b, two.a);
    must_be_whole(two.b);
    CHECK(book::link_with_hash(two.b, hash_here) == 2);
    CHECK(book::link_with_hash(two.b, hash_there) == 1);
    CHECK(contents(two.a) == contents(two.b));
    // Only links of the other book's links are new now, and soon nothing is.
    two.merge(two.a, two.b);
    two.merge(two.b, two.a);
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    CHECK(value(two.a, "SELECT count(*) FROM lot_chain") == "2");

    // Altering what was taken in shows.
    Stranger hand{two.a};
    hand.run("DROP TRIGGER lot_chain_branch_is_not_edited");
    hand.run("UPDATE lot_chain_branch SET record = replace(record, '30', '31')");
    CHECK(book::check(two.a).broken.size() > 1);
}

TEST_CASE("Merge, ALotSealedInOneBookTakesNothingMoreFromTheOther")
{
    const TwoBooks two;
    {
        book::Book book = book::Book::open(two.a);
        book::Change change{book, at("2026-08-10T08:00:00Z")};
        change.seal(key<LotId>(1), at("2026-08-10T08:00:00Z"));
        change.commit();
    }
    enter_nest(two.b, 12);
    {
        book::Book book = book::Book::open(two.b);
        book::Change change{book, at("2026-08-11T08:00:00Z")};
        LotParent parent;
        parent.id = key<LotParentId>(12);
        parent.lot = key<LotId>(1);
        parent.catch_id = key<CatchId>(12);
        change.insert(parent);
        change.commit();
    }
    auto report = two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT count(*) FROM lot_parent") == "2");
    REQUIRE(report.conflicts.size() == 1);
    CHECK(report.conflicts[0].grounds == "sealed");
    must_be_whole(two.a);
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    const auto refused = error_of([&] {
        book::decide_conflict(two.a, report.conflicts[0].id, book::Choice::Second, "", kLater);
    });
    CHECK(refused.code == ErrorCode::InvalidInput);

    // The other way round the catch leaves the bag that was sealed without it.
    report = two.merge(two.b, two.a);
    CHECK(value(two.b, "SELECT count(*) FROM lot_parent") == "2");
    CHECK(value(two.b, "SELECT count(*) FROM catch WHERE id = " + id_text(12)) == "1");
    must_be_whole(two.b);
    CHECK(contents(two.a) == contents(two.b));
}

TEST_CASE("Merge, ALotSealedInBothBooksStaysAsEachSealedIt")
{
    const TwoBooks two;
    for (const bool first : {true, false}) {
        book::Book book = book::Book::open(first ? two.b : two.a);
        const auto when = at(first ? "2026-08-10T08:00:00Z" : "2026-08-11T08:00:00Z");
        book::Change change{book, when};
        change.seal(key<LotId>(1), when);
        change.commit();
    }
    const auto report = two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT sealed_at FROM lot") == "2026-08-11T08:00:00.000Z");
    REQUIRE(report.conflicts.size() == 1);
    CHECK(report.conflicts[0].grounds == "sealed");
    must_be_whole(two.a);
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    two.merge(two.b, two.a);
    CHECK(value(two.b, "SELECT sealed_at FROM lot") == "2026-08-10T08:00:00.000Z");
    must_be_whole(two.b);
}

TEST_CASE("Merge, CatchesInASealedLotStayAsTheyWereSealed")
{
    const TwoBooks two;
    {
        book::Book book = book::Book::open(two.a);
        book::Change change{book, at("2026-08-10T08:00:00Z")};
        change.seal(key<LotId>(1), at("2026-08-10T08:00:00Z"));
        change.commit();
    }
    two.edit(two.b, "catch", 1, "mass_g = 99", "2026-08-12T08:00");
    auto report = two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT mass_g FROM catch WHERE id = " + id_text(1)) == "42.5");
    REQUIRE(report.conflicts.size() == 1);
    CHECK(report.conflicts[0].field == "mass_g");
    must_be_whole(two.a);
    report = two.merge(two.b, two.a);
    CHECK(value(two.b, "SELECT mass_g FROM catch WHERE id = " + id_text(1)) == "42.5");
    must_be_whole(two.b);
    CHECK(contents(two.a) == contents(two.b));
}

TEST_CASE("Merge, VenomFromANestThatHadInsecticideIsRefusedWithTheBookAsItWas")
{
    const TwoBooks two;
    enter_nest(two.a, 11);
    std::filesystem::remove(two.b);
    std::filesystem::copy_file(two.a, two.b);
    seal_lot(two.a, 11, 11, "L-11");
    two.edit(two.b, "nest", 11, "insecticide = 1", "2026-08-12T08:00");
    const auto before = bytes_of(two.a);
    const auto error = error_of([&] { two.merge(two.a, two.b); });
    CHECK(error.code == ErrorCode::RuleBroken);
    CHECK(error.message.find("L-11") != std::string::npos);
    CHECK(error.message.find("insecticide") != std::string::npos);
    CHECK(bytes_of(two.a) == before);
    must_be_whole(two.a);

    // Withdrawn, the lot stands in nobody's way.
    {
        book::Book book = book::Book::open(two.a);
        book::Change change{book, at("2026-08-13T08:00:00Z")};
        LotCorrection withdrawn;
        withdrawn.id = key<LotCorrectionId>(1);
        withdrawn.lot = key<LotId>(11);
        withdrawn.at = at("2026-08-13T08:00:00Z");
        withdrawn.who = "ada";
        withdrawn.field = "withdrawn";
        withdrawn.why = "insecticide";
        change.insert(withdrawn);
        change.commit();
    }
    two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT insecticide FROM nest WHERE id = " + id_text(11)) == "1");
    must_be_whole(two.a);
    two.merge(two.b, two.a);
    must_be_whole(two.b);
}

TEST_CASE("Merge, OneCatchInTwoBagsOrTwoBagsWithOneCodeIsRefused")
{
    {
        const TwoBooks two;
        enter_nest(two.a, 11);
        std::filesystem::remove(two.b);
        std::filesystem::copy_file(two.a, two.b);
        seal_lot(two.a, 11, 11, "L-11");
        seal_lot(two.b, 12, 11, "L-12");
        const auto error = error_of([&] { two.merge(two.a, two.b); });
        CHECK(error.code == ErrorCode::RuleBroken);
        CHECK(error.message.find("L-11") != std::string::npos);
        CHECK(error.message.find("L-12") != std::string::npos);
    }
    const TwoBooks two;
    enter_nest(two.a, 11);
    enter_nest(two.b, 12);
    seal_lot(two.a, 11, 11, "L-11");
    seal_lot(two.b, 12, 12, "L-11");
    const auto error = error_of([&] { two.merge(two.a, two.b); });
    CHECK(error.code == ErrorCode::RuleBroken);
    CHECK(error.message.find("L-11") != std::string::npos);
}

TEST_CASE("Merge, ReadingsAreTakenAndTheLaterOfTwoStands")
{
    const TwoBooks two;
    for (const bool ours : {true, false}) {
        book::Book book = book::Book::open(ours ? two.a : two.b);
        book::Change change{book, at(ours ? "2026-08-10T08:00:00Z" : "2026-08-11T08:00:00Z")};
        const std::vector<WeatherDay> days{
            {key<StationId>(1), day("2026-08-09"), Celsius{ours ? 10.0 : 12.0}, Celsius{20}},
            {key<StationId>(1), day(ours ? "2026-08-08" : "2026-08-07"), Celsius{9}, Celsius{19}}};
        change.put(days);
        change.commit();
    }
    const auto report = two.merge(two.a, two.b);
    CHECK(added(report, "weather_day") == 1);
    CHECK(value(two.a, "SELECT minimum_c FROM weather_day WHERE day = '2026-08-09'") == "12.0");
    CHECK_FALSE(two.merge(two.a, two.b).changed_anything);
    two.merge(two.b, two.a);
    CHECK(value(two.b,
                "SELECT group_concat(day || minimum_c) FROM (SELECT * FROM weather_day ORDER "
                "BY day)") ==
          value(two.a,
                "SELECT group_concat(day || minimum_c) FROM (SELECT * FROM weather_day ORDER "
                "BY day)"));
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

TEST_CASE("Merge, APartnersNestThatOneCrewDecidedOnStaysDecided")
{
    // Both read the same file of a partner, so the rows have one key, but no common past.
    const TwoBooks two;
    for (const bool ours : {true, false}) {
        Stranger hand{ours ? two.a : two.b};
        const std::string when = ours ? "'2026-08-10T08:00:00.000Z'" : "'2026-08-12T08:00:00.000Z'";
        hand.run(
            "INSERT INTO partner_import (id, created_at, changed_at, partner, file, sha256, "
            "layer, crs, read_on, rows_read, rows_refused) VALUES (" +
            id_text(70) + ", " + when + ", " + when + ", 'museum', 'm.gpkg', '" +
            std::string(64, 'a') + "', 'm', 'EPSG:4326', '2026-08-10', 1, 0)");
        hand.run(
            "INSERT INTO partner_nest (id, created_at, changed_at, geom, import_id, row_number, "
            "decision, nest_id, decided_by, decided_at) SELECT " +
            id_text(71) + ", " + when + ", " + when + ", geom, " + id_text(70) + ", 1, " +
            (ours ? "'same', " + id_text(1) + ", 'ada', " + when : "'open', NULL, NULL, NULL") +
            " FROM site WHERE id = " + id_text(1));
    }
    enter_nest(two.a, 11);
    two.merge(two.b, two.a);
    CHECK(value(two.b, "SELECT decision, decided_by FROM partner_nest") == "same ada");
    two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT decision, decided_by FROM partner_nest") == "same ada");
    must_be_whole(two.b);
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
