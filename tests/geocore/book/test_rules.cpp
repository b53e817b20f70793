// What the schema refuses, asked by a program that has foreign keys off and knows none of our code.
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;
using book::Change;
using Catch::Contains;

namespace {

constexpr const char* kStamps = "'2026-08-04T06:30:00.000Z', '2026-08-04T06:30:00.000Z'";

std::string parent_insert(unsigned n, unsigned lot, const std::string& column, unsigned what)
{
    return "INSERT INTO lot_parent (id, created_at, changed_at, lot_id, " + column + ") VALUES (" +
           id_text(n) + ", " + kStamps + ", " + id_text(lot) + ", " + id_text(what) + ")";
}

std::string correction(unsigned n, const std::string& field, const std::string& becomes)
{
    return "INSERT INTO lot_correction (id, created_at, changed_at, lot_id, corrected_at, who, "
           "field, becomes, why) VALUES (" +
           id_text(n) + ", " + kStamps + ", " + id_text(1) +
           ", '2026-08-04T06:30:00.000Z', 'K', '" + field + "', " + becomes + ", 'said so')";
}

/// A filled book, closed, and a stranger to it.
struct Scene {
    Folder folder;
    std::string path = folder / "a.gpkg";
    Scene()
    {
        Book book = Book::create(path, kNow);
        fill(book);
    }
    void seal()
    {
        Book book = Book::open(path);
        Change change{book, kNow};
        change.seal(key<LotId>(1), at("2026-08-03T20:00:00Z"));
        change.commit();
    }
};

}  // namespace

TEST_CASE("Rules, NoOrphansWithForeignKeysOff")
{
    Scene scene;
    Stranger stranger{scene.path};
    REQUIRE(stranger.ask("PRAGMA foreign_keys") == "0");
    for (const auto* table : {"site", "nest", "call", "visit", "catch", "comb_piece", "collection",
                              "crew", "weather_station"}) {
        CAPTURE(table);
        CHECK_THAT(
            stranger.attempt(std::string{"DELETE FROM "} + table + " WHERE id = " + id_text(1)),
            Contains("is still named by"));
    }
    CHECK_THAT(stranger.attempt("UPDATE nest SET site_id = " + id_text(77)),
               Contains("names no site of this book"));
    CHECK_THAT(stranger.attempt("INSERT INTO gear (id, created_at, changed_at, crew_id) VALUES (" +
                                id_text(77) + ", " + kStamps + ", " + id_text(77) + ")"),
               Contains("names no crew of this book"));
    CHECK_THAT(
        stranger.attempt("UPDATE site SET id = " + id_text(77) + " WHERE id = " + id_text(1)),
        Contains("keys of a site never change"));
    CHECK_THAT(stranger.attempt("UPDATE OR REPLACE site SET fid = 2 WHERE fid = 1"),
               Contains("keys of a site never change"));
}

TEST_CASE("Rules, ALotHasOneSpecies")
{
    Scene scene;
    Stranger stranger{scene.path};
    CHECK_THAT(stranger.attempt(parent_insert(9, 1, "catch_id", 3)), Contains("one species"));
    CHECK_THAT(stranger.attempt(parent_insert(9, 1, "collection_id", 3)), Contains("one species"));
    // Nothing may change species under a lot either.
    CHECK_THAT(stranger.attempt("UPDATE catch SET taxon = 'VGER' WHERE id = " + id_text(1)),
               Contains("keeps its species"));
    CHECK_THAT(stranger.attempt("UPDATE nest SET taxon = NULL WHERE id = " + id_text(1)),
               Contains("rests on the species"));
    CHECK_THAT(stranger.attempt("UPDATE lot SET taxon = 'VGER'"), Contains("keeps its species"));
    CHECK_THAT(
        stranger.attempt("UPDATE visit SET nest_id = " + id_text(3) + " WHERE id = " + id_text(1)),
        Contains("keeps its nest"));
    CHECK_THAT(stranger.attempt("UPDATE collection SET comb_id = " + id_text(3) +
                                " WHERE id = " + id_text(1)),
               Contains("keeps its comb"));
    CHECK_THAT(stranger.attempt("UPDATE comb_piece SET visit_id = " + id_text(3) +
                                " WHERE id = " + id_text(1)),
               Contains("keeps its visit"));
    CHECK_THAT(stranger.attempt("UPDATE lot_parent SET catch_id = " + id_text(3) +
                                " WHERE catch_id = " + id_text(1)),
               Contains("entered anew"));
}

