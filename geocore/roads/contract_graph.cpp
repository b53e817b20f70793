#include "geocore/roads/contract_graph.hpp"

#include <algorithm>
#include <cassert>
#include <tuple>
#include <utility>

#include "geocore/roads/small_heap.hpp"

namespace nestround::roads {
namespace {

// Settings; they decide speed, never results.
constexpr std::size_t kMostSettled = 120;    ///< states a search for another way may settle
constexpr std::size_t kMostRelaxed = 4000;   ///< and arcs it may look at
constexpr std::size_t kSmallestCore = 4096;  ///< fewer states are always contracted
constexpr std::size_t kDensestCore = 40;     ///< arcs a state at which contraction stops
constexpr std::size_t kAlone = 512;          ///< fewer candidates are not worth a second worker
constexpr std::uint32_t kPriorityScale = 1000;
constexpr std::uint32_t kLevelScale = 500;

struct WorkArc {
    TravelWeight weight = 0;
    std::uint32_t other = 0;
    std::uint32_t via = 0;
    std::uint32_t hops = 1;  ///< arcs of the graph it stands for
};
using WorkArcs = std::vector<WorkArc>;

struct Shortcut {
    std::uint32_t from = 0;
    std::uint32_t to = 0;
    TravelWeight weight = 0;
    std::uint32_t hops = 0;
};

/// Keeps the better arc of two to the same state; true when there is one more.
bool keep_best(WorkArcs& list, const WorkArc& arc)
{
    for (auto& present : list) {
        if (present.other == arc.other) {
            if (arc.weight < present.weight) {
                present = arc;
            }
            return false;
        }
    }
    list.push_back(arc);
    return true;
}

void drop(WorkArcs& list, std::uint32_t other)
{
    for (auto& arc : list) {
        if (arc.other == other) {
            arc = list.back();
            list.pop_back();
            return;
        }
    }
}

/// Decides between equal priorities without favouring a corner of the map.
std::uint32_t scattered(std::uint32_t x)
{
    x = (x ^ x >> 16U) * 0x7feb352dU;
    x = (x ^ x >> 15U) * 0x846ca68bU;
    return x ^ x >> 16U;
}

/// What a worker needs for itself.
struct Bench {
    std::vector<TravelWeight> cost;
    std::vector<std::uint32_t> touched;
    SmallHeap queue;
    std::vector<Shortcut> shortcuts;  ///< of all its candidates of the round
};

struct Trial {
    std::uint32_t state = 0;
    std::uint32_t effort = 0;  ///< of contracting it, without its level
    std::size_t first = 0;     ///< its shortcuts on the worker's bench
    std::size_t count = 0;
    bool taken = false;
};

class Contractor {
public:
    Contractor(TravelGraph graph, const ContractOptions& options)
        : states_{graph.state_count()},
          options_{options},
          out_(states_),
          in_(states_),
          effort_(states_, 0),
          level_(states_, 0),
          candidate_(states_, 0)
    {
        for (std::uint32_t state = 0; state < states_; ++state) {
            for (std::uint32_t i = 0; i < graph.arcs(state).size(); ++i) {
                const auto& arc = graph.arcs(state)[i];
                if (arc.head == state) {
                    continue;
                }
                const auto weight = pack(arc.ms, arc.mm);
                const auto via = kGraphArc | (graph.first_arc(state) + i);
                arcs_ += keep_best(out_[state], {weight, arc.head, via, 1}) ? 1 : 0;
                keep_best(in_[arc.head], {weight, state, via, 1});
            }
        }
        benches_.resize(std::max<std::size_t>(1, options.workers.count));
        for (auto& bench : benches_) {
            bench.cost.assign(states_, kNoWeight);
        }
        rest_.resize(states_);
        for (std::uint32_t state = 0; state < states_; ++state) {
            rest_[state] = state;
        }
    }

    /// False when it was cancelled.
    bool run()
    {
        order_.reserve(states_);
        if (!is_too_dense()) {
            estimate_all();
        }
        while (!rest_.empty() && !is_too_dense()) {
            if (options_.progress &&
                !options_.progress(static_cast<double>(order_.size()) / states_)) {
                return false;
            }
            choose_candidates();
            try_candidates();
            take_the_best();
        }
        return true;
    }

