/// \file plan_brood.hpp
/// \brief The comb that stands, as the book has it, and its rounds.
///
/// Purpose:  loads comb, logs and collections, forecasts, plans; and says how much room is left.
/// Units:    in the types.
/// Range:    comb of the last 60 days that was not taken out.
/// Accuracy: see planner/brood.
/// Errors:   Failure from the book or the settings.
/// Source:   own; docs/science/brood.md.
#pragma once

#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/preferences.hpp"
#include "planner/brood/brood_plan.hpp"

namespace nestround::app {

struct BroodWishes {
    Day on{};
    int days = 45;
    std::vector<std::string> off;      ///< weekdays or dates on which nobody goes round
    std::vector<std::string> driving;  ///< weekdays or dates on which a crew drives anyway
    bool ripening = false;             ///< count venom that ripens
};

struct PlannedBrood {
    brood::BroodInput input;
    brood::BroodPlan plan;
    std::vector<std::string> notes;
};
[[nodiscard]] PlannedBrood plan_brood(const book::Book& book, const Preferences& preferences,
                                      const BroodWishes& wishes);

/// How much of the room for comb is in use on a day; no forecast is made.
[[nodiscard]] brood::Room room_on(const book::Book& book, const Preferences& preferences, Day on);

}  // namespace nestround::app
