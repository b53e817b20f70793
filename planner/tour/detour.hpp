/// \file detour.hpp
/// \brief What one more stop costs a standing tour, at each place where it may be put in.
///
/// Purpose:  a call comes in while the crew is out: after which stop does it cost least?
/// Units:    whole seconds and metres of driving; work at the new stop is not counted.
/// Range:    a tour of two points or more, both ends fixed. A place that cannot be reached from its
///           neighbours is left out. Costs may be below zero where a matrix is no metric.
/// Accuracy: exact for the matrix given.
/// Cost:     one step a place.
/// Errors:   none; indices lie in the matrix (precondition).
/// Source:   cheapest insertion, own.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "geocore/roads/travel.hpp"

namespace nestround::tour {

struct Detour {
    std::size_t after = 0;  ///< position in the tour after which the new stop comes
    std::int64_t seconds = 0;
    std::int64_t metres = 0;
};

/// `order` and `stop` are rows of the square `matrix`; cheapest in seconds first, then in metres,
/// then earliest.
[[nodiscard]] std::vector<Detour> detours(const roads::TravelMatrix& matrix,
                                          std::span<const std::size_t> order, std::size_t stop);

}  // namespace nestround::tour
