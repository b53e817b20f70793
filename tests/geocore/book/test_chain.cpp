// The chain of sealed lots: every way to tamper with it is seen, and named.
#include "geocore/book/chain.hpp"

#include <algorithm>

#include "geocore/book/check.hpp"
#include "geocore/book/schema.hpp"
#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;
using book::Book;
using book::Change;
using Catch::Contains;

namespace {

/// A book with one sealed lot that was moved, corrected, too warm once, and shipped: five links.
struct Scene {
    Folder folder;
    std::string path = folder / "a.gpkg";
    Scene()
    {
        Book book = Book::create(path, kNow);
        fill(book);
        Change change{book, kNow};
        change.seal(key<LotId>(1), kNow);
        LotMove move;
        move.id = key<LotMoveId>(1);
        move.lot = key<LotId>(1);
        move.at = kNow;
        move.who = "ada";
        move.place = {"A", "2", "7"};
        change.insert(move);
        LotCorrection correction;
        correction.id = key<LotCorrectionId>(1);
        correction.lot = key<LotId>(1);
        correction.at = kNow;
        correction.who = "ada";
        correction.field = "mass";
        correction.was = "40";
        correction.becomes = "39.5";
        correction.why = "scale read anew\nby day";
        change.insert(correction);
        Excursion excursion;
        excursion.id = key<ExcursionId>(1);
        excursion.place = {"A", "", ""};
        excursion.began = kNow;
        excursion.ended = kNow + std::chrono::hours{1};
        excursion.limit = Celsius{-60};
        excursion.warmest = Celsius{-41.5};
        excursion.readings = 4;
        excursion.who = "ada";
        excursion.lots = {key<LotId>(1)};
        change.insert(excursion);
        Shipment shipment;
        shipment.id = key<ShipmentId>(1);
        shipment.shipped = day("2026-08-05");
        shipment.ice = Grams{2000};
        shipment.lots = {key<LotId>(1)};
        change.insert(shipment);
        change.commit();
    }

    /// What the check says after a tamperer ran this, our triggers dropped and put back.
    [[nodiscard]] std::vector<std::string> after(const std::string& table,
                                                 const std::string& sql) const
    {
        Stranger stranger{path};
        const auto triggers = stranger.ask(
            "SELECT group_concat(sql, ';') || ';' FROM sqlite_master WHERE type = 'trigger' AND "
            "tbl_name = '" +
            table + "'");
        std::string names = stranger.ask(
            "SELECT group_concat('DROP TRIGGER \"' || name || '\";', ' ') FROM sqlite_master WHERE "
            "type = 'trigger' AND tbl_name = '" +
            table + "'");
        stranger.run(names);
        stranger.run(sql);
        stranger.run(triggers);
        std::vector<std::string> out;
        for (const auto& rule : book::check(path).broken) {
            out.push_back(rule.text());
        }
        return out;
    }
};

}  // namespace

TEST_CASE("Chain, EachRecordOfASealedLotHasALink")
{
    const Scene scene;
    const auto report = book::check(scene.path);
    CHECK(report.broken.empty());
    CHECK(report.links == 5);
    CHECK(Stranger{scene.path}.ask(
              "SELECT group_concat(kind, ' ') FROM (SELECT kind FROM lot_chain ORDER BY number)") ==
          "seal move correction excursion shipment");
    const Book book = Book::open(scene.path, book::Mode::ReadOnly);
    const auto head = book.chain_head();
    REQUIRE(head);
    CHECK(head->hash == report.head);
    CHECK(book.chain_link(ChainKind::Seal, key<LotId>(1).uuid())->previous == std::string(64, '0'));
    const auto correction = book.chain_link(ChainKind::Correction, key<LotCorrectionId>(1).uuid());
    CHECK_THAT(correction->record, Contains("why scale read anew\\nby day\n"));
}

TEST_CASE("Chain, AnAlteredRowIsNamedWithWhatChanged")
{
    const Scene scene;
    const auto said = scene.after("lot", "UPDATE lot SET mass_g = 60");
    REQUIRE(said.size() == 1);
    CHECK_THAT(said.front(), Contains("link 1, seal of lot L-1"));
    CHECK_THAT(said.front(), Contains("recorded 'mass_g 40', now 'mass_g 60'"));
}

TEST_CASE("Chain, AnAlteredCatchUnderASealedLotIsSeen")
{
    const Scene scene;
    const auto said = scene.after("catch", "UPDATE catch SET mass_g = 50 WHERE id = " + id_text(1));
    REQUIRE(said.size() == 1);
    CHECK_THAT(said.front(), Contains("recorded 'mass_g 42.5', now 'mass_g 50'"));
}

