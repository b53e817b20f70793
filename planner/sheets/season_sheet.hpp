/// \file season_sheet.hpp
/// \brief A planned season, and a rehearsed one, as text, JSON and pictures.
///
/// Purpose:  what `nestround season` shows.
/// Units:    points, grams, kilometres or miles.
/// Range:    any plan.
/// Accuracy: two figures in words, all of them in JSON.
/// Errors:   Failure (OutputFailed) from drawing.
/// Source:   own; docs/science/season.md.
#pragma once

#include <string>
#include <vector>

#include "planner/season/plan_season.hpp"
#include "planner/season/rehearsal.hpp"
#include "planner/sheets/map.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::sheets {

struct SeasonSheet {
    const season::SeasonInput& input;
    const season::SeasonPlan& plan;
    double calls_a_day = 0;
    std::vector<std::string> notes;
};

/// `limit` calls of each kind; 0: all. `why`: only the call with this key, empty: all.
[[nodiscard]] std::string season_text(const SeasonSheet& sheet, const TextOptions& options,
                                      std::size_t limit);
[[nodiscard]] std::string season_json(const SeasonSheet& sheet);
/// A calendar: days across, crews and their nests down, grams against orders.
[[nodiscard]] std::string season_picture(const SeasonSheet& sheet, MapFormat format);

[[nodiscard]] std::string rehearsal_text(const std::vector<season::Rehearsal>& rules, Day from,
                                         Day to, const TextOptions& options);
[[nodiscard]] std::string rehearsal_picture(const std::vector<season::Rehearsal>& rules, Day from,
                                            MapFormat format);

}  // namespace nestround::sheets
