#include "planner/tour/search_state.hpp"

#include <algorithm>
#include <cassert>

namespace nestround::tour {

SearchState::SearchState(const Flat& flat)
    : flat_{&flat},
      route_of_(static_cast<std::size_t>(flat.jobs), -1),
      idle_at_(static_cast<std::size_t>(flat.jobs)),
      gone_(static_cast<std::size_t>(flat.jobs), 0),
      shared_left_{flat.shared}
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

bool SearchState::is_followed(int job) const
{
    const auto& followers = flat_->followers[job];
    return std::any_of(followers.begin(), followers.end(),
                       [&](int other) { return route_of_[other] >= 0; });
}

bool SearchState::admits(int job, int route) const
{
    const int leader = flat_->leader[job];
    if (leader >= 0 &&
        (route_of_[leader] < 0 || (flat_->same_car[job] != 0 && route_of_[leader] != route))) {
        return false;
    }
    for (int r = 0; r < flat_->resources && flat_->has_shared; ++r) {
        if (flat_->demand[job * flat_->resources + r] > shared_left_[r]) {
            return false;
        }
    }
    return true;
}

void SearchState::find_tied(int job, int route) const
{
    tied_.assign(1, route);
    const auto add = [&](int other) {
        const int r = route_of_[other];
        if (r >= 0 && std::find(tied_.begin(), tied_.end(), r) == tied_.end()) {
            tied_.push_back(r);
        }
    };
    const auto look = [&](int one) {
        if (flat_->leader[one] >= 0) {
            add(flat_->leader[one]);
        }
        for (const int follower : flat_->followers[one]) {
            add(follower);
        }
    };
    if (job >= 0) {
        look(job);
    }
    for (std::size_t i = 0; i < tied_.size(); ++i) {
        const Route& tour = routes_[tied_[i]];
        for (int position = 1; position <= tour.size(); ++position) {
            look(tour.job(position));
        }
    }
}

std::optional<std::vector<Times>> SearchState::settle(int job, int position,
                                                      Timetable& timetable) const
{
    std::vector<TimetableRow> rows;
    std::vector<std::pair<int, std::pair<int, int>>> at;  // job: row, stop
    for (std::size_t i = 0; i < tied_.size(); ++i) {
        const Route& tour = routes_[tied_[i]];
        const bool is_new = i == 0 && job >= 0;
        rows.push_back(tour.row(is_new ? job : -1, position));
        for (int p = 1; p <= tour.size(); ++p) {
            at.push_back({tour.job(p), {static_cast<int>(i), p - 1 + (is_new && p > position)}});
        }
        if (is_new) {
            at.push_back({job, {0, position}});
        }
    }
    std::vector<TimetableLink> links;
    const auto find = [&](int other) {
        return std::find_if(at.begin(), at.end(),
                            [&](const auto& one) { return one.first == other; });
    };
    for (const auto& [other, where] : at) {
        const auto leader = flat_->leader[other] < 0 ? at.end() : find(flat_->leader[other]);
        if (leader != at.end()) {
            links.push_back({leader->second.first, leader->second.second, where.first, where.second,
                             flat_->least[other], flat_->most[other]});
        }
    }
    return timetable.solve(rows, links, flat_->traffic);
}

bool SearchState::is_kept(int job, int route, Slot& slot, LiveScratch& scratch) const
{
    const Route& tour = routes_[route];
    if (flat_->has_links) {
        bool is_tied = flat_->leader[job] >= 0;
        for (int position = 1; position <= tour.size() && !is_tied; ++position) {
            is_tied = flat_->leader[tour.job(position)] >= 0 || is_followed(tour.job(position));
        }
        if (is_tied) {
            find_tied(job, route);
            const auto times = settle(job, slot.position, scratch.timetable);
            if (!times) {
                return false;
            }
            slot.over = 0;
            for (std::size_t i = 0; i < tied_.size(); ++i) {
                const Route& one = routes_[tied_[i]];
                slot.over += flat_->cars[one.car()].over((*times)[i].home) - one.over();
            }
            return true;
        }
    }
    return !flat_->has_live || tour.is_kept_alive(job, slot, scratch);
}

/// The homes of all tours tied to this one; second visits go where they can no longer be kept.
void SearchState::settle_homes(int route, LiveScratch& scratch)
{
    for (;;) {
        find_tied(-1, route);
        if (tied_.size() == 1) {
            const Route& tour = routes_[route];
            bool is_tied = false;
            for (int position = 1; position <= tour.size(); ++position) {
                is_tied |= flat_->leader[tour.job(position)] >= 0;
            }
            if (!is_tied) {
                // Alone again, so home as its own stops say.
                std::vector<int> jobs;
                for (int position = 1; position <= tour.size(); ++position) {
                    jobs.push_back(tour.job(position));
                }
                profit_ -= tour.profit();
                [[maybe_unused]] const bool kept = routes_[route].assign(jobs);
                profit_ += tour.profit();
                return;
            }
        }
        const auto tied = tied_;
        if (const auto times = settle(-1, 0, scratch.timetable)) {
            for (std::size_t i = 0; i < tied.size(); ++i) {
                Route& one = routes_[tied[i]];
                profit_ -= one.profit();
                one.set_home((*times)[i].home);
                profit_ += one.profit();
            }
            return;
        }
        std::vector<int> out;
        for (const int r : tied) {
            for (int position = 1; position <= routes_[r].size(); ++position) {
                if (flat_->leader[routes_[r].job(position)] >= 0) {
                    out.push_back(routes_[r].job(position));
                }
            }
        }
        remove(out, scratch);
    }
}

void SearchState::move_to_idle(int job)
{
    route_of_[job] = -1;
    idle_at_[job] = static_cast<int>(idle_.size());
    idle_.push_back(job);
    for (int r = 0; r < flat_->resources && flat_->has_shared; ++r) {
        shared_left_[r] += flat_->demand[job * flat_->resources + r];
    }
}

void SearchState::take_from_idle(int job, int route)
{
    const int last = idle_.back();
    idle_[idle_at_[job]] = last;
    idle_at_[last] = idle_at_[job];
    idle_.pop_back();
    route_of_[job] = route;
    for (int r = 0; r < flat_->resources && flat_->has_shared; ++r) {
        shared_left_[r] -= flat_->demand[job * flat_->resources + r];
    }
}

void SearchState::insert(int job, int route, const Slot& slot)
{
    profit_ -= routes_[route].profit();
    routes_[route].insert(job, slot);
    profit_ += routes_[route].profit();
    take_from_idle(job, route);
    if (flat_->removal_may_fail) {
        LiveScratch scratch;
        settle_homes(route, scratch);
    }
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
    // Second visits go with first ones; what goes for want of a way grows the list.
    std::vector<int> out = jobs;
    std::vector<int> touched;
    const auto add_followers = [&](std::size_t from) {
        for (std::size_t i = from; i < out.size() && flat_->has_links; ++i) {
            for (const int follower : flat_->followers[out[i]]) {
                if (route_of_[follower] >= 0 && gone_[follower] == 0) {
                    gone_[follower] = 1;
                    out.push_back(follower);
                }
            }
        }
    };
    for (const int job : out) {
        gone_[job] = 1;
    }
    add_followers(0);
    for (std::size_t next = 0; next < out.size(); ++next) {
        const int r = route_of_[out[next]];
        if (r < 0) {
            continue;  // went with an earlier one of its tour
        }
        touched.push_back(r);
        Route& tour = routes_[r];
        profit_ -= tour.profit();
        for (int i = 1; i <= tour.size(); ++i) {
            if (gone_[tour.job(i)] != 0) {
                move_to_idle(tour.job(i));
            }
        }
        while (!tour.remove(gone_, scratch)) {
            // Driving straight on is slower than by way of a stop was, or what is given off is no
            // longer loaded: drop the last one too.
            const int extra = tour.job(tour.size());
            gone_[extra] = 1;
            out.push_back(extra);
            move_to_idle(extra);
        }
        profit_ += tour.profit();
        add_followers(next + 1);
    }
    for (const int job : out) {
        gone_[job] = 0;
    }
    for (const int r : touched) {
        if (flat_->removal_may_fail) {
            settle_homes(r, scratch);
        }
    }
}

void SearchState::take_back(const SearchState& other)
{
    for (std::size_t r = 0; r < routes_.size(); ++r) {
        if (routes_[r].stamp() != other.routes_[r].stamp() ||
            routes_[r].over() != other.routes_[r].over()) {
            routes_[r] = other.routes_[r];
        }
    }
    route_of_ = other.route_of_;
    idle_ = other.idle_;
    idle_at_ = other.idle_at_;
    profit_ = other.profit_;
    shared_left_ = other.shared_left_;
}

}  // namespace nestround::tour
