// Sealed lots, their parts and their chains when two books become one.
#include "tests/geocore/book/merge_support.hpp"

using namespace nestround;
using namespace nestround::test;

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
