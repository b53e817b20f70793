/// \file plan.hpp
/// \brief A plan for a tour problem: who does what, in which order and when.
///
/// Purpose:  what solvers return and the checker reads.
/// Units:    as the problem's.
/// Range:    one tour a vehicle, in the problem's order; a vehicle that stays home has no visits.
/// Accuracy: exact integers.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <optional>
#include <vector>

#include "planner/tour/problem.hpp"

namespace nestround::tour {

struct Visit {
    std::size_t job = 0;
    seconds arrive{};
    seconds begin{};  ///< of service
    seconds leave{};  ///< end of service, before any pause

    friend bool operator==(const Visit&, const Visit&) = default;
};

/// The pause as planned: after `after` visits (0: before setting off).
struct PlannedPause {
    std::size_t after = 0;
    seconds begin{};

    friend bool operator==(const PlannedPause&, const PlannedPause&) = default;
};

struct Tour {
    std::size_t vehicle = 0;
    seconds depart{};
    std::vector<Visit> visits;
    std::optional<PlannedPause> pause;
    seconds home{};
    seconds driving{};
    std::int64_t metres = 0;

    friend bool operator==(const Tour&, const Tour&) = default;
};

struct Plan {
    std::vector<Tour> tours;
    std::vector<std::size_t> unserved;  ///< jobs, ascending
    Points objective{};                 ///< prizes less driving cost

    friend bool operator==(const Plan&, const Plan&) = default;
};

}  // namespace nestround::tour
