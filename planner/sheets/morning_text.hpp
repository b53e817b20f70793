/// \file morning_text.hpp
/// \brief The sheet a crew reads on the terminal at six in the morning, and the ranked list.
///
/// Purpose:  when, where, what, how and why of each stop; what to load; what was left out and why;
///           what to mind. Names a place by its label and a call by the end of its key: never a
///           client; an address only where it is asked for.
/// Units:    as asked; grams in both (laboratories weigh in grams).
/// Range:    width 60 to 200 columns, what lies outside is taken as the nearest.
/// Accuracy: figures are rounded to what is known (show.hpp).
/// Errors:   none. Control characters in the book's texts never reach the terminal.
/// Source:   own.
#pragma once

#include <cstddef>
#include <span>
#include <string>

#include "geocore/base/calendar.hpp"
#include "planner/day/day_plan.hpp"
#include "planner/rank/ranked_call.hpp"
#include "planner/sheets/show.hpp"

namespace nestround::sheets {

struct TextOptions {
    UnitStyle units = UnitStyle::Metric;
    int width = 100;                 ///< columns
    bool colour = false;             ///< only adds to what the words say
    bool with_addresses = false;     ///< private: off unless asked for by name
    std::size_t left_out_limit = 0;  ///< calls left out that are listed; 0: all
};

[[nodiscard]] std::string morning_text(const day::DayPlan& plan, const TextOptions& options = {});

struct RankTextOptions {
    TextOptions text;
    std::size_t limit = 0;  ///< rows to show; 0: all
    bool reasons = true;    ///< the lines that say why
};

/// `calls` in the order given.
[[nodiscard]] std::string rank_text(std::span<const rank::RankedCall> calls, Day on,
                                    const RankTextOptions& options = {});

}  // namespace nestround::sheets
