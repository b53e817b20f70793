#include "planner/tour/search_state.hpp"

#include <algorithm>
#include <cassert>

namespace nestround::tour {

SearchState::SearchState(const Flat& flat)
    : flat_{&flat},
      route_of_(static_cast<std::size_t>(flat.jobs), -1),
      idle_at_(static_cast<std::size_t>(flat.jobs)),
      gone_(static_cast<std::size_t>(flat.jobs), 0)
{
    for (int car = 0; car < flat.cars_count; ++car) {
        routes_.emplace_back(flat, car);
    }
    for (int j = 0; j < flat.jobs; ++j) {
        idle_at_[j] = static_cast<int>(idle_.size());
        idle_.push_back(j);
    }
}

std::int64_t SearchState::busy() const
{
    std::int64_t sum = 0;
    for (const auto& route : routes_) {
        sum += route.home() - flat_->cars[route.car()].opens;
    }
    return sum;
}

void SearchState::move_to_idle(int job)
{
    route_of_[job] = -1;
    idle_at_[job] = static_cast<int>(idle_.size());
    idle_.push_back(job);
}

void SearchState::take_from_idle(int job, int route)
{
    const int last = idle_.back();
    idle_[idle_at_[job]] = last;
    idle_at_[last] = idle_at_[job];
    idle_.pop_back();
    route_of_[job] = route;
}

void SearchState::insert(int job, int route, const Slot& slot)
{
    profit_ -= routes_[route].profit();
    routes_[route].insert(job, slot);
    profit_ += routes_[route].profit();
    take_from_idle(job, route);
}

bool SearchState::assign(int route, const std::vector<int>& jobs)
{
    Route& tour = routes_[route];
    for (int i = 1; i <= tour.size(); ++i) {
        move_to_idle(tour.job(i));
    }
    profit_ -= tour.profit();
    const bool kept = tour.assign(jobs);
    if (!kept) {
        tour.clear();
    }
    profit_ += tour.profit();
    for (int i = 1; i <= tour.size(); ++i) {
        take_from_idle(tour.job(i), route);
    }
    return kept;
}

void SearchState::remove(const std::vector<int>& jobs, LiveScratch& scratch)
{
    for (const int job : jobs) {
        gone_[job] = 1;
    }
    for (const int job : jobs) {
        const int r = route_of_[job];
        if (r < 0) {
            continue;  // went with an earlier one of its tour
        }
        Route& tour = routes_[r];
        profit_ -= tour.profit();
        for (int i = 1; i <= tour.size(); ++i) {
            if (gone_[tour.job(i)] != 0) {
                move_to_idle(tour.job(i));
            }
        }
        while (!tour.remove(gone_, scratch)) {
            // Driving straight on is slower than by way of a stop was: drop the last one too.
            const int extra = tour.job(tour.size());
            gone_[extra] = 1;
            move_to_idle(extra);
        }
        profit_ += tour.profit();
    }
    for (const int job : idle_) {
        gone_[job] = 0;
    }
}

void SearchState::take_back(const SearchState& other)
{
    for (std::size_t r = 0; r < routes_.size(); ++r) {
        if (routes_[r].size() != other.routes_[r].size() || !routes_[r].equals(other.routes_[r])) {
            routes_[r] = other.routes_[r];
        }
    }
    route_of_ = other.route_of_;
    idle_ = other.idle_;
    idle_at_ = other.idle_at_;
    profit_ = other.profit_;
}

}  // namespace nestround::tour