TEST_CASE("Rules, AnUnnamedCatchEntersNoLot")
{
    Scene scene;
    Stranger stranger{scene.path};
    stranger.run("UPDATE catch SET taxon = NULL WHERE id = " + id_text(3));
    CHECK_THAT(stranger.attempt(parent_insert(9, 1, "catch_id", 3)), Contains("unnamed"));
}

TEST_CASE("Rules, NoInsecticideInALotForVenom")
{
    Scene scene;
    Stranger stranger{scene.path};
    CHECK_THAT(stranger.attempt(parent_insert(9, 1, "catch_id", 2)), Contains("insecticide"));
    CHECK_THAT(stranger.attempt(parent_insert(9, 1, "collection_id", 2)), Contains("insecticide"));
    CHECK_THAT(stranger.attempt("UPDATE nest SET insecticide = 1 WHERE id = " + id_text(1)),
               Contains("rests on this nest"));
    // A lot for anything else may hold it, and then never becomes one for venom.
    stranger.run(
        "INSERT INTO lot (id, created_at, changed_at, code, taxon, purpose, frozen_at) "
        "VALUES (" +
        id_text(2) + ", " + kStamps + ", 'L-2', 'VMAC', 'other', '2026-08-03T08:40:00.000Z')");
    stranger.run(parent_insert(9, 2, "catch_id", 2));
    CHECK_THAT(stranger.attempt("UPDATE lot SET purpose = 'venom' WHERE id = " + id_text(2)),
               Contains("keeps its species and purpose"));
    // Taken out of the lot, the truth about the nest can be written.
    stranger.run("DELETE FROM lot_parent WHERE lot_id = " + id_text(1));
    stranger.run("UPDATE nest SET insecticide = 1 WHERE id = " + id_text(1));
}

TEST_CASE("Rules, ASealedLotIsNeverEdited")
{
    Scene scene;
    scene.seal();
    Stranger stranger{scene.path};
    CHECK_THAT(stranger.attempt("UPDATE lot SET mass_g = 41"), Contains("never edited"));
    CHECK_THAT(stranger.attempt("UPDATE lot SET sealed_at = NULL"), Contains("never edited"));
    CHECK_THAT(stranger.attempt("UPDATE lot SET fid = 77"), Contains("never"));
    CHECK_THAT(stranger.attempt("DELETE FROM lot"), Contains("lot"));
    CHECK_THAT(stranger.attempt("DELETE FROM lot_parent"), Contains("taken out of a sealed lot"));
    CHECK_THAT(stranger.attempt("UPDATE lot_parent SET mass_g = 1"), Contains("never edited"));
    CHECK_THAT(stranger.attempt("UPDATE catch SET mass_g = 1 WHERE id = " + id_text(1)),
               Contains("never edited"));
    CHECK_THAT(stranger.attempt("UPDATE collection SET workers = 1 WHERE id = " + id_text(1)),
               Contains("never edited"));
    CHECK_THAT(stranger.attempt("DELETE FROM catch WHERE id = " + id_text(1)), Contains("catch"));
    stranger.run(
        "INSERT INTO catch (id, created_at, changed_at, visit_id, taxon, frozen_at) VALUES (" +
        id_text(4) + ", " + kStamps + ", " + id_text(1) + ", 'VMAC', '2026-08-03T08:50:00.000Z')");
    CHECK_THAT(stranger.attempt(parent_insert(9, 1, "catch_id", 4)), Contains("lot is sealed"));
    // REPLACE deletes without firing delete triggers: it must not get that far.
    for (const auto* code : {"L-1", "L-9"}) {
        CHECK_THAT(
            stranger.attempt("INSERT OR REPLACE INTO lot (id, created_at, changed_at, code, "
                             "taxon, purpose, frozen_at) VALUES (" +
                             id_text(code == std::string{"L-1"} ? 9 : 1) + ", " + kStamps + ", '" +
                             code + "', 'VMAC', 'venom', '2026-08-03T08:40:00.000Z')"),
            Contains("already there"));
    }
    stranger.run(
        "INSERT INTO lot (id, created_at, changed_at, code, taxon, purpose, frozen_at) "
        "VALUES (" +
        id_text(3) + ", " + kStamps + ", 'L-3', 'VMAC', 'venom', '2026-08-03T08:40:00.000Z')");
    CHECK_THAT(stranger.attempt("UPDATE OR REPLACE lot SET code = 'L-1' WHERE id = " + id_text(3)),
               Contains("already there"));
    CHECK(stranger.ask("SELECT mass_g, sealed_at FROM lot WHERE code = 'L-1'") ==
          "40.0 2026-08-03T20:00:00.000Z");
    // What is not in it may still be put right.
    stranger.run("UPDATE catch SET mass_g = 1 WHERE id = " + id_text(3));
}

