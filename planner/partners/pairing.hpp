/// \file pairing.hpp
/// \brief All rows of one partner against all of our nests at once.
///
/// Purpose:  how many of theirs we know is learned from the pairs themselves; the chances and the
///           best pairs follow from it.
/// Units:    gains are natural logarithms of odds, as Evidence::weight().
/// Range:    few rows keep near the share that the table has.
/// Accuracy: as assignment.hpp.
/// Errors:   none.
/// Source:   the share as in Fellegi and Sunter (1969), by expectation and maximisation: A. P.
///           Dempster, N. M. Laird and D. B. Rubin, J. Royal Statistical Society B 39 (1977).
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "planner/partners/assignment.hpp"

namespace nestround::partners {

struct Pairing {
    std::vector<std::optional<std::size_t>> column;  ///< of each row
    std::vector<double> chance;                      ///< of each row's pair; 0 without one
    double known = 0;                                ///< share of theirs that we know, as learned
};

/// The gains are those under the table's share of known nests.
[[nodiscard]] Pairing pair_all(std::size_t rows, std::size_t columns, std::span<const Pair> pairs);

}  // namespace nestround::partners
