#include "planner/tour/route_pool.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

namespace nestround::tour {

namespace {

constexpr std::size_t kMostEntries = 4000;
constexpr int kMostRounds = 150;  ///< of prices
constexpr int kGreedyEvery = 8;   ///< rounds
constexpr int kPatience = 6;      ///< rounds without a better bound until steps are halved
constexpr double kLeastStep = 0.02;

}  // namespace

RoutePool::RoutePool(const Flat& flat) : flat_{&flat}
{
    // Tours that depend on one another cannot be mixed at will.
    if (flat.cars_count < 2 || flat.has_links || flat.has_shared) {
        return;
    }
    std::vector<int> index(static_cast<std::size_t>(flat.cars_count), -1);
    for (int car = 0; car < flat.cars_count; ++car) {
        int& kind = index[flat.cars[car].kind];
        if (kind < 0) {
            kind = static_cast<int>(kinds_.size());
            kinds_.emplace_back();
        }
        kinds_[kind].cars.push_back(car);
        kind_of_.push_back(kind);
    }
    noted_.assign(static_cast<std::size_t>(flat.cars_count), 0);
    taken_.assign(static_cast<std::size_t>(flat.jobs), 0);
    used_.assign(static_cast<std::size_t>(flat.jobs), 0);
}

void RoutePool::note(const SearchState& state)
{
    for (const auto& route : state.routes()) {
        if (kinds_.empty() || noted_[route.car()] == route.stamp()) {
            continue;
        }
        noted_[route.car()] = route.stamp();
        if (route.size() == 0 || route.profit() <= 0) {
            continue;
        }
        const int kind = kind_of_[route.car()];
        const std::uint64_t key = route.stamp() + static_cast<std::uint64_t>(kind);
        if (known_.contains(key)) {
            continue;
        }
        std::vector<int> order;
        for (int i = 1; i <= route.size(); ++i) {
            order.push_back(route.job(i));
        }
        add(kind, route.profit(), key, order);
    }
}

void RoutePool::add(int kind, std::int64_t profit, std::uint64_t key, const std::vector<int>& order)
{
    const std::size_t at = added_ % kMostEntries;
    if (!known_.try_emplace(key, static_cast<int>(at)).second) {
        return;
    }
    ++added_;
    Entry entry{kind, profit, key, order};
    if (at == entries_.size()) {
        entries_.push_back(std::move(entry));
    } else {
        known_.erase(entries_[at].key);
        entries_[at] = std::move(entry);
    }
}

void RoutePool::learn(const RoutePool& other)
{
    // Half of the places stay with what was found here.
    const std::uint64_t from =
        std::max(asked_, other.added_ - std::min<std::uint64_t>(other.added_, kMostEntries / 2));
    for (std::uint64_t i = from; i < other.added_; ++i) {
        const Entry& entry = other.entries_[i % kMostEntries];
        add(entry.kind, entry.profit, entry.key, entry.order);
    }
    asked_ = other.added_;
}

std::optional<std::vector<std::vector<int>>> RoutePool::better_mix(std::int64_t profit,
                                                                   std::uint64_t work)
{
    if (entries_.size() < 2) {
        return std::nullopt;
    }
    work_ = work;
    best_profit_ = profit;
    best_.clear();
    find_prices(work / 2);
    if (work_ > 0) {
        chosen_.clear();
        mix(0, 0, kinds_.front().cars.size(), 0, 0);
    }
    if (best_.empty()) {
        return std::nullopt;
    }
    std::vector<std::vector<int>> orders(static_cast<std::size_t>(flat_->cars_count));
    std::vector<std::size_t> next(kinds_.size(), 0);
    for (const int i : best_) {
        const Entry& entry = entries_[i];
        orders[static_cast<std::size_t>(kinds_[entry.kind].cars[next[entry.kind]++])] = entry.order;
    }
    return orders;
}

void RoutePool::first_prices()
{
    // Each tour spreads what it brings over its jobs; a job is worth what it is in the mean.
    price_.assign(static_cast<std::size_t>(flat_->jobs), 0);
    std::vector<int> count(price_.size(), 0);
    for (const auto& entry : entries_) {
        double rest = static_cast<double>(entry.profit);
        for (const int job : entry.order) {
            rest -= flat_->must[job] != 0 ? static_cast<double>(flat_->bonus) : 0;
        }
        for (const int job : entry.order) {
            price_[job] += std::max(0.0, rest) / static_cast<double>(entry.order.size());
            ++count[job];
        }
    }
    for (std::size_t j = 0; j < price_.size(); ++j) {
        price_[j] = price_[j] / std::max(1, count[j]) +
                    (flat_->must[j] != 0 && count[j] > 0 ? static_cast<double>(flat_->bonus) : 0);
    }
}

double RoutePool::reduce()
{
    prices_ = std::accumulate(price_.begin(), price_.end(), 0.0);
    reduced_.resize(entries_.size());
    for (auto& kind : kinds_) {
        kind.open.clear();
    }
    for (std::size_t i = 0; i < entries_.size(); ++i) {
        double worth = static_cast<double>(entries_[i].profit);
        for (const int job : entries_[i].order) {
            worth -= price_[job];
        }
        reduced_[i] = worth;
        kinds_[entries_[i].kind].open.push_back(static_cast<int>(i));
    }
    std::fill(used_.begin(), used_.end(), 0);
    double bound = prices_;
    for (auto& kind : kinds_) {
        const auto most = std::min(kind.cars.size(), kind.open.size());
        std::partial_sort(kind.open.begin(), kind.open.begin() + static_cast<std::ptrdiff_t>(most),
                          kind.open.end(), [&](int a, int b) {
                              return std::pair{-reduced_[a], a} < std::pair{-reduced_[b], b};
                          });
        for (std::size_t i = 0; i < most && reduced_[kind.open[i]] > 0; ++i) {
            bound += reduced_[kind.open[i]];
            for (const int job : entries_[kind.open[i]].order) {
                ++used_[job];
            }
        }
    }
    return bound;
}

void RoutePool::find_prices(std::uint64_t work)
{
    std::uint64_t length = 1;
    for (const auto& entry : entries_) {
        length += entry.order.size() + 4;
    }
    if (best_price_.empty()) {
        first_prices();
    } else {
        price_ = best_price_;
    }
    double least = std::numeric_limits<double>::max();
    double step = 1;
    int idle = 0;
    const auto rounds =
        std::min<std::uint64_t>(kMostRounds, std::max<std::uint64_t>(10, work / length));
    for (std::uint64_t round = 0; round < rounds && step > kLeastStep; ++round) {
        work_ -= std::min(work_, length);
        const double bound = reduce();
        if (bound < least) {
            least = bound;
            best_price_ = price_;
            idle = 0;
        } else if (++idle >= kPatience) {
            step /= 2;
            idle = 0;
        }
        if (round % kGreedyEvery == 0) {
            mix_greedily();
        }
        const double above = least - static_cast<double>(best_profit_);
        double norm = 0;
        for (std::size_t j = 0; j < price_.size(); ++j) {
            const bool moves = used_[j] > 1 || (used_[j] == 0 && price_[j] > 0);
            norm += moves ? (used_[j] - 1.0) * (used_[j] - 1.0) : 0;
        }
        if (above < 1 || norm == 0) {
            break;
        }
        for (std::size_t j = 0; j < price_.size(); ++j) {
            price_[j] = std::max(0.0, price_[j] + step * above / norm * (used_[j] - 1));
        }
    }
    price_ = best_price_;
    const double bound = reduce();
    mix_greedily();
    fix(bound);
}

void RoutePool::mix_greedily()
{
    sorted_.resize(entries_.size());
    std::iota(sorted_.begin(), sorted_.end(), 0);
    std::sort(sorted_.begin(), sorted_.end(), [&](int a, int b) {
        return std::pair{-reduced_[a], a} < std::pair{-reduced_[b], b};
    });
    std::vector<std::size_t> left;
    std::size_t cars = 0;
    for (const auto& kind : kinds_) {
        left.push_back(kind.cars.size());
        cars += kind.cars.size();
    }
    chosen_.clear();
    std::int64_t profit = 0;
    for (const int i : sorted_) {
        const Entry& entry = entries_[i];
        if (left[entry.kind] > 0 && is_apart(entry)) {
            mark(entry, 1);
            chosen_.push_back(i);
            profit += entry.profit;
            --left[entry.kind];
            if (--cars == 0) {
                break;
            }
        }
    }
    keep_if_better(profit);
    for (const int i : chosen_) {
        mark(entries_[i], 0);
    }
}

void RoutePool::fix(double bound)
{
    for (auto& kind : kinds_) {
        const std::size_t most = std::min(kind.cars.size(), kind.open.size());
        const double last =
            most == kind.cars.size() ? std::max(0.0, reduced_[kind.open[most - 1]]) : 0;
        std::vector<int> open;
        for (const int i : kind.open) {
            if (bound - last + reduced_[i] >= static_cast<double>(best_profit_) + 1) {
                open.push_back(i);
            }
        }
        std::sort(open.begin(), open.end(), [&](int a, int b) {
            return std::pair{-reduced_[a], a} < std::pair{-reduced_[b], b};
        });
        kind.open = std::move(open);
        kind.together.assign(1, 0);
        for (const int i : kind.open) {
            kind.together.push_back(kind.together.back() + std::max(0.0, reduced_[i]));
        }
    }
    rest_.assign(kinds_.size() + 1, 0);
    for (std::size_t k = kinds_.size(); k-- > 0;) {
        const auto& kind = kinds_[k];
        rest_[k] = rest_[k + 1] + kind.together[std::min(kind.cars.size(), kind.open.size())];
    }
}

void RoutePool::mix(std::size_t kind, std::size_t first, std::size_t left, double reduced,
                    std::int64_t profit)
{
    const Kind& mine = kinds_[kind];
    for (std::size_t i = first; i < mine.open.size() && left > 0 && work_ > 0; ++i) {
        --work_;
        const std::size_t end = std::min(mine.open.size(), i + left);
        const double most = prices_ + reduced + mine.together[end] - mine.together[i] +
                            std::min(0.0, reduced_[mine.open[i]]) + rest_[kind + 1];
        if (most < static_cast<double>(best_profit_) + 1) {
            break;
        }
        const Entry& entry = entries_[mine.open[i]];
        if (!is_apart(entry)) {
            continue;
        }
        mark(entry, 1);
        chosen_.push_back(mine.open[i]);
        keep_if_better(profit + entry.profit);
        mix(kind, i + 1, left - 1, reduced + reduced_[mine.open[i]], profit + entry.profit);
        chosen_.pop_back();
        mark(entry, 0);
    }
    // The other cars of this kind stay idle.
    if (kind + 1 < kinds_.size() && work_ > 0 &&
        prices_ + reduced + rest_[kind + 1] >= static_cast<double>(best_profit_) + 1) {
        --work_;
        mix(kind + 1, 0, kinds_[kind + 1].cars.size(), reduced, profit);
    }
}

bool RoutePool::is_apart(const Entry& entry) const
{
    return std::none_of(entry.order.begin(), entry.order.end(),
                        [&](int job) { return taken_[job] != 0; });
}

void RoutePool::mark(const Entry& entry, std::uint8_t as)
{
    for (const int job : entry.order) {
        taken_[job] = as;
    }
}

void RoutePool::keep_if_better(std::int64_t profit)
{
    if (profit > best_profit_) {
        best_profit_ = profit;
        best_ = chosen_;
    }
}

}  // namespace nestround::tour
