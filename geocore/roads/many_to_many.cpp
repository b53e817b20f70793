#include "geocore/roads/many_to_many.hpp"

#include <algorithm>
#include <mutex>
#include <numeric>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/roads/hierarchy_search.hpp"
#include "geocore/roads/top_sweep.hpp"

namespace nestround::roads {
namespace {

[[noreturn]] void damaged()
{
    throw Failure{ErrorCode::InvalidInput,
                  "the hierarchy of the road file is damaged: a shortcut leads nowhere; build it "
                  "again with: nestround roads build"};
}

constexpr std::size_t kAlone = 32;  ///< fewer places are not worth a second worker

/// A target as seen from a state.
struct Seen {
    std::uint32_t target = 0;
    std::uint32_t low = 0;
    std::uint32_t high = 0;

    [[nodiscard]] TravelWeight weight() const { return TravelWeight{high} << 32U | low; }
};

struct Deposit {
    std::uint32_t position = 0;
    Seen seen;
};

constexpr std::uint32_t kEmpty = 0xffffffff;

/// The targets that can be reached descending from each state, one list a state.
class Buckets {
public:
    /// `slots` is as long as there are states and all kEmpty; it is so again in the end.
    Buckets(std::vector<std::uint32_t>& slots, std::span<const std::vector<Deposit>> deposits)
        : slots_{slots}
    {
        for (const auto& part : deposits) {
            for (const auto& deposit : part) {
                auto& slot = slots_[deposit.position];
                if (slot == kEmpty) {
                    slot = static_cast<std::uint32_t>(used_.size());
                    used_.push_back(deposit.position);
                    first_.push_back(0);
                }
                ++first_[slot];
            }
        }
        std::uint32_t sum = 0;
        for (auto& first : first_) {
            sum += std::exchange(first, sum);
        }
        first_.push_back(sum);
        seen_.resize(sum);
        auto next = first_;
        for (const auto& part : deposits) {
            for (const auto& deposit : part) {
                seen_[next[slots_[deposit.position]]++] = deposit.seen;
            }
        }
    }
    ~Buckets()
    {
        for (const auto position : used_) {
            slots_[position] = kEmpty;
        }
    }
    Buckets(const Buckets&) = delete;
    Buckets& operator=(const Buckets&) = delete;

    [[nodiscard]] std::span<const Seen> at(std::uint32_t position) const
    {
        const auto slot = slots_[position];
        if (slot == kEmpty) {
            return {};
        }
        return std::span{seen_}.subspan(first_[slot], first_[slot + 1] - first_[slot]);
    }

private:
    std::vector<std::uint32_t>& slots_;
    std::vector<std::uint32_t> used_;
    std::vector<std::uint32_t> first_;
    std::vector<Seen> seen_;
};

/// Where places enter the top, those of one place after the other.
class Entries {
public:
    void add(std::uint32_t position, TravelWeight weight) { all_.push_back({position, weight}); }
    void end_place() { first_.push_back(all_.size()); }
    void append(const Entries& other)
    {
        for (std::size_t i = 1; i < other.first_.size(); ++i) {
            first_.push_back(all_.size() + other.first_[i]);
        }
        all_.insert(all_.end(), other.all_.begin(), other.all_.end());
    }
    [[nodiscard]] std::span<const TopEntry> all() const { return all_; }
    [[nodiscard]] std::span<const TopEntry> of(std::size_t place) const
    {
        return std::span{all_}.subspan(first_[place], first_[place + 1] - first_[place]);
    }
    [[nodiscard]] std::vector<std::span<const TopEntry>> places() const
    {
        std::vector<std::span<const TopEntry>> places;
        for (std::size_t i = 0; i + 1 < first_.size(); ++i) {
            places.push_back(of(i));
        }
        return places;
    }

private:
    std::vector<TopEntry> all_;
    std::vector<std::size_t> first_{0};
};

/// States are numbered along a curve on the ground: sources in step then share their way up.
std::vector<std::size_t> neighbours_together(std::span<const StopLinks> places)
{
    std::vector<std::size_t> order(places.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto key = [&](std::size_t i) {
        return std::pair{places[i].count > 0 ? places[i].link[0].state : kNoState, i};
    };
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return key(a) < key(b); });
    return order;
}

/// `rows` of the table, as far as their ways lead over the top.
void lower_rows(std::vector<TravelWeight>& table, std::size_t columns,
                std::span<const std::size_t> rows, const Entries& ends,
                const TopSweep::Memory& memory)
{
    for (std::size_t t = 0; t < columns; ++t) {
        InStep least;
        std::fill(std::begin(least.weight), std::end(least.weight), kNoWeight);
        TopSweep::least(ends.of(t), memory, least);
        for (std::size_t i = 0; i < rows.size(); ++i) {
            auto& weight = table[rows[i] * columns + t];
            weight = std::min(weight, least.weight[i]);
        }
    }
}

}  // namespace