    HierarchyData result() const
    {
        HierarchyData data;
        data.core = static_cast<std::uint32_t>(rest_.size());
        data.position.assign(states_, 0);
        std::vector<std::uint32_t> state_at(rest_);
        state_at.insert(state_at.end(), order_.rbegin(), order_.rend());
        for (std::uint32_t p = 0; p < states_; ++p) {
            data.position[state_at[p]] = p;
        }
        std::size_t count = 0;
        for (std::uint32_t p = 0; p < states_; ++p) {
            count += out_[state_at[p]].size() + (p < data.core ? 0 : in_[state_at[p]].size());
        }
        data.first.reserve(2 * std::size_t{states_} + 1);
        data.arcs.reserve(count);
        data.via.reserve(count);
        for (std::uint32_t p = 0; p < states_; ++p) {
            data.first.push_back(static_cast<std::uint32_t>(data.arcs.size()));
            append(data, out_[state_at[p]]);
            data.first.push_back(static_cast<std::uint32_t>(data.arcs.size()));
            if (p >= data.core) {
                append(data, in_[state_at[p]]);
            }
        }
        data.first.push_back(static_cast<std::uint32_t>(data.arcs.size()));
        return data;
    }

private:
    static void append(HierarchyData& data, WorkArcs arcs)
    {
        for (auto& arc : arcs) {
            arc.other = data.position[arc.other];
        }
        std::sort(arcs.begin(), arcs.end(),
                  [](const WorkArc& a, const WorkArc& b) { return a.other < b.other; });
        for (const auto& arc : arcs) {
            data.arcs.push_back(HierarchyArc::to(arc.other, arc.weight));
            data.via.push_back((arc.via & kGraphArc) != 0 ? arc.via : data.position[arc.via]);
        }
    }

    [[nodiscard]] bool is_too_dense() const
    {
        return rest_.size() > kSmallestCore && arcs_ > kDensestCore * rest_.size();
    }

    [[nodiscard]] std::uint32_t priority(std::uint32_t state) const
    {
        return effort_[state] + level_[state] * kLevelScale;
    }

    /// Whether a state of this priority comes before one of its neighbours.
    [[nodiscard]] bool comes_before(std::uint32_t state, std::uint32_t own,
                                    std::uint32_t other) const
    {
        const auto theirs = priority(other);
        return own != theirs
                   ? own < theirs
                   : std::pair{scattered(state), state} < std::pair{scattered(other), other};
    }

    [[nodiscard]] bool comes_first(std::uint32_t state, std::uint32_t own) const
    {
        const auto before = [&](const WorkArc& arc) { return comes_before(state, own, arc.other); };
        return std::all_of(out_[state].begin(), out_[state].end(), before) &&
               std::all_of(in_[state].begin(), in_[state].end(), before);
    }

    /// Costs from `source` up to `most`, without passing `without` or a candidate that may be
    /// contracted before it.
    void search(Bench& bench, std::uint32_t source, std::uint32_t without, TravelWeight most) const
    {
        auto& cost = bench.cost;
        cost[source] = 0;
        bench.touched.push_back(source);
        bench.queue.push(0, source);
        std::size_t settled = 0;
        std::size_t relaxed = 0;
        while (!bench.queue.empty()) {
            const auto [ms, state] = bench.queue.pop();
            const auto key = cost[state];
            if (ms > ms_of(key)) {
                continue;
            }
            relaxed += out_[state].size();
            if (++settled > kMostSettled || relaxed > kMostRelaxed) {
                break;
            }
            for (const auto& arc : out_[state]) {
                const auto sum = key + arc.weight;
                if (sum > most || arc.other == without || sum >= cost[arc.other] ||
                    (candidate_[arc.other] != 0 && arc.other < without)) {
                    continue;
                }
                if (cost[arc.other] == kNoWeight) {
                    bench.touched.push_back(arc.other);
                }
                cost[arc.other] = sum;
                bench.queue.push(ms_of(sum), arc.other);
            }
        }
        bench.queue.clear();
    }

    /// The shortcuts that must replace a state.
    Trial try_one(Bench& bench, std::uint32_t state) const
    {
        Trial trial;
        trial.state = state;
        trial.first = bench.shortcuts.size();
        std::uint64_t hops_gone = 0;
        std::uint64_t hops_new = 0;
        for (const auto& arc : out_[state]) {
            hops_gone += arc.hops;
        }
        for (const auto& in : in_[state]) {
            hops_gone += in.hops;
            TravelWeight most = 0;
            bool leads_on = false;
            for (const auto& out : out_[state]) {
                if (out.other != in.other) {
                    most = std::max(most, in.weight + out.weight);
                    leads_on = true;
                }
            }
            if (!leads_on) {
                continue;
            }
            search(bench, in.other, state, most);
            for (const auto& out : out_[state]) {
                const auto sum = in.weight + out.weight;
                if (out.other != in.other && bench.cost[out.other] > sum) {
                    bench.shortcuts.push_back({in.other, out.other, sum, in.hops + out.hops});
                    hops_new += in.hops + out.hops;
                }
            }
            for (const auto touched : bench.touched) {
                bench.cost[touched] = kNoWeight;
            }
            bench.touched.clear();
        }
        trial.count = bench.shortcuts.size() - trial.first;
        const auto gone = in_[state].size() + out_[state].size();
        if (gone > 0) {
            trial.effort = static_cast<std::uint32_t>(std::min<std::uint64_t>(
                2 * kPriorityScale * trial.count / gone + 2 * kPriorityScale * hops_new / hops_gone,
                0x3fffffff));
        }
        return trial;
    }

    /// Runs job(worker, first, step) so that every index below `count` is visited once.
    template <class Job>
    void share_out(std::size_t count, const Job& job)
    {
        const auto workers = count < kAlone ? 1 : benches_.size();
        options_.workers(workers, [&](std::size_t worker) { job(worker, worker, workers); });
    }

