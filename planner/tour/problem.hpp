/// \file problem.hpp
/// \brief A prize-collecting tour problem: jobs worth points, vehicles with shifts, one matrix.
///
/// Purpose:  the immutable, validated input of solver, exact solver and checker. A vehicle is a
///           crew on a day, so a season is the same problem as a morning, only longer.
/// Units:    whole seconds on one clock for the whole problem, from a zero of the caller's choice;
///           whole metres; points are whole numbers of a size that the caller chooses.
/// Range:    times 0 to kLatestTime; prizes may be negative (such a job is taken only when it must
///           be); a pair of places without a road is roads::kUnreachable.
/// Accuracy: exact integers.
/// Errors:   make() gives InvalidInput naming the job or vehicle and the rule it breaks, Infeasible
///           when a job can be done by no vehicle even alone.
/// Source:   own; docs/science/tour.md.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/error.hpp"
#include "geocore/roads/travel.hpp"
#include "geocore/units/quantity.hpp"
#include "planner/tour/traffic.hpp"

namespace nestround::tour {

/// What a job is worth and a second of driving costs.
using Points = Quantity<struct PlanPointTag, std::int64_t>;

/// The latest moment a problem may speak of: 2^28 s, some eight years.
inline constexpr seconds kLatestTime{1 << 28};
/// The largest prize or cost that may be named; sums of thousands of them stay far from overflow.
inline constexpr Points kMostPoints{std::int64_t{1} << 40};

/// From `opens` to `closes`, both included; closes >= opens.
struct Window {
    seconds opens{};
    seconds closes{};

    friend constexpr bool operator==(const Window&, const Window&) = default;
};

/// A second visit: only when the job followed is done too, and after it.
struct Follows {
    std::size_t job = 0;          ///< the one before
    seconds least{};              ///< from the end of its service to the beginning of this one's
    std::optional<seconds> most;  ///< the same, at most
    bool same_vehicle = false;
};

struct Job {
    std::string name;                     ///< for messages
    std::size_t place = 0;                ///< row and column of the matrix
    std::vector<Points> prize;            ///< one for all vehicles, or one a vehicle
    std::vector<seconds> service;         ///< one for all vehicles, or one a vehicle
    std::vector<Window> windows;          ///< for the START of service; empty: any time
    bool must_take = false;               ///< a plan without it is incomplete
    std::optional<seconds> pinned_start;  ///< service begins then and at no other time
    std::vector<std::size_t> forbidden;   ///< vehicles that may not do it
    std::uint64_t needs = 0;              ///< skills, one a bit; a vehicle needs all of them
    /// One a resource, or empty: nothing. Of a carried resource what is loaded, below 0 what is
    /// given off here.
    std::vector<std::int64_t> demand;
    /// Live cargo: from the end of service to the end of the tour at most this long.
    std::optional<seconds> ride_limit;
    std::optional<Follows> follows;
};

/// A pause that begins within `start` and lasts `length`, wherever the vehicle then is. A tour that
/// is home by `start.closes` needs none.
struct Pause {
    Window start;
    seconds length{};
};

/// Hours after the shift that may be worked, at a price.
struct Overtime {
    seconds latest_home;       ///< no later than this
    Points cost_per_second{};  ///< after the shift; not negative
};

struct Vehicle {
    std::string name;                    ///< for messages
    std::size_t start_place = 0;         ///< row of the matrix
    std::size_t end_place = 0;           ///< column of the matrix
    Window shift;                        ///< leaves no sooner, is home no later but for overtime
    std::vector<std::int64_t> capacity;  ///< one a resource, or empty: no limit
    std::uint64_t skills = 0;
    std::optional<Pause> pause;
    Points cost_per_second{};  ///< of driving, by the matrix; not negative
    std::optional<Overtime> overtime;
    Points fixed_cost{};  ///< of leaving at all; not negative
};

/// What is special about a resource. By default it is consumed: the demands of a tour add up.
struct ResourceRule {
    bool carried = false;  ///< loaded and given off: counts at each moment, never below 0
    std::optional<std::int64_t> shared;  ///< consumed by all vehicles together at most this much
};

/// From a moment of the day on, driving goes at `speed_permille` of the matrix's speed.
struct TrafficSlot {
    seconds from{};
    int speed_permille = 1000;
};

/// What a caller fills in; all checks are Problem::make's.
struct ProblemInput {
    roads::TravelMatrix travel;  ///< square: every place to every place
    std::vector<Job> jobs;
    std::vector<Vehicle> vehicles;
    std::size_t resources = 0;                   ///< number of kinds of demand and capacity
    std::vector<ResourceRule> resource_rules{};  ///< one a resource, or empty
    std::vector<TrafficSlot> traffic{};  ///< rising from 0; empty: always as the matrix says
    seconds traffic_period{};            ///< after which they begin again; 0: never
};

/// What to do about a job that no vehicle can do even alone.
enum class Hopeless {
    Refuse,  ///< an error that names it
    Leave,   ///< it stays unserved in every plan; why_never() says why
};

class Problem {
public:
    [[nodiscard]] static Result<Problem> make(ProblemInput input,
                                              Hopeless hopeless = Hopeless::Refuse);

