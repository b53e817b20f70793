/// \file morning_json.hpp
/// \brief A planned day and a ranked list for other programs, as JSON.
///
/// Purpose:  every figure of the sheets, unrounded, under keys that stay: docs/reference/
///           morning-json.md lists them, and a test compares.
/// Units:    in the key: _s, _m, _g, _deg; clock times as "07:30" and as seconds since midnight.
/// Range:    a number that is not finite, and what is not known, is null.
/// Accuracy: as the plan; places to 1e-7 degrees.
/// Errors:   none; broken UTF-8 becomes U+FFFD. No client ever; an address only when asked for.
/// Source:   own; RFC 8259.
#pragma once

#include <span>
#include <string>

#include "planner/day/day_plan.hpp"
#include "planner/rank/ranked_call.hpp"

namespace nestround::sheets {

struct JsonOptions {
    bool with_addresses = false;  ///< private: off unless asked for by name
};

[[nodiscard]] std::string morning_json(const day::DayPlan& plan, const JsonOptions& options = {});
/// `calls` in the order given.
[[nodiscard]] std::string rank_json(std::span<const rank::RankedCall> calls, Day on,
                                    const JsonOptions& options = {});

}  // namespace nestround::sheets
