#include "planner/app/import_crews.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/base/error.hpp"

namespace nestround::app {

CrewTally import_crews(book::Book& book, intake::CrewBatch crews,
                       const std::optional<intake::GearBatch>& gear, Instant now, KeyMaker& keys)
{
    CrewTally tally;
    std::vector<intake::GearRow> loose;
    if (gear) {
        loose = intake::load_trucks(crews.crews, *gear);
    }
    for (const auto& row : loose) {
        if (!row.crew.empty()) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("row {}: there is no crew named '{}'; add it to the crews' "
                                      "file or leave the column empty for the store",
                                      row.row, row.crew),
                          "gear"};
        }
    }
    const auto known = book.crews(true);
    book::Change change{book, now};
    for (auto& crew : crews.crews) {
        const auto at = std::find_if(known.begin(), known.end(),
                                     [&](const Crew& other) { return other.name == crew.name; });
        crew.id = at == known.end() ? keys.make<CrewId>(now) : at->id;
        for (std::size_t i = 0; i < crew.gear.size(); ++i) {
            auto& piece = crew.gear[i];
            // A piece is known by its label on the same truck, so that a repeat adds nothing.
            const Gear* same = nullptr;
            if (at != known.end()) {
                const auto found =
                    std::find_if(at->gear.begin(), at->gear.end(), [&](const Gear& other) {
                        return other.kind == piece.kind && other.label == piece.label;
                    });
                same = found == at->gear.end() ? nullptr : &*found;
            }
            piece.id = same == nullptr ? keys.make<GearId>(now) : same->id;
            piece.crew = crew.id;
            ++tally.gear;
        }
        if (at == known.end()) {
            change.insert(crew);
            ++tally.added;
        } else {
            change.update(crew);
            ++tally.changed;
        }
    }
    const auto store = book.gear_in_store();
    for (const auto& row : loose) {
        const bool is_known = std::any_of(store.begin(), store.end(), [&](const Gear& other) {
            return other.kind == row.gear.kind && other.label == row.gear.label;
        });
        if (!is_known) {
            Gear piece = row.gear;
            piece.id = keys.make<GearId>(now);
            change.insert(piece);
            ++tally.gear;
        }
    }
    change.commit();
    return tally;
}

}  // namespace nestround::app
