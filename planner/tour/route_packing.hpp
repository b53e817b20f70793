/// \file route_packing.hpp
/// \brief The best plan that can be put together from listed tours.
///
/// Purpose:  the last step of the bound by routes: when all tours that a better plan could have are
///           listed, their best mix is the best plan, or there is none better than the one known.
/// Units:    points times a scale of the caller's.
/// Range:    any number of kinds of vehicle; few vehicles and some ten thousand tours in practice.
/// Accuracy: exact for the tours listed, unless the work allowed ends first.
/// Cost:     pairs of tours whose reduced worth leaves room for a better plan.
/// Errors:   solve() is false when the work allowed ended first.
/// Source:   own; after R. Baldacci, N. Christofides, A. Mingozzi, "An exact algorithm for the
///           vehicle routing problem based on the set partitioning formulation with additional
///           cuts", Math. Program. 115 (2008).
#pragma once

#include <cstdint>
#include <functional>
#include <vector>

namespace nestround::tour {

struct PackedTour {
    std::vector<int> jobs;     ///< in order
    std::int64_t reduced = 0;  ///< worth less the prices of what it uses
    std::int64_t worth = 0;
};

class RoutePacking {
public:
    /// Only plans worth more than `known` count; `prices` is the price of all there is, so that a
    /// plan is worth no more than it and the reduced worth of the plan's tours.
    RoutePacking(int jobs, std::int64_t known, std::int64_t prices)
        : words_{(static_cast<std::size_t>(jobs) + 63) / 64}, best_{known}, prices_{prices}
    {
    }

    /// `count` vehicles that may have any of these tours, or none.
    void add_kind(std::vector<PackedTour> tours, std::int64_t count);

    /// `keeps` is asked for the jobs of a whole plan.
    [[nodiscard]] bool solve(std::uint64_t& work,
                             const std::function<bool(const std::vector<int>&)>& keeps);

    /// What was known, or better.
    [[nodiscard]] std::int64_t worth() const { return best_; }
    /// By vehicle, those of the first kind first; empty when nothing better was found.
    [[nodiscard]] const std::vector<std::vector<int>>& plan() const { return plan_; }

private:
    struct Kind {
        std::vector<PackedTour> tours;    ///< the most reduced worth first
        std::vector<std::uint64_t> jobs;  ///< words a tour
    };

    void go_on(std::size_t vehicle, std::size_t from, std::int64_t reduced, std::int64_t worth);
    void note(std::int64_t worth);

    std::size_t words_;
    std::int64_t best_;
    std::int64_t prices_;
    std::vector<Kind> kinds_;
    std::vector<std::size_t> kind_of_;     ///< by vehicle
    std::vector<std::int64_t> best_rest_;  ///< by vehicle: what it and those after it can add
    std::vector<std::size_t> chosen_;      ///< by vehicle
    std::vector<std::uint64_t> taken_;     ///< words, before each vehicle
    std::vector<std::vector<int>> plan_;
    std::uint64_t work_ = 0;
    std::uint64_t looks_ = 0;
    const std::function<bool(const std::vector<int>&)>* keeps_ = nullptr;
};

}  // namespace nestround::tour