TEST_CASE("Chain, ALinkMadeToFitAnAlteredRowIsSeen")
{
    const Scene scene;
    {
        Stranger stranger{scene.path};
        stranger.run("DROP TRIGGER lot_once_sealed_is_not_edited; UPDATE lot SET mass_g = 60");
    }
    const auto said =
        scene.after("lot_chain",
                    "UPDATE lot_chain SET record = replace(record, 'mass_g 40', 'mass_g 60') "
                    "WHERE kind = 'seal'");
    CHECK(std::any_of(said.begin(), said.end(), [](const std::string& line) {
        return line.find("link 1, seal of lot L-1: its hash is not that of its text") !=
               std::string::npos;
    }));
}

TEST_CASE("Chain, ALinkHashedAnewBreaksTheNext")
{
    const Scene scene;
    ChainLink forged;
    {
        const Book book = Book::open(scene.path, book::Mode::ReadOnly);
        forged = *book.chain_link(ChainKind::Move, key<LotMoveId>(1).uuid());
    }
    forged.record.replace(forged.record.find("box 7"), 5, "box 8");
    const auto hash = book::hash_of(forged);
    {
        Stranger stranger{scene.path};
        stranger.run("DROP TRIGGER lot_move_is_not_edited; UPDATE lot_move SET box = '8'");
    }
    const auto said = scene.after("lot_chain", "UPDATE lot_chain SET hash = '" + hash +
                                                   "', record = replace(record, 'box 7', 'box 8') "
                                                   "WHERE kind = 'move'");
    const auto first = std::find_if(said.begin(), said.end(), [](const std::string& line) {
        return line.find("lot_chain, link") == 0;
    });
    REQUIRE(first != said.end());
    CHECK_THAT(*first,
               Contains("link 3, correction of lot L-1: it does not rest on the link before"));
}

TEST_CASE("Chain, ALinkTakenOutIsMissed")
{
    const Scene scene;
    const auto said = scene.after("lot_chain", "DELETE FROM lot_chain WHERE number = 2");
    REQUIRE(said.size() == 2);
    CHECK_THAT(said[0], Contains("link 3, correction of lot L-1: link 2 before it is missing"));
    CHECK_THAT(said[1], Contains("move of lot L-1: the record has no link"));
}

TEST_CASE("Chain, ARecordPutInPastTheProgramIsSeen")
{
    const Scene scene;
    {
        Stranger stranger{scene.path};
        stranger.run(
            "INSERT INTO lot_move (id, created_at, changed_at, lot_id, moved_at, who, freezer) "
            "VALUES (" +
            id_text(9) + ", '2026-08-04T06:30:00.000Z', '2026-08-04T06:30:00.000Z', " + id_text(1) +
            ", '2026-08-04T07:30:00.000Z', 'nobody', 'B')");
    }
    const auto report = book::check(scene.path);
    REQUIRE(report.broken.size() == 1);
    CHECK(report.broken.front().text() ==
          "lot_chain, move of lot L-1: the record has no link: it was put in past the program");
}

TEST_CASE("Chain, ARowThatIsGoneIsMissed")
{
    const Scene scene;
    const auto said = scene.after("lot_correction", "DELETE FROM lot_correction");
    REQUIRE(said.size() == 1);
    CHECK_THAT(said.front(), Contains("link 3, correction"));
    CHECK_THAT(said.front(), Contains("the row it is of is gone"));
}

TEST_CASE("Chain, ItsRowsAreNeitherEditedNorDeletedNorPutAnywhereElse")
{
    const Scene scene;
    Stranger stranger{scene.path};
    CHECK_THAT(stranger.attempt("UPDATE lot_chain SET record = 'x'"), Contains("never edited"));
    CHECK_THAT(stranger.attempt("DELETE FROM lot_chain"), Contains("never deleted"));
    CHECK_THAT(stranger.attempt("INSERT INTO lot_chain SELECT 99, 9, at, kind, " + id_text(7) +
                                ", record, previous, replace(hash, 'a', 'b') FROM lot_chain "
                                "WHERE number = 5"),
               Contains("at the end of the chain"));
    CHECK_THAT(stranger.attempt("UPDATE lot_move SET box = '9'"), Contains("never edited"));
    CHECK_THAT(stranger.attempt("DELETE FROM lot_move"), Contains("never deleted"));
    CHECK_THAT(stranger.attempt("UPDATE excursion SET limit_c = -80"), Contains("never edited"));
    CHECK_THAT(stranger.attempt("DELETE FROM excursion_lot"), Contains("never deleted"));
    CHECK_THAT(stranger.attempt("UPDATE shipment SET shipped_on = '2026-08-06'"),
               Contains("never edited"));
    CHECK_THAT(stranger.attempt("DELETE FROM shipment_lot"), Contains("never edited"));
    CHECK(stranger.attempt("UPDATE shipment SET tracking = '123'").empty());
    CHECK(book::check(scene.path).broken.empty());
}