    /// What it was made from.
    [[nodiscard]] const ProblemInput& input() const { return input_; }
    [[nodiscard]] std::span<const Job> jobs() const { return input_.jobs; }
    [[nodiscard]] std::span<const Vehicle> vehicles() const { return input_.vehicles; }
    [[nodiscard]] const Job& job(std::size_t j) const { return input_.jobs[j]; }
    [[nodiscard]] const Vehicle& vehicle(std::size_t v) const { return input_.vehicles[v]; }
    [[nodiscard]] std::size_t resources() const { return input_.resources; }
    [[nodiscard]] std::size_t places() const { return input_.travel.rows; }

    /// Sorted, disjoint, not empty: the pin when there is one, else the windows, else all time.
    [[nodiscard]] std::span<const Window> windows(std::size_t j) const { return windows_[j]; }
    [[nodiscard]] Points prize(std::size_t j, std::size_t v) const
    {
        return one_or_each(input_.jobs[j].prize, v);
    }
    [[nodiscard]] seconds service(std::size_t j, std::size_t v) const
    {
        return one_or_each(input_.jobs[j].service, v);
    }
    [[nodiscard]] std::int64_t demand(std::size_t j, std::size_t resource) const
    {
        return input_.jobs[j].demand.empty() ? 0 : input_.jobs[j].demand[resource];
    }
    /// Skills fit and the vehicle is not forbidden; says nothing of time.
    [[nodiscard]] bool may_serve(std::size_t j, std::size_t v) const
    {
        return serves_[j * input_.vehicles.size() + v];
    }
    /// Whether a road leads from `from` to `to`.
    [[nodiscard]] bool is_linked(std::size_t from, std::size_t to) const
    {
        return input_.travel.seconds_between(from, to) != roads::kUnreachable;
    }
    /// By the matrix; arrive() knows the traffic.
    [[nodiscard]] seconds drive(std::size_t from, std::size_t to) const
    {
        return seconds{input_.travel.seconds_between(from, to)};
    }
    [[nodiscard]] const Traffic& traffic() const { return traffic_; }
    [[nodiscard]] std::span<const TrafficSlot> traffic_slots() const { return input_.traffic; }
    [[nodiscard]] seconds traffic_period() const { return input_.traffic_period; }
    [[nodiscard]] bool is_carried(std::size_t resource) const
    {
        return !input_.resource_rules.empty() && input_.resource_rules[resource].carried;
    }
    [[nodiscard]] std::optional<std::int64_t> shared_limit(std::size_t resource) const
    {
        return input_.resource_rules.empty() ? std::nullopt
                                             : input_.resource_rules[resource].shared;
    }
    /// When the vehicle must be home, overtime and all.
    [[nodiscard]] seconds last_home(std::size_t v) const
    {
        const Vehicle& vehicle = input_.vehicles[v];
        return vehicle.overtime ? vehicle.overtime->latest_home : vehicle.shift.closes;
    }
    [[nodiscard]] bool has_follows() const { return has_follows_; }
    [[nodiscard]] std::int64_t metres(std::size_t from, std::size_t to) const
    {
        return input_.travel.metres_between(from, to);
    }

private:
    explicit Problem(ProblemInput input);

    template <class T>
    static T one_or_each(const std::vector<T>& values, std::size_t v)
    {
        return values.size() == 1 ? values.front() : values[v];
    }

    ProblemInput input_;
    std::vector<std::vector<Window>> windows_;
    std::vector<bool> serves_;  ///< jobs * vehicles
    Traffic traffic_;
    bool has_follows_ = false;
};

/// Why vehicle `v` cannot do job `j` even when it does nothing else; empty when it can.
/// "its hours end before the shift begins", "no road leads there", ...
[[nodiscard]] std::string why_never(const Problem& problem, std::size_t j, std::size_t v);

/// What serving a must-take counts besides its prize: more than all prizes and all driving
/// together, so that none is given up for points.
[[nodiscard]] std::int64_t must_bonus(const Problem& problem);

}  // namespace nestround::tour
