/// \file recreate.hpp
/// \brief Puts jobs that are in no tour back where they cost least, in a random order.
///
/// Purpose:  one half of an iteration; see solver.hpp.
/// Units:    as flat.hpp.
/// Range:    afterwards no idle job has a slot that pays, but for slots overlooked at random.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   see solver.hpp, "greedy insertion with blinks"; the second way weighs prize against
///           cost as in P. Vansteenwegen et al., "Iterated local search for the team orienteering
///           problem with time windows", Comput. Oper. Res. 36 (2009).
#pragma once

#include <array>
#include <vector>

#include "geocore/base/random.hpp"
#include "planner/tour/part.hpp"

namespace nestround::tour {

class Recreate {
public:
    explicit Recreate(const Flat& flat);

    /// A loss of up to `patience` points is allowed a single insertion: two jobs far out may pay
    /// together where neither does alone. With `around` often only the idle jobs near to those are
    /// looked at, where there are many.
    void apply(SearchState& state, double patience, Random& random, LiveScratch& scratch,
               const std::vector<int>* around = nullptr);

    /// From now on fills these tours only; null: all.
    void keep_to(const Part* part) { part_ = part; }

private:
    struct Offer {
        int job;
        int route;
        Slot slot;
        double worth;
    };

    /// Which idle jobs are looked at this time.
    void choose(const SearchState& state, const std::vector<int>* around, Random& random);
    /// Jobs one after another by a noisy key, each to its cheapest slot.
    void one_by_one(SearchState& state, Random& random, LiveScratch& scratch);
    /// Of all jobs the one that gives most for its cost, again and again.
    void best_first(SearchState& state, Random& random, LiveScratch& scratch);

    /// Takes out stops that do not pay for their detour, worst first.
    void prune(SearchState& state, LiveScratch& scratch);

    [[nodiscard]] Slot best_slot(const SearchState& state, const Route& route, int job,
                                 Random& random, LiveScratch& scratch);
    /// Of the slots swept the cheapest that is not overlooked.
    [[nodiscard]] Slot cheapest(const Route& route, int job, Random& random, SlotSweep& sweep);
    /// The job to its cheapest slot in any tour; false when it has none.
    bool place(SearchState& state, int job, Random& random, LiveScratch& scratch);
    /// After one was taken: drops offers that it spoils, adds those of second visits to it.
    void renew_offers(const SearchState& state, const Offer& taken, Random& random,
                      LiveScratch& scratch);
    /// The cheapest slot of an offer after another job went in behind `position`; -1: look anew.
    [[nodiscard]] Slot slot_after(const Route& route, const Offer& offer, int position) const;
    [[nodiscard]] double worth(int job, const Slot& slot, Random& random) const;
    [[nodiscard]] std::int64_t trust(int job) const { return trusts_ ? promise_[job] : 0; }
    [[nodiscard]] bool skips(Random& random);
    [[nodiscard]] bool is_hopeless(const Route& route, int job) const;
    void note_hopeless(const Route& route, int job);
    [[nodiscard]] double key(int job, int way, double power, Random& random) const;

    [[nodiscard]] bool is_open(const Route& route) const
    {
        return part_ == nullptr || part_->has_car[route.car()] != 0;
    }

    const Flat* flat_;
    const Part* part_ = nullptr;
    /// Points that a job may make possible without having them: second visits, room on the truck.
    std::vector<std::int64_t> promise_;
    bool trusts_ = true;
    double local_ = 1;        ///< chance of looking at jobs near the ruin only
    bool is_simple_ = false;  ///< slots are compared by driving and time alone
    std::vector<int> later_;
    std::vector<int> chosen_;
    std::vector<std::uint32_t> chosen_at_;  ///< jobs: when last chosen
    std::uint32_t choice_ = 0;
    std::vector<std::vector<int>> near_;  ///< jobs: others near in place and time, nearest first
    std::vector<double> prize_;           ///< best over the vehicles, of the mean
    std::vector<double> window_;          ///< seconds in which service may begin
    std::vector<double> away_;            ///< seconds from the nearest depot
    std::vector<double> service_;
    double mean_prize_ = 1;
    double worth_of_time_ = 1;  ///< seconds that a point is worth, by and large
    double blink_ = 0.01;
    bool musts_first_ = true;
    std::vector<std::pair<double, int>> order_;
    std::vector<Offer> offers_;
    std::vector<double> powered_;  ///< of each job's prize, this time
    /// Stamps of tours that have no slot for a job: two for each job and car, the newer first.
    std::vector<std::array<std::uint64_t, 2>> hopeless_;
    std::int64_t until_blink_ = 0;
    std::int64_t least_gain_ = 1;
    double drive_weight_ = 1;
    double push_weight_ = 1;
    double gain_weight_ = 0;  ///< seconds a point
};

}  // namespace nestround::tour