TEST_CASE("Chain, AClockThatRunsBehindIsToldAndMustBeConfirmed")
{
    const Scene scene;
    Book book = Book::open(scene.path);
    LotMove move;
    move.id = key<LotMoveId>(2);
    move.lot = key<LotId>(1);
    move.at = kNow - std::chrono::hours{2};
    move.who = "ada";
    move.place = {"B", "", ""};
    {
        Change change{book, kNow - std::chrono::hours{2}};
        const auto error = error_of([&] { change.insert(move); });
        CHECK(error.code == ErrorCode::InvalidInput);
        CHECK_THAT(error.message, Contains("the clock says 2026-08-04T04:30:00.000Z, but the last "
                                           "record of a sealed lot is of 2026-08-04T06:30"));
    }
    CHECK(book.lot_moves(key<LotId>(1)).size() == 1);
    {
        Change change{book, kNow - std::chrono::hours{2}};
        change.clock_is_right();
        change.insert(move);
        change.commit();
    }
    CHECK(book::check(scene.path).broken.empty());
    CHECK_THAT(book.chain_head()->record, Contains("clock behind the link before, confirmed"));
    // A link put back in time without the word of confirmation is a fault.
    const auto said =
        scene.after("lot_chain",
                    "UPDATE lot_chain SET record = replace(record, 'clock behind the link before, "
                    "confirmed' || char(10), '') WHERE number = 6");
    CHECK(std::any_of(said.begin(), said.end(), [](const std::string& line) {
        return line.find("it is earlier than the link before it") != std::string::npos;
    }));
}

TEST_CASE("Chain, LotsSealedBeforeThereWasAChainGetTheirLinks")
{
    for (int from = 1; from < book::kChainSchema; ++from) {
        INFO("from schema " << from);
        const Folder folder;
        const auto path = folder / "old.gpkg";
        book::create_book_file(path, kNow,
                               book::standard_migrations().first(static_cast<std::size_t>(from)));
        {
            Stranger old{path};
            const std::string when = "'2026-08-03T08:00:00.000Z'";
            const std::string row = id_text(1) + ", " + when + ", " + when + ", ";
            old.run("INSERT INTO site (id, created_at, changed_at, geom) VALUES (" + row +
                    "x'47500001e6100000010100000000000000000000000000000000000000')");
            old.run(
                "INSERT INTO nest (id, created_at, changed_at, site_id, season, taxon, kind) "
                "VALUES (" +
                row + id_text(1) + ", 2026, 'VMAC', 'aerial')");
            old.run(
                "INSERT INTO visit (id, created_at, changed_at, nest_id, begun_at, method) "
                "VALUES (" +
                row + id_text(1) + ", " + when + ", 'hand')");
            old.run(
                "INSERT INTO catch (id, created_at, changed_at, visit_id, taxon, mass_g, "
                "frozen_at) VALUES (" +
                row + id_text(1) + ", 'VMAC', 40, " + when + ")");
            old.run(
                "INSERT INTO lot (id, created_at, changed_at, code, taxon, purpose, frozen_at, "
                "mass_g) VALUES (" +
                row + "'OLD-1', 'VMAC', 'venom', " + when + ", 40)");
            old.run(
                "INSERT INTO lot_parent (id, created_at, changed_at, lot_id, catch_id) VALUES (" +
                row + id_text(1) + ", " + id_text(1) + ")");
            old.run("UPDATE lot SET sealed_at = " + when);
            old.run(
                "INSERT INTO lot_correction (id, created_at, changed_at, lot_id, corrected_at, "
                "who, field, was, becomes, why) VALUES (" +
                row + id_text(1) + ", " + when + ", 'ada', 'note', NULL, 'x', 'y')");
        }
        {
            const Book book = Book::open(path);
            REQUIRE(book.chain_head());
            CHECK(book.chain_head()->number == 2);
        }
        for (const auto& rule : book::check(path).broken) {
            CHECK(rule.table != "lot_chain");
        }
    }
}

TEST_CASE("Chain, ASharedCatchIsWeighedInPartsThatAreNotMoreThanTheWhole")
{
    const Folder folder;
    Book book = Book::create(folder / "a.gpkg", kNow);
    fill(book);
    Lot lot;
    lot.id = key<LotId>(2);
    lot.code = "L-2";
    lot.taxon = "VMAC";
    lot.frozen_at = kNow;
    LotParent parent;
    parent.id = key<LotParentId>(9);
    parent.lot = lot.id;
    parent.catch_id = key<CatchId>(1);
    parent.mass = Grams{10};
    Change change{book, kNow};
    change.insert(lot);
    // Lot 1 has it whole.
    CHECK_THAT(error_of([&] { change.insert(parent); }).message,
               Contains("in another lot already"));
    change.remove(key<LotParentId>(1));
    change.insert(parent);
    parent.id = key<LotParentId>(10);
    parent.lot = key<LotId>(1);
    parent.mass = Grams{32.6};
    CHECK_THAT(error_of([&] { change.insert(parent); }).message, Contains("more than the whole"));
    parent.mass = Grams{32.5};
    change.insert(parent);
    change.commit();
    // All of the catch is in bags now, half of what is loose is not.
    for (const auto& row : book.loose()) {
        CHECK(row.catch_id != std::optional{key<CatchId>(1)});
    }
    CHECK(book.loose().size() == 4);  // catches 2 and 3, collections 2 and 3
}
