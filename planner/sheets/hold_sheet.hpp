/// \file hold_sheet.hpp
/// \brief Hold or take, as text, JSON and pictures.
///
/// Purpose:  what `nestround hold` shows.
/// Units:    points and grams.
/// Range:    any number of calls; the picture of one is two curves, of several a ribbon each.
/// Accuracy: two figures in words, all of them in JSON.
/// Errors:   Failure (OutputFailed) from drawing.
/// Source:   own; docs/science/hold-or-take.md.
#pragma once

#include <string>
#include <vector>

#include "planner/rank/ranked_call.hpp"
#include "planner/season/hold.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::sheets {

struct HoldEntry {
    rank::RankedCall call;
    season::HoldCurve curve;
};

[[nodiscard]] std::string hold_text(const std::vector<HoldEntry>& calls, Day on,
                                    const TextOptions& options);
[[nodiscard]] std::string hold_json(const std::vector<HoldEntry>& calls, Day on);
[[nodiscard]] std::string hold_picture(const std::vector<HoldEntry>& calls, Day on,
                                       MapFormat format);

}  // namespace nestround::sheets
