/// \file solve_tour.hpp
/// \brief Solves a tour problem from a file.
///
/// Purpose:  `nestround tour solve`: the bare solver for anyone with such a problem.
/// Units:    as tour_problem_file.hpp.
/// Range:    small problems are solved exactly, unless told not to; others by the search.
/// Accuracy: every answer has passed the separate checker; `bound` is never below the best plan.
/// Errors:   Failure: what reading the file throws; Infeasible when must-takes clash, naming a
///           smallest set that does (up to 15 of them).
/// Source:   own.
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "planner/app/tour_problem_file.hpp"
#include "planner/tour/plan.hpp"
#include "planner/tour/solver.hpp"

namespace nestround::app {

/// Problems up to this many jobs are solved exactly at once; larger ones, up to tour::kExactJobs,
/// where the search leaves something open and the work allowed suffices.
inline constexpr std::size_t kExactTourJobs = 12;

/// Of the search's time, for the best tour of each vehicle by itself.
inline constexpr double kPolishShare = 0.15;

struct TourWish {
    std::uint64_t iterations = 200000;
    std::optional<double> seconds;  ///< for all of it, instead of the iterations; machines differ
    std::uint64_t seed = 1;
    int searches = 2;            ///< side by side; another number gives another answer
    bool search_only = false;    ///< no exact solver
    bool allow_missing = false;  ///< must-takes that clash are left, not refused
    std::function<bool(const tour::Progress&)> progress;
};

struct TourAnswer {
    std::string name;
    TourScale scale;
    tour::Problem problem;
    tour::Plan plan;
    std::vector<std::size_t> missing_musts;
    std::vector<std::string> why_unserved;  ///< one a job of plan.unserved
    tour::Points bound{};
    bool proven = false;  ///< the plan is a best one
    std::uint64_t iterations = 0;
    double seconds = 0;  ///< of this run, by the clock
};

[[nodiscard]] TourAnswer solve_tour(const std::string& path, const TourWish& wish);

/// Per cent that the plan may lie below the best possible; nothing when that says nothing.
[[nodiscard]] std::optional<double> gap_percent(const TourAnswer& answer);

/// docs/reference/tour-problem.md describes the answer.
[[nodiscard]] std::string tour_answer_json(const TourAnswer& answer);
[[nodiscard]] std::string tour_answer_text(const TourAnswer& answer);

}  // namespace nestround::app
