#include "planner/tour/route_pool.hpp"

#include <algorithm>
#include <numeric>

namespace nestround::tour {

namespace {

constexpr int kMostCars = 8;
constexpr std::size_t kMostEntries = 2000;

}  // namespace

RoutePool::RoutePool(const Flat& flat) : flat_{&flat}
{
    // Tours that depend on one another cannot be mixed at will.
    if (flat.cars_count < 2 || flat.cars_count > kMostCars || flat.has_links || flat.has_shared) {
        return;
    }
    cars_.resize(static_cast<std::size_t>(flat.cars_count));
    std::iota(cars_.begin(), cars_.end(), 0);
    std::stable_sort(cars_.begin(), cars_.end(),
                     [&](int a, int b) { return flat.cars[a].kind < flat.cars[b].kind; });
}

void RoutePool::note(const SearchState& state)
{
    if (cars_.empty()) {
        return;
    }
    for (const auto& route : state.routes()) {
        if (route.size() == 0 || route.profit() <= 0) {
            continue;
        }
        const int kind = flat_->cars[route.car()].kind;
        const std::uint64_t key = route.stamp() + static_cast<std::uint64_t>(kind);
        const int next =
            static_cast<int>(entries_.size() < kMostEntries ? entries_.size() : oldest_);
        if (!known_.try_emplace(key, next).second) {
            continue;
        }
        Entry entry;
        entry.kind = kind;
        entry.profit = route.profit();
        entry.key = key;
        entry.jobs.assign(static_cast<std::size_t>(flat_->jobs) / 64 + 1, 0);
        for (int i = 1; i <= route.size(); ++i) {
            const int job = route.job(i);
            entry.order.push_back(job);
            entry.jobs[static_cast<std::size_t>(job) / 64] |= std::uint64_t{1} << (job % 64);
        }
        if (entries_.size() < kMostEntries) {
            entries_.push_back(std::move(entry));
        } else {
            known_.erase(entries_[oldest_].key);
            entries_[oldest_] = std::move(entry);
            oldest_ = (oldest_ + 1) % kMostEntries;
        }
    }
}

bool RoutePool::are_apart(const Entry& a, const Entry& b) const
{
    for (std::size_t i = 0; i < a.jobs.size(); ++i) {
        if ((a.jobs[i] & b.jobs[i]) != 0) {
            return false;
        }
    }
    return true;
}

std::optional<std::vector<std::vector<int>>> RoutePool::better_mix(std::int64_t profit,
                                                                   std::uint64_t work)
{
    if (cars_.empty()) {
        return std::nullopt;
    }
    std::vector<int> open(entries_.size());
    std::iota(open.begin(), open.end(), 0);
    std::stable_sort(open.begin(), open.end(),
                     [&](int a, int b) { return entries_[a].profit > entries_[b].profit; });
    work_ = work;
    best_profit_ = profit;
    best_.clear();
    chosen_.assign(cars_.size(), -1);
    mix(0, open, 0);
    if (best_.empty()) {
        return std::nullopt;
    }
    std::vector<std::vector<int>> orders(cars_.size());
    for (std::size_t i = 0; i < cars_.size(); ++i) {
        if (best_[i] >= 0) {
            orders[static_cast<std::size_t>(cars_[i])] = entries_[best_[i]].order;
        }
    }
    return orders;
}

void RoutePool::mix(std::size_t depth, const std::vector<int>& open, std::int64_t profit)
{
    if (profit > best_profit_) {
        best_profit_ = profit;
        best_ = chosen_;
    }
    if (depth == cars_.size()) {
        return;
    }
    const int kind = flat_->cars[cars_[depth]].kind;
    const auto left = static_cast<std::int64_t>(cars_.size() - depth);
    // The most that any one of the cars after this one could still bring.
    const std::int64_t most = open.empty() ? 0 : entries_[open.front()].profit;
    bool has_other_kinds = false;
    for (std::size_t d = depth; d < cars_.size(); ++d) {
        has_other_kinds |= flat_->cars[cars_[d]].kind != kind;
    }
    for (std::size_t i = 0; i < open.size() && work_ > 0; ++i) {
        const Entry& entry = entries_[open[i]];
        // Among cars of a kind tours are chosen in falling order of profit.
        const std::int64_t rest = has_other_kinds ? most : entry.profit;
        if (profit + entry.profit + (left - 1) * rest <= best_profit_) {
            break;
        }
        if (entry.kind != kind) {
            continue;
        }
        std::vector<int> apart;
        if (left > 1) {
            for (std::size_t k = has_other_kinds ? 0 : i + 1; k < open.size() && work_ > 0; ++k) {
                --work_;
                const Entry& other = entries_[open[k]];
                if ((other.kind != kind || k > i) && are_apart(entry, other)) {
                    apart.push_back(open[k]);
                }
            }
        }
        chosen_[depth] = open[i];
        mix(depth + 1, apart, profit + entry.profit);
        chosen_[depth] = -1;
    }
    if (has_other_kinds && work_ > 0) {
        mix(depth + 1, open, profit);  // this car stays idle
    }
}

}  // namespace nestround::tour
