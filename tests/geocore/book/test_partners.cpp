// What partners sent comes back as it was, stands apart, and is held to its rules.
#include "geocore/book/check.hpp"
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;
using book::Change;

namespace {

PartnerImport some_import()
{
    PartnerImport import;
    import.id = key<PartnerImportId>(1);
    import.partner = "county";
    import.file = "nests 2026.gpkg";
    import.sha256 = std::string(64, 'a');
    import.layer = "nests";
    import.crs = "EPSG:25833";
    import.read_on = day("2026-08-04");
    import.rows_read = 2;
    import.rows_refused = 1;
    return import;
}

PartnerNest some_row(unsigned n)
{
    PartnerNest row;
    row.id = key<PartnerNestId>(n);
    row.import = key<PartnerImportId>(1);
    row.place = {Longitude{9.5 + 0.01 * n}, Latitude{47.2}};
    row.form = PlaceForm::Cell;
    row.uncertainty = Metres{1414};
    row.row = static_cast<int>(n);
    row.source_key = "o'Brien-" + std::to_string(n);
    row.taxon = "VMAC";
    row.taxon_as_sent = "Vespula maculifrons (du Buysson, 1905)";
    row.date_as_sent = "2026-08";
    row.first = day("2026-08-01");
    row.last = day("2026-08-31");
    row.season = 2026;
    row.count = 3;
    row.note = "depth left out";
    return row;
}

struct Scene {
    Folder folder;
    std::string path = folder / "a.gpkg";
    Book book = Book::create(path, kNow);
    Scene()
    {
        fill(book);
        Change change{book, kNow};
        change.insert(some_import());
        change.insert(some_row(1));
        change.insert(some_row(2));
        change.commit();
    }
};

}  // namespace

TEST_CASE("Partners, WhatWasSentComesBackAsItWas")
{
    const Scene scene;
    const auto import = scene.book.partner_import(key<PartnerImportId>(1)).value();
    CHECK(import.partner == "county");
    CHECK(import.file == "nests 2026.gpkg");
    CHECK(import.crs == "EPSG:25833");
    CHECK(import.read_on == day("2026-08-04"));
    CHECK(import.rows_read == 2);
    CHECK(import.rows_refused == 1);
    const auto row = scene.book.partner_nest(key<PartnerNestId>(2)).value();
    CHECK(row.place.lon.value() == 9.52);
    CHECK(row.form == PlaceForm::Cell);
    CHECK(row.uncertainty == Metres{1414});
    CHECK(row.source_key == "o'Brien-2");
    CHECK(row.taxon_as_sent == "Vespula maculifrons (du Buysson, 1905)");
    CHECK(row.first == day("2026-08-01"));
    CHECK(row.last == day("2026-08-31"));
    CHECK(row.season == 2026);
    CHECK(row.count == 3);
    CHECK(row.decision == PartnerDecision::Open);
    CHECK_FALSE(row.nest);
    CHECK(scene.book.partner_nests("county").size() == 2);
    CHECK(scene.book.partner_nests("museum").empty());
    CHECK(scene.book.partner_nests().size() == 2);
}

TEST_CASE("Partners, ADecisionIsWrittenAndTheBookStaysSound")
{
    Scene scene;
    auto row = scene.book.partner_nest(key<PartnerNestId>(1)).value();
    row.decision = PartnerDecision::Same;
    row.nest = key<NestId>(2);
    row.decided_by = "K";
    row.decided_at = kNow;
    row.place = {Longitude{10.5}, Latitude{48.0}};
    {
        Change change{scene.book, kNow};
        change.update(row);
        change.commit();
    }
    CHECK(scene.book.partner_nest(row.id)->nest == key<NestId>(2));
    const auto report = book::check(scene.path);
    CHECK(report.broken.empty());
    Stranger stranger{scene.path};
    CHECK(stranger.ask("SELECT max_x FROM gpkg_contents WHERE table_name = 'partner_nest'") ==
          "10.5");
    CHECK(stranger.ask("SELECT count(*) FROM rtree_partner_nest_geom") == "2");
    CHECK_THAT(stranger.attempt("DELETE FROM nest WHERE id = " + id_text(2)),
               Catch::Contains("is still named by"));
    // Nothing of a partner's is among the crew's own.
    CHECK(scene.book.nest_count() == 3);
    CHECK(scene.book.calls(day("2026-12-31")).size() == 3);
}

TEST_CASE("Partners, RowsThatBreakARuleAreRefused")
{
    Scene scene;
    Change change{scene.book, kNow};
    const auto refused = [&](auto spoil) {
        auto row = some_row(7);
        spoil(row);
        return error_of([&] { change.insert(row); }).code == ErrorCode::RuleBroken;
    };
    CHECK(refused([](PartnerNest& row) { row.uncertainty = Metres{0}; }));
    CHECK(refused([](PartnerNest& row) { row.first.reset(); }));
    CHECK(refused([](PartnerNest& row) { row.last = day("2026-07-01"); }));
    CHECK(refused([](PartnerNest& row) { row.season = 12; }));
    CHECK(refused([](PartnerNest& row) { row.count = 0; }));
    CHECK(refused([](PartnerNest& row) { row.row = 0; }));
    CHECK(refused([](PartnerNest& row) { row.nest = key<NestId>(1); }));
    CHECK(refused([](PartnerNest& row) { row.decision = PartnerDecision::Other; }));
    CHECK(refused([](PartnerNest& row) { row.import = key<PartnerImportId>(9); }));
    CHECK(refused([](PartnerNest& row) {
        row.decision = PartnerDecision::Same;
        row.decided_at = kNow;
    }));
    CHECK(refused([](PartnerNest& row) {
        row.decision = PartnerDecision::Same;
        row.decided_at = kNow;
        row.nest = key<NestId>(77);
    }));
    auto import = some_import();
    import.id = key<PartnerImportId>(2);
    import.sha256 = "nonsense";
    CHECK(error_of([&] { change.insert(import); }).code == ErrorCode::RuleBroken);
    change.insert(some_row(7));
}
