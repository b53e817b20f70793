/// \file search_state.hpp
/// \brief All tours while they are searched, and which jobs are in none.
///
/// Purpose:  what ruin and recreate change; cheap to take back.
/// Units:    as flat.hpp.
/// Range:    every job is in one tour or in idle().
/// Accuracy: exact.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <vector>

#include "planner/tour/route.hpp"

namespace nestround::tour {

class SearchState {
public:
    explicit SearchState(const Flat& flat);

    [[nodiscard]] const std::vector<Route>& routes() const { return routes_; }
    /// Index of the tour that has the job, or -1.
    [[nodiscard]] int route_of(int job) const { return route_of_[job]; }
    [[nodiscard]] const std::vector<int>& idle() const { return idle_; }
    /// Prizes less driving, with the bonus of must-takes.
    [[nodiscard]] std::int64_t profit() const { return profit_; }
    [[nodiscard]] std::int64_t busy() const;  ///< seconds that the tours last, together

    /// What other tours have to say: shared resources, and the job that this one follows.
    [[nodiscard]] bool admits(int job, int route) const;
    /// The checks that take more than a slot's own: live cargo, and tours that wait for one
    /// another. Sets what overtime it costs.
    [[nodiscard]] bool is_kept(int job, int route, Slot& slot, LiveScratch& scratch) const;
    /// Whether a job that follows this one is served.
    [[nodiscard]] bool is_followed(int job) const;

    void insert(int job, int route, const Slot& slot);
    /// Takes the jobs out of their tours, and more where a tour could not be kept otherwise.
    void remove(const std::vector<int>& jobs, LiveScratch& scratch);
    [[nodiscard]] bool assign(int route, const std::vector<int>& jobs);

    /// Makes this equal to `other`.
    void take_back(const SearchState& other);

private:
    /// Tours tied to `route`, itself first, were `job` in it.
    void find_tied(int job, int route) const;
    [[nodiscard]] std::optional<std::vector<Times>> settle(int job, int position,
                                                           Timetable& timetable) const;
    void settle_homes(int route, LiveScratch& scratch);
    void move_to_idle(int job);
    void take_from_idle(int job, int route);

    const Flat* flat_;
    std::vector<Route> routes_;
    std::vector<int> route_of_;
    std::vector<int> idle_;
    std::vector<int> idle_at_;        ///< position of a job in idle_
    std::vector<std::uint8_t> gone_;  ///< scratch of remove()
    std::vector<std::int64_t> shared_left_;
    mutable std::vector<int> tied_;  ///< scratch of find_tied()
    std::int64_t profit_ = 0;
};

}  // namespace nestround::tour