struct ManyToMany::Memory {
    std::mutex guard;
    std::vector<std::unique_ptr<HierarchySearch>> searches;
    std::vector<std::unique_ptr<std::vector<std::uint32_t>>> slots;

    /// One of a kind that lies about, or a new one.
    template <class T, class... Made>
    std::unique_ptr<T> take(std::vector<std::unique_ptr<T>>& from, const Made&... made)
    {
        {
            const std::lock_guard lock{guard};
            if (!from.empty()) {
                auto one = std::move(from.back());
                from.pop_back();
                return one;
            }
        }
        return std::make_unique<T>(made...);
    }
    template <class T>
    void give_back(std::vector<std::unique_ptr<T>>& to, std::unique_ptr<T> one)
    {
        const std::lock_guard lock{guard};
        to.push_back(std::move(one));
    }
};

ManyToMany::ManyToMany(const Hierarchy& hierarchy)
    : hierarchy_{hierarchy}, top_{top_size(hierarchy)}, memory_{std::make_unique<Memory>()}
{
}

ManyToMany::~ManyToMany() = default;

std::vector<TravelWeight> ManyToMany::table(std::span<const StopLinks> sources,
                                            std::span<const StopLinks> targets,
                                            const Workers& workers) const
{
    const auto columns = targets.size();
    std::vector<TravelWeight> table(sources.size() * columns, kNoWeight);
    const auto share =
        std::max(sources.size(), columns) < kAlone ? 1 : std::max<std::size_t>(1, workers.count);
    std::vector<std::unique_ptr<HierarchySearch>> searches;
    for (std::size_t i = 0; i < share; ++i) {
        searches.push_back(memory_->take(memory_->searches, hierarchy_));
    }
    const auto top = sources.size() < kInStep ? 0 : top_;
    std::vector<std::vector<Deposit>> deposits(share);
    std::vector<Entries> ends(share);
    workers(share, [&](std::size_t worker) {
        const auto end = columns * (worker + 1) / share;
        auto& own = deposits[worker];
        auto& entries = ends[worker];
        for (auto t = columns * worker / share; t < end; ++t) {
            searches[worker]->run(
                targets[t], false, top,
                [&](std::uint32_t position, TravelWeight w) {
                    own.push_back({position,
                                   {static_cast<std::uint32_t>(t), static_cast<std::uint32_t>(w),
                                    static_cast<std::uint32_t>(w >> 32U)}});
                },
                [&](std::uint32_t position, TravelWeight w) { entries.add(position, w); });
            entries.end_place();
        }
    });
    Entries all_ends;
    for (const auto& part : ends) {
        all_ends.append(part);
    }
    const TopSweep sweep{hierarchy_, top, all_ends.all()};
    auto slots = memory_->take(memory_->slots, hierarchy_.state_count(), kEmpty);
    {
        const Buckets buckets{*slots, deposits};
        const auto order = neighbours_together(sources);
        workers(share, [&](std::size_t worker) {
            const auto end = sources.size() * (worker + 1) / share;
            TopSweep::Memory memory;
            for (auto begin = sources.size() * worker / share; begin < end; begin += kInStep) {
                const auto step = std::span{order}.subspan(begin, std::min(kInStep, end - begin));
                Entries entries;
                for (const auto s : step) {
                    auto* row = table.data() + s * columns;
                    searches[worker]->run(
                        sources[s], true, top,
                        [&](std::uint32_t position, TravelWeight w) {
                            for (const auto& seen : buckets.at(position)) {
                                row[seen.target] = std::min(row[seen.target], w + seen.weight());
                            }
                        },
                        [&](std::uint32_t position, TravelWeight w) { entries.add(position, w); });
                    entries.end_place();
                }
                if (top > 0) {
                    sweep.run(entries.places(), memory);
                    lower_rows(table, columns, step, all_ends, memory);
                }
            }
        });
    }
    memory_->give_back(memory_->slots, std::move(slots));
    for (auto& search : searches) {
        memory_->give_back(memory_->searches, std::move(search));
    }
    return table;
}

HierarchyQuery::HierarchyQuery(const Hierarchy& hierarchy)
    : hierarchy_{hierarchy},
      weights_(hierarchy.state_count(), Weights{kNoWeight, kNoWeight}),
      steps_(hierarchy.state_count())
{
}

void HierarchyQuery::reach(std::size_t side, std::uint32_t position, TravelWeight weight, Step step)
{
    auto& weights = weights_[position];
    if (weight >= weights[side]) {
        return;
    }
    if (weights[0] == kNoWeight && weights[1] == kNoWeight) {
        touched_.push_back(position);
    }
    weights[side] = weight;
    steps_[position][side] = step;
    queue_[side].push(ms_of(weight), position);
    fetch_offsets(hierarchy_, position);
}

bool HierarchyQuery::is_stalled(std::size_t side, std::uint32_t position, TravelWeight key) const
{
    const auto list = 2 * std::size_t{position} + (side == 0 ? 1 : 0);
    for (auto i = hierarchy_.first[list]; i < hierarchy_.first[list + 1]; ++i) {
        const auto& arc = hierarchy_.arcs[i];
        if (weights_[arc.head][side] + arc.weight() < key) {
            return true;
        }
    }
    return false;
}

