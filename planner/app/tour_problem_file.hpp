/// \file tour_problem_file.hpp
/// \brief A tour problem and its answer as JSON, for anyone who has such a problem.
///
/// Purpose:  `nestround tour solve`; the form is ours, docs/reference/tour-problem.md describes it
///           and docs/reference/tour-problem.schema.json states it as a JSON Schema.
/// Units:    the file's own units of time, length and prize, with up to `decimals` decimals of a
///           time and `prize_decimals` of a prize; inside, whole numbers of the last decimal.
/// Range:    times up to 2^28 of the last decimal.
/// Accuracy: exact: a number with more decimals than the file states is refused, never rounded.
///           Times from points are Euclidean distances truncated to `decimals`, found in integers.
/// Errors:   Failure: InvalidInput naming the file, the field (as jobs[3].windows[0]) and the way
///           out; what Problem::make says of jobs and vehicles, with the file's name before it.
/// Source:   own; JSON is RFC 8259.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "planner/tour/problem.hpp"

namespace nestround::app {

/// How the file's numbers become whole ones.
struct TourScale {
    int decimals = 0;
    int prize_decimals = 0;

    /// From whole numbers of the problem back to the file's.
    [[nodiscard]] double time(seconds t) const;
    [[nodiscard]] double prize(std::int64_t points) const;
};

struct TourFile {
    std::string name;
    tour::ProblemInput input;
    TourScale scale;
    std::vector<std::string> resources;
};

/// `source` is what messages call the text.
[[nodiscard]] TourFile parse_tour_file(std::string_view text, const std::string& source);

}  // namespace nestround::app
