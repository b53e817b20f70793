// What only one crew changed, what both did, and what a person decides.
#include "tests/geocore/book/merge_support.hpp"

using namespace nestround;
using namespace nestround::test;

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

TEST_CASE("Merge, ASecondVisitAskedForAndOneDueAreBothKept")
{
    const TwoBooks two;
    two.edit(two.a, "call", 1, "second_after_min = 180, second_min = 20", "2026-08-10T09:00");
    two.edit(two.b, "call", 1, "second_due_at = '2026-08-10T14:00:00.000Z'", "2026-08-10T11:00");
    two.edit(two.a, "call", 3, "second_after_min = 60", "2026-08-10T09:00");
    two.edit(two.b, "call", 3, "second_after_min = 240", "2026-08-10T08:00");
    const auto report = two.merge(two.a, two.b);
    CHECK(value(two.a, "SELECT second_after_min, second_min, second_due_at FROM call WHERE id = " +
                           id_text(1)) == "180 20 2026-08-10T14:00:00.000Z");
    REQUIRE(report.conflicts.size() == 1);
    CHECK(report.conflicts[0].first == "240");  // the earlier
    CHECK(report.conflicts[0].second == "60");
    CHECK(value(two.a, "SELECT second_after_min FROM call WHERE id = " + id_text(3)) == "60");
    must_be_whole(two.a);
    two.merge(two.b, two.a);
    CHECK(contents(two.a) == contents(two.b));
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