std::uint32_t HierarchyQuery::meet(const StopLinks& from, const StopLinks& to, TravelWeight& best)
{
    for (const auto& link : from) {
        reach(0, hierarchy_.position[link.state], pack(link.cost.ms, link.cost.mm), {});
    }
    for (const auto& link : to) {
        reach(1, hierarchy_.position[link.state], pack(link.cost.ms, link.cost.mm), {});
    }
    best = kNoWeight;
    auto middle = kNoState;
    for (;;) {
        const auto next_ms = [&](std::size_t side) {
            return queue_[side].empty() ? ms_of(kNoWeight) : queue_[side].top_ms();
        };
        const std::size_t side = next_ms(0) <= next_ms(1) ? 0 : 1;
        // A way as quick as the best one may still be shorter.
        if (queue_[side].empty() || next_ms(side) > ms_of(best)) {
            return middle;
        }
        const auto [ms, position] = queue_[side].pop();
        if (!queue_[side].empty()) {
            fetch_arcs(hierarchy_, queue_[side].top_state());
        }
        const auto [there, back] = weights_[position];
        const auto key = side == 0 ? there : back;
        if (ms > ms_of(key)) {
            continue;
        }
        if (there + back < best) {
            best = there + back;
            middle = position;
        }
        if (is_stalled(side, position, key)) {
            continue;
        }
        const auto list = 2 * std::size_t{position} + side;
        for (auto i = hierarchy_.first[list]; i < hierarchy_.first[list + 1]; ++i) {
            const auto& arc = hierarchy_.arcs[i];
            // What is as long as the best way already leads to no better one.
            if (const auto weight = key + arc.weight(); weight < best) {
                reach(side, arc.head, weight, {position, i});
            }
        }
    }
}

void HierarchyQuery::clear()
{
    for (const auto position : touched_) {
        weights_[position] = {kNoWeight, kNoWeight};
    }
    touched_.clear();
    queue_[0].clear();
    queue_[1].clear();
}

TravelWeight HierarchyQuery::cost(const StopLinks& from, const StopLinks& to)
{
    TravelWeight best = kNoWeight;
    (void)meet(from, to, best);
    clear();
    return best;
}

void HierarchyQuery::unpack(std::uint32_t from, std::uint32_t to, std::uint32_t arc,
                            std::vector<std::uint32_t>& arcs) const
{
    struct Piece {
        std::uint32_t from;
        std::uint32_t to;
        std::uint32_t arc;
    };
    std::vector<Piece> left{{from, to, arc}};
    const auto find = [&](std::size_t list, std::uint32_t head) {
        const auto end = hierarchy_.first[list + 1];
        auto i = hierarchy_.first[list];
        while (i < end && hierarchy_.arcs[i].head != head) {
            ++i;
        }
        if (i == end) {
            damaged();
        }
        return i;
    };
    while (!left.empty()) {
        const auto piece = left.back();
        left.pop_back();
        const auto via = hierarchy_.via[piece.arc];
        if ((via & kGraphArc) != 0) {
            arcs.push_back(via & ~kGraphArc);
            continue;
        }
        if (via <= piece.from || via <= piece.to || arcs.size() > hierarchy_.arcs.size()) {
            damaged();  // no end of it
        }
        left.push_back({via, piece.to, find(2 * std::size_t{via}, piece.to)});
        left.push_back({piece.from, via, find(2 * std::size_t{via} + 1, piece.from)});
    }
}

std::optional<HierarchyWay> HierarchyQuery::way(const StopLinks& from, const StopLinks& to)
{
    HierarchyWay way;
    const auto middle = meet(from, to, way.weight);
    if (middle == kNoState) {
        clear();
        return std::nullopt;
    }
    struct Climb {
        std::uint32_t from;
        std::uint32_t to;
        std::uint32_t arc;
    };
    std::vector<Climb> up;
    auto position = middle;
    for (; steps_[position][0].from != kNoState; position = steps_[position][0].from) {
        up.push_back({steps_[position][0].from, position, steps_[position][0].arc});
    }
    const auto link_at = [&](const StopLinks& links, std::uint32_t at, TravelWeight weight) {
        return std::find_if(links.begin(), links.end(), [&](const StopLink& link) {
            return hierarchy_.position[link.state] == at &&
                   pack(link.cost.ms, link.cost.mm) == weight;
        });
    };
    way.first = link_at(from, position, weights_[position][0]);
    for (auto climb = up.rbegin(); climb != up.rend(); ++climb) {
        unpack(climb->from, climb->to, climb->arc, way.arcs);
    }
    position = middle;
    for (; steps_[position][1].from != kNoState; position = steps_[position][1].from) {
        unpack(position, steps_[position][1].from, steps_[position][1].arc, way.arcs);
    }
    way.last = link_at(to, position, weights_[position][1]);
    clear();
    return way;
}

}  // namespace nestround::roads
