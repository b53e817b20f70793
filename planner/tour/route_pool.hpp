/// \file route_pool.hpp
/// \brief Remembers good tours and finds the mix of them that is worth most.
///
/// Purpose:  two plans may each have one perfect tour; the pool puts them together.
/// Units:    as flat.hpp.
/// Range:    up to kMostCars vehicles; beyond that the pool keeps nothing.
/// Accuracy: the best mix of the tours remembered, unless the work allowed ends first.
/// Errors:   none.
/// Source:   own; set packing over a pool of routes as in Q. Hu, A. Lim, "An iterative
/// three-component
///           heuristic for the team orienteering problem with time windows", EJOR 232 (2014).
#pragma once

#include <optional>
#include <unordered_map>
#include <vector>

#include "planner/tour/search_state.hpp"

namespace nestround::tour {

class RoutePool {
public:
    explicit RoutePool(const Flat& flat);

    /// Remembers the tours of a plan; the oldest are forgotten when there are too many.
    void note(const SearchState& state);

    /// Orders, one a car, that together are worth more than `profit`; nothing when there are none.
    /// `work` bounds how many pairs of tours are compared.
    [[nodiscard]] std::optional<std::vector<std::vector<int>>> better_mix(std::int64_t profit,
                                                                          std::uint64_t work);

private:
    struct Entry {
        int kind = -1;
        std::int64_t profit = 0;
        std::uint64_t key = 0;
        std::vector<int> order;
        std::vector<std::uint64_t> jobs;  ///< one bit each
    };

    [[nodiscard]] bool are_apart(const Entry& a, const Entry& b) const;
    /// Tries every tour of `open` for the car at `depth`; see better_mix.
    void mix(std::size_t depth, const std::vector<int>& open, std::int64_t profit);

    const Flat* flat_;
    std::vector<int> cars_;  ///< by kind
    std::vector<Entry> entries_;
    std::unordered_map<std::uint64_t, int> known_;
    std::size_t oldest_ = 0;
    std::uint64_t work_ = 0;
    std::int64_t best_profit_ = 0;
    std::vector<int> chosen_;
    std::vector<int> best_;
};

}  // namespace nestround::tour
