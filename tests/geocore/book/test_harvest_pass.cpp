#include "tests/geocore/book/book_support.hpp"

using namespace nestround;
using namespace nestround::test;

namespace {

struct Seen {
    std::vector<VisitId> visits;
    std::vector<std::string> taxa;
    std::vector<CatchId> catches;
    std::vector<CollectionId> collections;
    std::vector<double> lons;
};

Seen pass(const book::Book& book)
{
    Seen seen;
    book.each_harvest([&](const book::HarvestRow& row) {
        seen.visits.push_back(row.visit.id);
        seen.taxa.push_back(row.nest.taxon);
        seen.lons.push_back(row.place.lon.value());
        CHECK(row.nest.id == row.visit.nest);
        for (const auto& one : row.catches) {
            CHECK(one.visit == row.visit.id);
            seen.catches.push_back(one.id);
        }
        for (const auto& one : row.collections) {
            seen.collections.push_back(one.id);
        }
    });
    return seen;
}

Seen one_by_one(const book::Book& book)
{
    Seen seen;
    for (const auto& visit : book.all_visits()) {
        const auto nest = book.nest(visit.nest);
        const auto site = nest ? book.site(nest->site) : std::nullopt;
        if (!site) {
            continue;
        }
        seen.visits.push_back(visit.id);
        seen.taxa.push_back(nest->taxon);
        seen.lons.push_back(site->place.lon.value());
        for (const auto& one : book.catches(visit.id)) {
            seen.catches.push_back(one.id);
        }
        for (const auto& comb : book.comb(visit.id)) {
            for (const auto& one : book.collections(comb.id)) {
                seen.collections.push_back(one.id);
            }
        }
    }
    return seen;
}

void check_same(const book::Book& book)
{
    const auto whole = pass(book);
    const auto single = one_by_one(book);
    CHECK(whole.visits == single.visits);
    CHECK(whole.taxa == single.taxa);
    CHECK(whole.lons == single.lons);
    CHECK(whole.catches == single.catches);
    CHECK(whole.collections == single.collections);
}

/// Visits out of order of their keys, with none to several catches and combs.
void fill_more(book::Book& book)
{
    book::Change change{book, kNow};
    for (unsigned n = 10; n < 40; ++n) {
        Visit visit;
        visit.id = key<VisitId>(n);
        visit.nest = key<NestId>(1 + n % 3);
        visit.begun = at("2026-08-03T08:00:00Z") + std::chrono::hours{(n * 7) % 11};
        change.insert(visit);
        for (unsigned k = 0; k < n % 4; ++k) {
            CatchRecord caught;
            caught.id = key<CatchId>(1000 + 10 * n - k);
            caught.visit = visit.id;
            caught.taxon = "VMAC";
            caught.count = 10;
            caught.frozen_at = visit.begun + std::chrono::hours{k % 2};
            change.insert(caught);
        }
        for (unsigned k = 0; k < n % 3; ++k) {
            CombPiece comb;
            comb.id = key<CombId>(1000 + 10 * n + k);
            comb.visit = visit.id;
            change.insert(comb);
            for (unsigned j = 0; j < k + n % 2; ++j) {
                Collection one;
                one.id = key<CollectionId>(20000 + 100 * n + 10 * k + j);
                one.comb = comb.id;
                one.collected_at = visit.begun + std::chrono::days{4 - j};
                one.workers = 5;
                change.insert(one);
            }
        }
    }
    change.commit();
}

}  // namespace

TEST_CASE("HarvestPass, GivesWhatAskingForEachVisitGives")
{
    const Folder folder;
    auto book = book::Book::create(folder / "a.gpkg", kNow);
    CHECK(pass(book).visits.empty());
    fill(book);
    check_same(book);
    fill_more(book);
    check_same(book);
    CHECK(pass(book).visits.size() == 33);
}

TEST_CASE("HarvestPass, AVisitWithoutItsNestIsPassedOverAndTheRestIsWhole")
{
    const Folder folder;
    const auto path = folder / "a.gpkg";
    auto book = book::Book::create(path, kNow);
    fill(book);
    fill_more(book);
    // The book's own rules refuse this; a file may be damaged past them.
    Stranger stranger{path};
    stranger.run("DROP TRIGGER visit_nest_id_on_update");
    stranger.run("UPDATE visit SET nest_id = '" + key<NestId>(77).text() + "' WHERE id = '" +
                 key<VisitId>(12).text() + "'");
    check_same(book);
    CHECK(pass(book).visits.size() == 32);
}
