/// \file day_problem.hpp
/// \brief The day as a tour problem: which calls can be asked of the solver, and which cannot.
///
/// Purpose:  one step of plan_day: input checked, calls sorted into candidates and those that a
///           rule of their own keeps out.
/// Units:    seconds since local midnight; one point of score is kPointScale points of the problem.
/// Range:    as plan_day.hpp.
/// Accuracy: scores are rounded to a millionth of a point.
/// Errors:   as plan_day.hpp.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "planner/day/plan_day.hpp"
#include "planner/tour/problem.hpp"

namespace nestround::day {

inline constexpr double kPointScale = 1e6;

struct DayProblem {
    tour::Problem problem;
    std::vector<std::size_t> call_of_job;
    std::vector<std::size_t> crew_of_vehicle;
    std::vector<bool> is_second;  ///< one a job: a second visit
    /// One a call: why it is not even asked for; empty for candidates.
    std::vector<std::string> kept_out;
    /// One a job: what it brings, without what keeping to a plan that stands is worth.
    std::vector<tour::Points> worth;
    /// The limits of the day: bars of hours, and the things that are counted, in the order of the
    /// problem's resources.
    std::vector<Barred> barred;
    std::vector<LimitRule> resources;
    /// Musts that a rule of their own keeps out, when the settings allow that.
    std::vector<std::string> cautions;
};

/// Whether what is counted has room for these jobs on this vehicle; `short_of` gets the first that
/// has not.
[[nodiscard]] bool within_load(const tour::Problem& problem, std::size_t vehicle,
                               const std::vector<std::size_t>& jobs,
                               std::optional<std::size_t>* short_of = nullptr);

/// Whole time of a stop for a crew, its pace included.
[[nodiscard]] seconds service_of(const access::AccessPlan& access, const DaySettings& settings);

/// The same of a second visit: no ladder is set anew nor comb cut, so it is the call's own figure.
[[nodiscard]] seconds second_service(const Call& call, const DaySettings& settings);

/// What a stop takes of a counted thing. `second`: after a first one on the same day.
[[nodiscard]] std::int64_t share_of(LimitRule rule, const rank::RankedCall& call,
                                    const access::AccessPlan& access, const DayInput& input,
                                    bool second = false);

/// From the beginning of the shift to the last moment at which the crew may be home.
[[nodiscard]] tour::Window at_work(const tour::Vehicle& vehicle);

/// What keeps this input from being planned at all, in words; empty: nothing.
[[nodiscard]] std::string fault_of(const DayInput& input);

[[nodiscard]] Result<DayProblem> day_problem(const DayInput& input);

/// How a call is named in messages: the crew's own name of the place, and the key.
[[nodiscard]] std::string name_of(const rank::RankedCall& call);

/// "48 min", "1 h 05 min".
[[nodiscard]] std::string in_words(seconds length);

}  // namespace nestround::day
