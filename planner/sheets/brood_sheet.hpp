/// \file brood_sheet.hpp
/// \brief Comb in its habitats as text, JSON and picture: what comes, what came, when to go round.
///
/// Purpose:  what `nestround brood plan` shows.
/// Units:    adults, grams, points; days.
/// Range:    any plan; names of places are the crew's own, clients are never named.
/// Accuracy: two figures in words, all of them in JSON.
/// Errors:   Failure (OutputFailed) from drawing.
/// Source:   own; docs/science/brood.md.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "planner/brood/brood_plan.hpp"
#include "planner/sheets/map.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::sheets {

struct BroodSheet {
    const brood::BroodInput& input;
    const brood::BroodPlan& plan;
    std::vector<std::string> notes;
};

[[nodiscard]] std::string brood_text(const BroodSheet& sheet, const TextOptions& options);
[[nodiscard]] std::string brood_json(const BroodSheet& sheet);
/// For each comb the adults in all so far: expected with its band, and collected; below, the
/// habitats' days with their rounds.
[[nodiscard]] std::string brood_picture(const BroodSheet& sheet, MapFormat format);

/// What is to be done on a day, in words: for the text and for reminders.
struct BroodTask {
    Day day{};
    std::string place;
    std::string title;  ///< "collect: warm box 1, warm box 2"
    std::string words;  ///< what to bring, what to expect
};
[[nodiscard]] std::vector<BroodTask> brood_tasks(const BroodSheet& sheet);

/// The tasks as an iCalendar file of reminders, half an hour each from the moment that `begins`
/// gives for a day. A later plan of the same day and place overrules an earlier one.
[[nodiscard]] std::string brood_calendar(const BroodSheet& sheet, Instant stamp,
                                         const std::function<Instant(Day)>& begins);

}  // namespace nestround::sheets
