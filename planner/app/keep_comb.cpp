#include "planner/app/keep_comb.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geocore/base/error.hpp"
#include "planner/app/close_call.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/brood/ages.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::app {

namespace {

constexpr auto kVisitBefore = std::chrono::hours{48};  // comb of a visit comes home within

std::string words_of(const book::Book& book)
{
    std::string names;
    for (const auto& habitat : book.habitats(true)) {
        names += (names.empty() ? "" : ", ") + habitat.name;
    }
    return names.empty() ? "there is none yet; add one with: nestround habitat add"
                         : "there are: " + names;
}

int rounded(double cells) { return static_cast<int>(std::lround(std::min(cells, 1e7))); }

/// Fills what was not counted from an area and from what such a nest holds on that day.
void fill_cells(const CombEntry& entry, const nature::TaxaTable& taxa, const Nest& nest,
                const brood::CellShares& shares, CombKept& kept)
{
    CombPiece& piece = kept.piece;
    piece.counted =
        entry.area ? entry.area_by : (entry.estimated ? CellCount::Estimated : CellCount::Counted);
    if (!entry.area) {
        if (entry.estimated) {
            const auto* row = taxa.figure("all", "comb.estimate_error");
            piece.doubt = row == nullptr ? 0.3 : row->middle();
        }
        return;
    }
    piece.area_cm2 = entry.area->cm2;
    const auto cells = brood::cells_on(*entry.area, entry.cell_mm, taxa, nest.taxon);
    piece.doubt = cells.doubt;
    const auto fill = [](std::optional<int>& count, double value) {
        if (!count) {
            count = rounded(value);
        }
    };
    switch (entry.holds) {
        case AreaHolds::Eggs:
            return fill(piece.eggs, cells.cells);
        case AreaHolds::Larvae:
            return fill(piece.larvae, cells.cells);
        case AreaHolds::Sealed:
            return fill(piece.sealed_small, cells.cells);
        case AreaHolds::SealedLarge:
            return fill(piece.sealed_large, cells.cells);
        case AreaHolds::Empty:
            return fill(piece.empty, cells.cells);
        case AreaHolds::Everything:
            break;
    }
    const bool sealed_counted = piece.sealed_small.has_value();
    fill(piece.eggs, cells.cells * shares.eggs);
    fill(piece.larvae, cells.cells * shares.larvae);
    const bool one_kind = taxa.figure(nest.taxon, "colony.single_comb") != nullptr;
    fill(piece.sealed_small,
         cells.cells * (shares.sealed_small + (one_kind ? shares.sealed_large : 0)));
    fill(piece.sealed_large, one_kind ? 0 : cells.cells * shares.sealed_large);
    fill(piece.empty, cells.cells * shares.empty);
    if (!sealed_counted) {
        piece.doubt = std::hypot(cells.doubt, shares.doubt);
        kept.notes.push_back(fmt::format(
            "{:.0f} cells; how many are sealed is taken from what such a nest holds on that day: "
            "count them to halve the doubt",
            cells.cells));
    }
}

}  // namespace

void add_habitat(book::Book& book, Habitat habitat, Instant now, KeyMaker& keys)
{
    for (const auto& other : book.habitats(true)) {
        if (other.name == habitat.name) {
            throw Failure{
                ErrorCode::InvalidInput,
                fmt::format("there is a habitat '{}' already; choose another name", habitat.name),
                book.path().string()};
        }
    }
    habitat.id = keys.make<HabitatId>(now);
    book::Change change{book, now};
    change.insert(habitat);
    change.commit();
}

Habitat find_habitat(const book::Book& book, const std::string& name)
{
    for (auto& habitat : book.habitats(true)) {
        if (habitat.name == name) {
            return habitat;
        }
    }
    throw Failure{ErrorCode::NotFound,
                  fmt::format("there is no habitat '{}'; {}", name, words_of(book)),
                  book.path().string()};
}

CombPiece find_comb(const book::Book& book, const std::string& key)
{
    std::vector<CombPiece> found;
    for (auto& piece : book.all_comb()) {
        if (key.size() >= 4 && piece.id.text().ends_with(key)) {
            found.push_back(std::move(piece));
        }
    }
    if (found.size() == 1) {
        return found.front();
    }
    throw Failure{found.empty() ? ErrorCode::NotFound : ErrorCode::InvalidInput,
                  fmt::format("{} with the key '{}'; 'nestround comb list BOOK' shows the keys",
                              found.empty() ? "there is no comb" : "there are several combs", key),
                  book.path().string()};
}