    void estimate_all()
    {
        share_out(states_, [&](std::size_t worker, std::size_t first, std::size_t step) {
            for (auto state = first; state < states_; state += step) {
                auto& bench = benches_[worker];
                effort_[state] = try_one(bench, static_cast<std::uint32_t>(state)).effort;
                bench.shortcuts.clear();
            }
        });
    }

    void choose_candidates()
    {
        std::vector<std::vector<std::uint32_t>> found(benches_.size());
        const auto workers = rest_.size() < 8 * kAlone ? 1 : benches_.size();
        options_.workers(workers, [&](std::size_t worker) {
            const auto end = rest_.size() * (worker + 1) / workers;
            for (auto i = rest_.size() * worker / workers; i < end; ++i) {
                if (comes_first(rest_[i], priority(rest_[i]))) {
                    found[worker].push_back(rest_[i]);
                }
            }
        });
        trials_.clear();
        for (const auto& part : found) {
            for (const auto state : part) {
                trials_.push_back({state, 0, 0, 0, false});
                candidate_[state] = 1;
            }
        }
    }

    void try_candidates()
    {
        for (auto& bench : benches_) {
            bench.shortcuts.clear();
        }
        tried_by_ = trials_.size() < kAlone ? 1 : benches_.size();
        share_out(trials_.size(), [&](std::size_t worker, std::size_t first, std::size_t step) {
            for (auto i = first; i < trials_.size(); i += step) {
                trials_[i] = try_one(benches_[worker], trials_[i].state);
            }
        });
    }

    /// Contracts the candidates that still come first. They are no neighbours of each other, and
    /// their shortcuts are those of contracting them one by one in this order.
    void take_the_best()
    {
        for (auto& trial : trials_) {
            const auto own = trial.effort + level_[trial.state] * kLevelScale;
            trial.taken = comes_first(trial.state, own);
        }
        for (const auto& trial : trials_) {
            effort_[trial.state] = trial.effort;
            candidate_[trial.state] = trial.taken ? 2 : 0;
            if (trial.taken) {
                order_.push_back(trial.state);
                arcs_ -= out_[trial.state].size() + in_[trial.state].size();
            }
        }
        std::vector<std::size_t> more(benches_.size(), 0);
        const auto workers = trials_.size() < kAlone ? 1 : benches_.size();
        options_.workers(workers, [&](std::size_t worker) {
            // Each worker changes the lists of its own states only.
            const auto is_own = [&](std::uint32_t state) {
                return (state / 64) % workers == worker;
            };
            for (std::size_t i = 0; i < trials_.size(); ++i) {
                if (trials_[i].taken) {
                    more[worker] += contract(trials_[i], benches_[i % tried_by_], is_own);
                }
            }
        });
        for (const auto count : more) {
            arcs_ += count;
        }
        std::erase_if(rest_, [&](std::uint32_t state) { return candidate_[state] == 2; });
    }

    template <class IsOwn>
    std::size_t contract(const Trial& trial, const Bench& bench, const IsOwn& is_own)
    {
        const auto state = trial.state;
        const auto level = level_[state] + 1;
        for (const auto& arc : out_[state]) {
            if (is_own(arc.other)) {
                drop(in_[arc.other], state);
                level_[arc.other] = std::max(level_[arc.other], level);
            }
        }
        for (const auto& arc : in_[state]) {
            if (is_own(arc.other)) {
                drop(out_[arc.other], state);
                level_[arc.other] = std::max(level_[arc.other], level);
            }
        }
        std::size_t more = 0;
        for (auto i = trial.first; i < trial.first + trial.count; ++i) {
            const auto& shortcut = bench.shortcuts[i];
            if (is_own(shortcut.from)) {
                more += keep_best(out_[shortcut.from],
                                  {shortcut.weight, shortcut.to, state, shortcut.hops})
                            ? 1
                            : 0;
            }
            if (is_own(shortcut.to)) {
                keep_best(in_[shortcut.to], {shortcut.weight, shortcut.from, state, shortcut.hops});
            }
        }
        return more;
    }

    std::uint32_t states_;
    const ContractOptions& options_;
    std::vector<WorkArcs> out_;
    std::vector<WorkArcs> in_;
    std::vector<std::uint32_t> effort_;
    std::vector<std::uint32_t> level_;  ///< of what was contracted beside it, plus one
    std::vector<std::uint8_t> candidate_;
    std::vector<Bench> benches_;
    std::vector<std::uint32_t> rest_;   ///< not contracted yet, ascending
    std::vector<std::uint32_t> order_;  ///< contracted, in this order
    std::vector<Trial> trials_;
    std::size_t tried_by_ = 1;
    std::size_t arcs_ = 0;  ///< between states of the rest
};

}  // namespace

std::optional<HierarchyData> contract_graph(TravelGraph graph, const ContractOptions& options)
{
    if (!packing_fits(graph)) {
        return std::nullopt;
    }
    Contractor contractor{graph, options};
    if (!contractor.run()) {
        return std::nullopt;
    }
    auto data = contractor.result();
    data.graph_hash = hash_of(graph);
    return data;
}

}  // namespace nestround::roads
