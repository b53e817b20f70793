#include "planner/tour/route_packing.hpp"

#include <algorithm>

namespace nestround::tour {

namespace {

constexpr std::uint64_t kLooksAtOnce = 8;  ///< comparisons for a unit of work

}  // namespace

void RoutePacking::add_kind(std::vector<PackedTour> tours, std::int64_t count)
{
    tours.push_back({});  // stays home
    std::sort(tours.begin(), tours.end(), [](const PackedTour& a, const PackedTour& b) {
        return a.reduced != b.reduced ? a.reduced > b.reduced : a.jobs < b.jobs;
    });
    Kind kind;
    kind.jobs.assign(tours.size() * words_, 0);
    for (std::size_t t = 0; t < tours.size(); ++t) {
        for (const int j : tours[t].jobs) {
            kind.jobs[t * words_ + static_cast<std::size_t>(j) / 64] |= std::uint64_t{1}
                                                                        << (j % 64);
        }
    }
    kind.tours = std::move(tours);
    kind_of_.insert(kind_of_.end(), static_cast<std::size_t>(count), kinds_.size());
    kinds_.push_back(std::move(kind));
}

bool RoutePacking::solve(std::uint64_t& work,
                         const std::function<bool(const std::vector<int>&)>& keeps)
{
    const std::size_t vehicles = kind_of_.size();
    best_rest_.assign(vehicles + 1, 0);
    for (std::size_t v = vehicles; v-- > 0;) {
        best_rest_[v] = best_rest_[v + 1] + kinds_[kind_of_[v]].tours.front().reduced;
    }
    chosen_.assign(vehicles, 0);
    taken_.assign((vehicles + 1) * words_, 0);
    keeps_ = &keeps;
    work_ = work;
    go_on(0, 0, 0, 0);
    work = work_;
    return work > 0;
}

void RoutePacking::go_on(std::size_t vehicle, std::size_t from, std::int64_t reduced,
                         std::int64_t worth)
{
    if (vehicle == kind_of_.size()) {
        note(worth);
        return;
    }
    const Kind& kind = kinds_[kind_of_[vehicle]];
    const std::uint64_t* taken = &taken_[vehicle * words_];
    std::uint64_t* then = &taken_[(vehicle + 1) * words_];
    for (std::size_t t = from; t < kind.tours.size() && work_ > 0; ++t) {
        const PackedTour& tour = kind.tours[t];
        if (reduced + tour.reduced + best_rest_[vehicle + 1] + prices_ <= best_) {
            return;
        }
        if (++looks_ % kLooksAtOnce == 0) {
            --work_;
        }
        bool apart = true;
        for (std::size_t w = 0; w < words_; ++w) {
            apart = apart && (taken[w] & kind.jobs[t * words_ + w]) == 0;
        }
        if (!apart) {
            continue;
        }
        for (std::size_t w = 0; w < words_; ++w) {
            then[w] = taken[w] | kind.jobs[t * words_ + w];
        }
        chosen_[vehicle] = t;
        // Of vehicles of one kind the first has the tour that comes first.
        const bool is_same =
            vehicle + 1 < kind_of_.size() && kind_of_[vehicle + 1] == kind_of_[vehicle];
        go_on(vehicle + 1, is_same ? t : 0, reduced + tour.reduced, worth + tour.worth);
    }
}

void RoutePacking::note(std::int64_t worth)
{
    if (worth <= best_) {
        return;
    }
    std::vector<std::vector<int>> plan;
    std::vector<int> served;
    for (std::size_t v = 0; v < chosen_.size(); ++v) {
        plan.push_back(kinds_[kind_of_[v]].tours[chosen_[v]].jobs);
        served.insert(served.end(), plan.back().begin(), plan.back().end());
    }
    if ((*keeps_)(served)) {
        best_ = worth;
        plan_ = std::move(plan);
    }
}

}  // namespace nestround::tour
