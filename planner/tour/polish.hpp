/// \file polish.hpp
/// \brief The best tour for each vehicle by itself, of the jobs that the others leave.
///
/// Purpose:  what the search has missed within one tour; the bound's labels find it or prove that
///           there is nothing.
/// Units:    as the problem's.
/// Range:    as best_bound; nothing is changed where second visits or shared resources tie tours
///           together.
/// Accuracy: the plan returned keeps all rules that the given one keeps and is worth no less.
/// Cost:     up to `work` looks from one job to another, see route_bound.hpp.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

#include "planner/tour/plan.hpp"

namespace nestround::tour {

struct Polished {
    Plan plan;
    bool is_complete = false;  ///< no tour by itself can be better; more work would be for nothing
};

/// Whether there is anything that polished() could do.
[[nodiscard]] bool can_polish(const Problem& problem);

/// Runs all tasks, at once where it can.
using SideBySide = std::function<void(const std::vector<std::function<void()>>&)>;

/// So many vehicles at once, each by what the others had before; of two that want the same job the
/// second waits for the next turn. The plan depends on `at_once`, not on which is faster.
[[nodiscard]] Polished polished(const Problem& problem, Plan plan, std::uint64_t work,
                                std::size_t at_once = 1, const SideBySide& side_by_side = {});

}  // namespace nestround::tour