TEST_CASE("Rules, ALotIsSealedWithContentsAndMass")
{
    Scene scene;
    Stranger stranger{scene.path};
    stranger.run(
        "INSERT INTO lot (id, created_at, changed_at, code, taxon, purpose, frozen_at, "
        "mass_g) VALUES (" +
        id_text(2) + ", " + kStamps + ", 'L-2', 'VMAC', 'venom', '2026-08-03T08:40:00.000Z', 5)");
    CHECK_THAT(stranger.attempt("UPDATE lot SET sealed_at = '2026-08-04T00:00:00.000Z' WHERE code "
                                "= 'L-2'"),
               Contains("empty lot"));
    stranger.run("UPDATE lot SET mass_g = NULL WHERE code = 'L-1'");
    CHECK_THAT(stranger.attempt("UPDATE lot SET sealed_at = '2026-08-04T00:00:00.000Z' WHERE code "
                                "= 'L-1'"),
               Contains("with its mass"));
    CHECK_THAT(
        stranger.attempt("INSERT INTO lot (id, created_at, changed_at, code, taxon, purpose, "
                         "frozen_at, mass_g, sealed_at) VALUES (" +
                         id_text(3) + ", " + kStamps +
                         ", 'L-3', 'VMAC', 'venom', '2026-08-03T08:40:00.000Z', 5, "
                         "'2026-08-04T00:00:00.000Z')"),
        Contains("not at once"));
}

TEST_CASE("Rules, CorrectionsAreFurtherRowsThatStay")
{
    Scene scene;
    {
        Stranger stranger{scene.path};
        CHECK_THAT(stranger.attempt(correction(1, "mass", "'41'")), Contains("sealed lot"));
    }
    scene.seal();
    Stranger stranger{scene.path};
    stranger.run(correction(1, "mass", "'41'"));
    CHECK_THAT(stranger.attempt("UPDATE lot_correction SET why = 'x'"), Contains("never edited"));
    CHECK_THAT(stranger.attempt("DELETE FROM lot_correction"), Contains("never deleted"));
    CHECK_THAT(stranger.attempt(correction(2, "taxon", "'VGER'")), Contains("a correction is of"));
}

TEST_CASE("Rules, TheTruthAboutANestIsWrittenOnceItsLotIsWithdrawn")
{
    Scene scene;
    scene.seal();
    Stranger stranger{scene.path};
    const auto poisoned = "UPDATE nest SET insecticide = 1 WHERE id = " + id_text(1);
    CHECK_THAT(stranger.attempt(poisoned), Contains("withdraw the lot"));
    stranger.run(correction(1, "withdrawn", "NULL"));
    CHECK_THAT(stranger.attempt(correction(2, "withdrawn", "NULL")), Contains("already withdrawn"));
    stranger.run(poisoned);
}

TEST_CASE("Rules, OnlyWhatIsSealedAndOrderedLeaves")
{
    Scene scene;
    const auto ship = "INSERT INTO shipment_lot (shipment_id, lot_id) VALUES (" + id_text(1) +
                      ", " + id_text(1) + ")";
    {
        Book book = Book::open(scene.path);
        Change change{book, kNow};
        Order order;
        order.id = key<OrderId>(1);
        order.laboratory = "a laboratory";
        order.taxon = "VGER";
        order.wanted = Grams{100};
        order.placed = day("2026-07-01");
        change.insert(order);
        Shipment shipment;
        shipment.id = key<ShipmentId>(1);
        shipment.shipped = day("2026-08-05");
        shipment.order = order.id;
        change.insert(shipment);
        shipment.id = key<ShipmentId>(2);
        shipment.order.reset();
        change.insert(shipment);
        change.commit();
    }
    {
        Stranger stranger{scene.path};
        CHECK_THAT(stranger.attempt("INSERT INTO shipment_lot (shipment_id, lot_id) VALUES (" +
                                    id_text(2) + ", " + id_text(1) + ")"),
                   Contains("only a sealed lot"));
    }
    scene.seal();
    Stranger stranger{scene.path};
    CHECK_THAT(stranger.attempt(ship), Contains("not what the order"));
    stranger.run("UPDATE shipment SET order_id = NULL");
    stranger.run(ship);
    CHECK_THAT(stranger.attempt(ship), Contains("already in a shipment"));
    CHECK_THAT(stranger.attempt("UPDATE shipment SET order_id = " + id_text(1)),
               Contains("keeps its order"));
    stranger.run("DELETE FROM shipment_lot");
    stranger.run(correction(1, "withdrawn", "NULL"));
    CHECK_THAT(stranger.attempt(ship), Contains("not withdrawn"));
}

