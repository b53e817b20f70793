/// \file learned.hpp
/// \brief What past visits say of the minutes that each method takes.
///
/// Purpose:  a crew's own times take over from the table as they come in.
/// Units:    seconds from parking to leaving.
/// Range:    visits of under 5 minutes or over 8 hours are left out: a forgotten stop-watch.
/// Accuracy: the mean of n visits is shrunk towards the table, which counts as k of them:
///           (k * table + sum) / (k + n), with k of the row work,visits_like_the_table.
/// Errors:   none.
/// Source:   own; shrinkage towards a prior mean as in any text on empirical Bayes methods.
#pragma once

#include <span>
#include <vector>

#include "geocore/records/harvest.hpp"
#include "planner/access/reach.hpp"

namespace nestround::access {

/// A method's minutes: of the table, of the visits, and what is expected of both.
struct MethodTime {
    WorkMethod method = WorkMethod::Hand;
    seconds table{};
    int visits = 0;
    seconds mean{};  ///< of the visits; zero without any
    seconds expected{};
};

[[nodiscard]] seconds table_time(WorkMethod method, const AccessSettings& settings);
[[nodiscard]] std::vector<MethodTime> method_times(std::span<const Visit> visits,
                                                   const AccessSettings& settings);
/// The same settings with the factors of `method_times`.
[[nodiscard]] AccessSettings learned_from(std::span<const Visit> visits, AccessSettings settings);

}  // namespace nestround::access
