#include "planner/tour/sharing.hpp"

#include <algorithm>
#include <numeric>

namespace nestround::tour {

bool is_beyond_shared(const Problem& problem, const std::vector<std::size_t>& jobs, Set set)
{
    for (std::size_t r = 0; r < problem.resources(); ++r) {
        const auto limit = problem.shared_limit(r);
        if (!limit) {
            continue;
        }
        std::int64_t used = 0;
        for (std::size_t i = 0; i < jobs.size(); ++i) {
            used += (set >> i & 1U) != 0 ? problem.demand(jobs[i], r) : 0;
        }
        if (used > *limit) {
            return true;
        }
    }
    return false;
}

Sharing::Sharing(const Problem& problem, const std::vector<std::size_t>& jobs,
                 const std::vector<VehicleSets>& vehicles, std::uint64_t& work)
    : best_(std::size_t{1} << jobs.size(), kImpossible)
{
    best_[0] = 0;
    for (const auto& vehicle : vehicles) {
        auto values = vehicle.values();
        for (Set set = 1; set < values.size(); ++set) {
            if (values[set] > kImpossible && vehicle.is_live(set)) {
                values[set] = vehicle.order(set, work).value;
            }
        }
        share(values);
        is_complete_ = work > 0;
    }
    for (Set set = 1; set < best_.size(); ++set) {
        if (is_beyond_shared(problem, jobs, set)) {
            best_[set] = kImpossible;
        }
    }
}

void Sharing::share(const std::vector<std::int64_t>& values)
{
    std::vector<std::int64_t> after(best_.size(), kImpossible);
    std::vector<Set> taken(best_.size(), 0);
    for (Set set = 0; set < best_.size(); ++set) {
        for (Set part = set;; part = (part - 1) & set) {
            if (values[part] > kImpossible && best_[set & ~part] > kImpossible &&
                best_[set & ~part] + values[part] > after[set]) {
                after[set] = best_[set & ~part] + values[part];
                taken[set] = part;
            }
            if (part == 0) {
                break;
            }
        }
    }
    best_ = std::move(after);
    taken_.push_back(std::move(taken));
}

Shares Sharing::best() const
{
    auto set = static_cast<Set>(std::max_element(best_.begin(), best_.end()) - best_.begin());
    Shares shares(taken_.size());
    for (std::size_t v = taken_.size(); v-- > 0;) {
        shares[v] = taken_[v][set];
        set &= ~shares[v];
    }
    return shares;
}

namespace {

class Packing {
public:
    Packing(const Problem& problem, const std::vector<std::size_t>& jobs,
            const std::vector<VehicleSets>& vehicles, std::uint64_t& work)
        : problem_{problem}, jobs_{jobs}, vehicles_{vehicles}, work_{work}
    {
        for (const auto& vehicle : vehicles) {
            add(vehicle);
        }
        // What the vehicles from each one on could have together if none minded the others.
        rest_.assign(vehicles.size() + 1, std::vector<std::int64_t>(sets(), 0));
        for (std::size_t v = vehicles.size(); v-- > 0;) {
            for (std::size_t set = 0; set < sets(); ++set) {
                rest_[v][set] = rest_[v + 1][set] + most_[v][set];
            }
        }
        taken_.assign(vehicles.size(), 0);
    }

    std::optional<Shares> run()
    {
        best_shares_.assign(vehicles_.size(), 0);
        best_ = 0;
        pack(0, static_cast<Set>(sets() - 1), 0);
        if (work_ == 0) {
            return std::nullopt;
        }
        return best_shares_;
    }

private:
    [[nodiscard]] std::size_t sets() const { return std::size_t{1} << jobs_.size(); }

    void add(const VehicleSets& vehicle)
    {
        const auto& values = vehicle.values();
        std::vector<std::int64_t> most = values;
        std::vector<Set> order;
        for (std::size_t set = 0; set < sets(); ++set) {
            // What is worth no more than a part of it is of no use. Ride limits are not in the
            // values, so there nothing is said about the part.
            std::int64_t part = kImpossible;
            for (std::size_t i = 0; i < jobs_.size(); ++i) {
                if ((set >> i & 1U) != 0) {
                    part = std::max(part, most[set & ~(std::size_t{1} << i)]);
                }
            }
            if (set != 0 && values[set] > kImpossible &&
                (values[set] > part || vehicle.is_live(static_cast<Set>(set)))) {
                order.push_back(static_cast<Set>(set));
            }
            most[set] = std::max(most[set], part);
        }
        std::stable_sort(order.begin(), order.end(),
                         [&](Set a, Set b) { return values[a] > values[b]; });
        order_.push_back(std::move(order));
        most_.push_back(std::move(most));
    }

    void pack(std::size_t v, Set open, std::int64_t value)
    {
        if (v == vehicles_.size()) {
            if (value > best_ &&
                !is_beyond_shared(problem_, jobs_, static_cast<Set>(sets() - 1) & ~open)) {
                best_ = value;
                best_shares_ = taken_;
            }
            return;
        }
        if (value + rest_[v][open] <= best_) {
            return;
        }
        const auto& values = vehicles_[v].values();
        for (const Set set : order_[v]) {
            if (work_ == 0) {
                return;
            }
            --work_;
            if (value + values[set] + rest_[v + 1][open] <= best_) {
                break;
            }
            if ((set & ~open) != 0 || value + values[set] + rest_[v + 1][open & ~set] <= best_) {
                continue;
            }
            std::int64_t worth = values[set];
            if (vehicles_[v].is_live(set)) {
                worth = vehicles_[v].order(set, work_).value;
                if (worth == kImpossible) {
                    continue;
                }
            }
            taken_[v] = set;
            pack(v + 1, open & ~set, value + worth);
            taken_[v] = 0;
        }
        pack(v + 1, open, value);
    }

    const Problem& problem_;
    const std::vector<std::size_t>& jobs_;
    const std::vector<VehicleSets>& vehicles_;
    std::uint64_t& work_;
    std::vector<std::vector<Set>> order_;
    std::vector<std::vector<std::int64_t>> most_;  ///< of each set or a part of it
    std::vector<std::vector<std::int64_t>> rest_;
    std::int64_t best_ = 0;
    Shares taken_;
    Shares best_shares_;
};

}  // namespace

std::optional<Shares> best_packing(const Problem& problem, const std::vector<std::size_t>& jobs,
                                   const std::vector<VehicleSets>& vehicles, std::uint64_t& work)
{
    return Packing{problem, jobs, vehicles, work}.run();
}

}  // namespace nestround::tour