CombKept add_comb(book::Book& book, const Preferences& preferences, const CombEntry& entry,
                  Instant now, KeyMaker& keys, const Deed* deed)
{
    CombKept kept;
    auto sheet = *book.call(book.find_call(entry.call));
    kept.place = sheet.site.label;
    CombPiece& piece = kept.piece;
    piece.habitat = find_habitat(book, entry.habitat).name;
    piece.eggs = entry.eggs;
    piece.larvae = entry.larvae;
    piece.sealed_small = entry.sealed;
    piece.sealed_large = entry.sealed_large;
    piece.empty = entry.empty;
    piece.stands_from = entry.at;
    piece.sealed_least_days = entry.sealed_least;
    piece.sealed_most_days = entry.sealed_most;
    piece.nurses = entry.nurses;
    piece.note = entry.note;
    const auto taxa = taxa_in_use(book, preferences);
    const bool names_nest = !entry.taxon.empty() && sheet.nest.taxon != entry.taxon;
    if (names_nest && !sheet.nest.taxon.empty()) {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("the nest is entered as {}, not {}; import the call anew with the "
                        "right species",
                        sheet.nest.taxon, entry.taxon),
            sheet.site.label};
    }
    if (names_nest) {
        sheet.nest.taxon = entry.taxon;
    }
    const Day day = std::chrono::floor<std::chrono::days>(entry.at);
    yield::Forecaster forecaster{*taxa, learned_settings(book, preferences, *taxa, day)};
    const auto courses = forecaster.courses(sheet.nest, sheet.site.place, day);
    fill_cells(entry, *taxa, sheet.nest,
               brood::cell_shares(*courses.season, courses.day, courses.weights), kept);
    if (!piece.eggs && !piece.larvae && !piece.sealed_small && !piece.sealed_large) {
        throw Failure{ErrorCode::BadUsage,
                      "count the sealed cells (--sealed), or give the comb's size (--diameter) or "
                      "its outline on a photograph (--photo)"};
    }
    // The visit that brought it: the last that began before, or one of its own.
    std::optional<Visit> visit;
    for (const auto& one : book.visits(sheet.nest.id)) {
        if (one.begun <= entry.at && entry.at - one.begun <= kVisitBefore) {
            visit = one;
        }
    }
    book::Change change{book, now};
    if (deed != nullptr) {
        change.by(*deed);
    }
    if (names_nest) {
        change.update(sheet.nest);
    }
    if (!visit) {
        kept.visit_added = true;
        visit.emplace();
        visit->id = keys.make<VisitId>(now);
        visit->nest = sheet.nest.id;
        visit->call = sheet.call.id;
        visit->begun = entry.at;
        visit->method = entry.method;
        change.insert(*visit);
        if (const auto call = call_after(book, sheet.call, *visit, day, entry.at)) {
            change.update(*call);
        }
    }
    piece.visit = visit->id;
    piece.id = keys.make<CombId>(now);
    change.insert(piece);
    change.commit();
    if (sheet.nest.insecticide) {
        kept.notes.push_back(
            "the nest had insecticide: nothing that emerges from this comb may go into a bag for "
            "venom");
    }
    return kept;
}

void end_comb(book::Book& book, CombPiece piece, Instant at, Instant now)
{
    if (piece.stands_to) {
        throw Failure{ErrorCode::InvalidInput, "this comb was taken out before", piece.id.text()};
    }
    if (piece.stands_from && at < *piece.stands_from) {
        throw Failure{ErrorCode::InvalidInput, "this comb came later than that", piece.id.text()};
    }
    piece.stands_to = at;
    book::Change change{book, now};
    change.update(piece);
    change.commit();
}

Collection add_collection(book::Book& book, const CollectionEntry& entry, Instant now,
                          KeyMaker& keys, const Deed* deed)
{
    CombPiece comb;
    if (!entry.comb.empty()) {
        comb = find_comb(book, entry.comb);
    } else {
        (void)find_habitat(book, entry.habitat);
        std::vector<CombPiece> standing;
        for (auto& piece : book.all_comb()) {
            if (piece.habitat == entry.habitat &&
                (!piece.stands_to || *piece.stands_to > entry.at) &&
                (!piece.stands_from || *piece.stands_from <= entry.at)) {
                standing.push_back(std::move(piece));
            }
        }
        if (standing.size() != 1) {
            throw Failure{ErrorCode::InvalidInput,
                          standing.empty()
                              ? fmt::format("no comb stands in '{}' then", entry.habitat)
                              : fmt::format("{} combs stand in '{}'; count each apart and name it "
                                            "with --comb, so that a bag can be traced to its nest",
                                            standing.size(), entry.habitat),
                          book.path().string()};
        }
        comb = standing.front();
    }
    if (entry.id) {
        for (auto& known : book.collections(comb.id)) {
            if (known.id == *entry.id) {
                return known;
            }
        }
    }
    if (comb.stands_from && entry.at < *comb.stands_from) {
        throw Failure{ErrorCode::InvalidInput, "the comb came later than that", comb.id.text()};
    }
    if (comb.stands_to && entry.at > *comb.stands_to) {
        throw Failure{ErrorCode::InvalidInput, "the comb had been taken out by then",
                      comb.id.text()};
    }
    if (!entry.workers && !entry.reproductives && !entry.mass) {
        throw Failure{ErrorCode::BadUsage,
                      "count or weigh: --workers, --reproductives or --grams is needed"};
    }
    Collection row;
    row.id = entry.id ? *entry.id : keys.make<CollectionId>(now);
    row.comb = comb.id;
    row.collected_at = entry.at;
    row.workers = entry.workers;
    row.reproductives = entry.reproductives;
    row.mass = entry.mass;
    row.note = entry.note;
    book::Change change{book, now};
    if (deed != nullptr) {
        change.by(*deed);
    }
    change.insert(row);
    change.commit();
    return row;
}

}  // namespace nestround::app
