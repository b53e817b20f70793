#include "geocore/intake/catches.hpp"

#include <fmt/format.h>

#include <cmath>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/grid.hpp"

namespace nestround::intake {

namespace {

constexpr double kHeaviest = 20000;  // g
constexpr int kMostWasps = 100000;

CatchRow catch_of(RowReader& row, const TaxonLookup& taxon)
{
    CatchRow out;
    out.row = row.row().number;
    out.call = row.text("call");
    if (out.call.empty()) {
        row.refuse("call", "is empty", "give the key of the call whose nest was taken");
    }
    out.crew = row.text("crew");
    const std::string taken = row.text("taken");
    if (const auto when = parse_instant(taken)) {
        out.visit.begun = out.taken.frozen_at = *when;
    } else {
        row.refuse("taken", fmt::format("'{}' is no day or moment", shown(taken)),
                   "write 2026-08-04, or 2026-08-04T06:30:00Z");
    }
    if (const auto minutes = row.number("minutes", 1, 720, "min")) {
        out.visit.ended = out.visit.begun + seconds{std::llround(*minutes * 60)};
    }
    const std::string method = folded(row.text("method"));
    if (const auto known = work_method(method)) {
        out.visit.method = *known;
    } else {
        row.refuse("method", fmt::format("'{}' is no way to work a nest", shown(method)),
                   "write hand, ground_pole, ladder, pole_then_ladder or not_reached");
    }
    const std::string species = row.text("species");
    if (!species.empty() && folded(species) != "unknown") {
        const auto code = taxon(species);
        if (!code) {
            row.refuse("species",
                       fmt::format("'{}' is no species of the taxa table", shown(species)),
                       "write its code or scientific name, or unknown");
        }
        out.taken.taxon = code.value_or("");
    }
    if (const auto mass = row.measure("mass", 0.001, kHeaviest, "g")) {
        out.taken.mass = Grams{*mass};
    }
    out.taken.count = row.count("count", 1, kMostWasps);
    if (!row.fault() && !out.taken.mass && !out.taken.count) {
        row.refuse("", "has neither count nor mass", "weigh or count the catch");
    }
    out.taken.container = row.text("container");
    out.taken.note = row.text("note");
    if (row.yes("males")) {
        out.taken.note = out.taken.note.empty() ? "males" : "males: " + out.taken.note;
    }
    return out;
}

}  // namespace

CatchBatch read_catches(const std::filesystem::path& file, const TaxonLookup& taxon)
{
    Grid grid = read_text_grid(file);
    const Columns columns{grid,
                          {{"call", "taken", "minutes", "crew", "method", "species", "count",
                            "males", "container", "note"},
                           {},
                           {"mass"},
                           {}}};
    columns.require({"call", "taken", "method"});
    CatchBatch out;
    out.file = file.filename().string();
    out.notes = grid.notes;
    out.refused = grid.refused;
    if (const auto unused = columns.unused(); !unused.empty()) {
        out.notes.push_back("columns that nothing reads: " + joined(unused));
    }
    for (const auto& grid_row : grid.rows) {
        RowReader row{columns, grid_row};
        auto one = catch_of(row, taxon);
        if (row.fault()) {
            out.refused.push_back(*row.fault());
        } else {
            out.rows.push_back(std::move(one));
        }
    }
    return out;
}

}  // namespace nestround::intake