TEST_CASE("Rules, ChecksRefuseWhatNoRowMayHold")
{
    Scene scene;
    Stranger stranger{scene.path};
    for (const auto* sql :
         {"UPDATE nest SET season = 26",
          "UPDATE nest SET season = 2026.5",
          "UPDATE nest SET kind = 'hanging'",
          "UPDATE nest SET height_m = 'tall'",
          "UPDATE nest SET width_m = 0",
          "UPDATE nest SET insecticide = 2 WHERE fid = 3",
          "UPDATE nest SET insecticide = 'no' WHERE fid = 3",
          "UPDATE nest SET first_seen_on = '2026-02-30'",
          "UPDATE nest SET first_seen_on = 'spring'",
          "UPDATE nest SET taxon = '' WHERE fid = 3",
          "UPDATE call SET state = 'taken'",
          "UPDATE call SET closed_on = '2026-08-02'",
          "UPDATE call SET state = 'taken', closed_on = '2026-07-01'",
          "UPDATE call SET received_on = '4.8.2026'",
          "UPDATE call SET allowed_hours = 'mornings'",
          "UPDATE call SET not_before_on = '2026-08-09', not_after_on = '2026-08-08'",
          "UPDATE call SET must_take = 3",
          "UPDATE site SET uncertainty_m = 0",
          "UPDATE site SET changed_at = '2026-08-04 06:30:00'",
          "UPDATE site SET created_at = '2026-08-04T06:30:00Z'",
          "UPDATE crew SET shift_ends = '07:00'",
          "UPDATE crew SET shift_ends = '48:30'",
          "UPDATE crew SET people = 0",
          "UPDATE gear SET load_rating_g = -1",
          "UPDATE visit SET ended_at = begun_at || 'x'",
          "UPDATE visit SET ended_at = '2026-08-01T00:00:00.000Z'",
          "UPDATE catch SET mass_g = -1 WHERE fid = 3",
          "UPDATE catch SET count = 1.5 WHERE fid = 3",
          "UPDATE comb_piece SET larvae = -1",
          "UPDATE lot SET count = -1",
          "UPDATE weather_day SET minimum_c = 99",
          "UPDATE weather_day SET day = '2026-8-1'",
          "UPDATE setting SET value = ''"}) {
        CAPTURE(sql);
        CHECK_THAT(stranger.attempt(sql), Contains("constraint failed"));
    }
}

TEST_CASE("Rules, APlaceIsAPointOnEarth")
{
    Scene scene;
    Stranger stranger{scene.path};
    // 29 bytes of the right form: longitude 200; then a point of NaN whose header says it is empty.
    CHECK_THAT(
        stranger.attempt("UPDATE site SET geom = x'47500001E610000001010000000000000000006940"
                         "0000000000000000' WHERE fid = 1"),
        Contains("point on Earth"));
    CHECK_THAT(
        stranger.attempt("UPDATE site SET geom = x'47500011E61000000101000000000000000000F87F"
                         "000000000000F87F' WHERE fid = 1"),
        Contains("point on Earth"));
    CHECK_THAT(
        stranger.attempt("UPDATE site SET geom = x'47500001E610000001010000000000000000006940"
                         "00000000000000' WHERE fid = 1"),
        Contains("not a GeoPackage geometry"));
    CHECK_THAT(
        stranger.attempt("UPDATE site SET geom = x'47500001E610000009010000000000000000006940"
                         "0000000000000000' WHERE fid = 1"),
        Contains("not a GeoPackage geometry"));
}
