/// \file route_pool.hpp
/// \brief Remembers good tours and finds the mix of them that is worth most.
///
/// Purpose:  two plans may each have one perfect tour; the pool puts them together.
/// Units:    as flat.hpp.
/// Range:    any number of vehicles from two on; where tours hang together the pool keeps nothing.
/// Accuracy: the best mix of the tours remembered, unless the work allowed ends first.
/// Cost:     up to `work` looks at a job of a tour.
/// Errors:   none.
/// Source:   own; set packing over a pool of routes as in Q. Hu, A. Lim, "An iterative
///           three-component heuristic for the team orienteering problem with time windows", EJOR
///           232 (2014); prices as in M. Fisher, "The Lagrangian relaxation method for solving
///           integer programming problems", Manage. Sci. 27 (1981).
#pragma once

#include <cstdint>
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
    /// Takes over what the other has come to know since it was last asked.
    void learn(const RoutePool& other);

    /// Orders, one a car, that together are worth more than `profit`; nothing when none are known.
    [[nodiscard]] std::optional<std::vector<std::vector<int>>> better_mix(std::int64_t profit,
                                                                          std::uint64_t work);

private:
    struct Entry {
        int kind = -1;  ///< index into kinds_
        std::int64_t profit = 0;
        std::uint64_t key = 0;
        std::vector<int> order;
    };
    /// Cars between which nothing tells.
    struct Kind {
        std::vector<int> cars;
        std::vector<int> open;         ///< entries that may still help, best reduced profit first
        std::vector<double> together;  ///< of the first so many of them: reduced profit, above 0
    };

    void add(int kind, std::int64_t profit, std::uint64_t key, const std::vector<int>& order);
    /// Moves prices of jobs to where the bound on all mixes is least; notes mixes on the way.
    void find_prices(std::uint64_t work);
    void first_prices();
    /// What each tour is worth when it pays for its jobs, and the bound that follows.
    double reduce();
    /// Tours in falling order of reduced profit, as long as they have nothing in common.
    void mix_greedily();
    /// Drops tours that are in no mix better than the best one known.
    void fix(double bound);
    /// Branch and bound: the next car of `kind`, from `first` of its tours on.
    void mix(std::size_t kind, std::size_t first, std::size_t left, double reduced,
             std::int64_t profit);
    [[nodiscard]] bool is_apart(const Entry& entry) const;
    void mark(const Entry& entry, std::uint8_t as);
    void keep_if_better(std::int64_t profit);

    const Flat* flat_;
    std::vector<Kind> kinds_;
    std::vector<int> kind_of_;          ///< cars
    std::vector<std::uint64_t> noted_;  ///< cars: stamp of the tour seen last
    std::vector<Entry> entries_;
    std::unordered_map<std::uint64_t, int> known_;
    std::uint64_t added_ = 0;  ///< entries ever
    std::uint64_t asked_ = 0;  ///< of the other's, when last asked
    std::vector<double> price_;
    std::vector<double> best_price_;
    std::vector<double> reduced_;  ///< entries
    std::vector<int> used_;        ///< jobs: tours that want it
    std::vector<int> sorted_;
    std::vector<std::uint8_t> taken_;  ///< jobs
    std::vector<double> rest_;         ///< kinds: bound on what it and the later ones bring
    double prices_ = 0;                ///< of all jobs
    std::uint64_t work_ = 0;
    std::int64_t best_profit_ = 0;
    std::vector<int> chosen_;
    std::vector<int> best_;
};

}  // namespace nestround::tour
