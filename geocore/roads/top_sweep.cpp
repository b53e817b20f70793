#include "geocore/roads/top_sweep.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>

namespace nestround::roads {
namespace {

/// Arcs of the top for each root of the number of states. It decides speed, never results; measured
/// on 3,000 to a million junctions, where half or twice of it costs a fifth at most.
constexpr double kArcsAtTop = 50;

/// What a compiler may put into one register, or into several.
using Lanes = TravelWeight __attribute__((vector_size(64), may_alias));
constexpr std::size_t kParts = sizeof(InStep) / sizeof(Lanes);

struct Sweep {
    const std::uint32_t* first;
    const HierarchyArc* arcs;
    InStep* cost;
    char* reached;
    std::uint32_t top;
    const std::uint32_t* wanted;
    std::size_t wanted_count;
};

[[gnu::always_inline]] inline void lower(Lanes& to, const Lanes& by) { to = by < to ? by : to; }

/// Climbs from the least important position, then descends.
[[gnu::always_inline]] inline void sweep(const Sweep& s)
{
    for (auto p = s.top; p-- > 0;) {
        if (s.reached[p] == 0) {
            continue;
        }
        const auto* from = reinterpret_cast<const Lanes*>(s.cost + p);
        const Lanes low = from[0];
        const Lanes high = from[1];
        const auto end = s.first[2 * std::size_t{p} + 1];
        for (auto i = s.first[2 * std::size_t{p}]; i < end; ++i) {
            const auto weight = s.arcs[i].weight();
            auto* to = reinterpret_cast<Lanes*>(s.cost + s.arcs[i].head);
            s.reached[s.arcs[i].head] = 1;
            lower(to[0], low + weight);
            lower(to[1], high + weight);
        }
    }
    for (std::size_t n = 0; n < s.wanted_count; ++n) {
        const auto p = s.wanted[n];
        auto* to = reinterpret_cast<Lanes*>(s.cost + p);
        Lanes low = to[0];
        Lanes high = to[1];
        const auto end = s.first[2 * std::size_t{p} + 2];
        for (auto i = s.first[2 * std::size_t{p} + 1]; i < end; ++i) {
            const auto weight = s.arcs[i].weight();
            const auto* from = reinterpret_cast<const Lanes*>(s.cost + s.arcs[i].head);
            lower(low, from[0] + weight);
            lower(high, from[1] + weight);
        }
        to[0] = low;
        to[1] = high;
    }
}

[[gnu::always_inline]] inline void gather(const TopEntry* entry, std::size_t count,
                                          const InStep* cost, InStep& least)
{
    auto* to = reinterpret_cast<Lanes*>(&least);
    Lanes low = to[0];
    Lanes high = to[1];
    for (std::size_t i = 0; i < count; ++i) {
        const auto* from = reinterpret_cast<const Lanes*>(cost + entry[i].position);
        lower(low, from[0] + entry[i].weight);
        lower(high, from[1] + entry[i].weight);
    }
    to[0] = low;
    to[1] = high;
}
static_assert(kParts == 2);

#if defined(__x86_64__)
#define NESTROUND_WIDE 1
[[gnu::target("avx512f")]] void sweep_512(const Sweep& s) { sweep(s); }
[[gnu::target("avx2")]] void sweep_256(const Sweep& s) { sweep(s); }
[[gnu::target("avx512f")]] void gather_512(const TopEntry* e, std::size_t n, const InStep* c,
                                           InStep& least)
{
    gather(e, n, c, least);
}
[[gnu::target("avx2")]] void gather_256(const TopEntry* e, std::size_t n, const InStep* c,
                                        InStep& least)
{
    gather(e, n, c, least);
}
#endif
void sweep_any(const Sweep& s) { sweep(s); }
void gather_any(const TopEntry* e, std::size_t n, const InStep* c, InStep& least)
{
    gather(e, n, c, least);
}

struct Kernels {
    void (*sweep)(const Sweep&) = sweep_any;
    void (*gather)(const TopEntry*, std::size_t, const InStep*, InStep&) = gather_any;
};

/// The same instructions in wider registers, where this machine has them.
const Kernels& kernels()
{
    static const Kernels chosen = [] {
        Kernels k;
#ifdef NESTROUND_WIDE
        if (__builtin_cpu_supports("avx512f")) {
            k = {sweep_512, gather_512};
        } else if (__builtin_cpu_supports("avx2")) {
            k = {sweep_256, gather_256};
        }
#endif
        return k;
    }();
    return chosen;
}

}  // namespace

std::uint32_t top_size(const Hierarchy& hierarchy)
{
    if (hierarchy.core > 0 || hierarchy.state_count() == 0) {
        return 0;
    }
    const auto arcs = static_cast<std::uint32_t>(
        kArcsAtTop * std::sqrt(static_cast<double>(hierarchy.state_count())));
    const auto at = std::upper_bound(hierarchy.first.begin(), hierarchy.first.end(), arcs);
    const auto top = std::min(static_cast<std::uint32_t>((at - hierarchy.first.begin()) / 2),
                              hierarchy.state_count());
    for (std::uint32_t p = 0; p < top; ++p) {
        const auto end = hierarchy.first[2 * std::size_t{p} + 2];
        for (auto i = hierarchy.first[2 * std::size_t{p}]; i < end; ++i) {
            if (hierarchy.arcs[i].head >= p) {
                return 0;
            }
        }
    }
    return top;
}

TopSweep::TopSweep(const Hierarchy& hierarchy, std::uint32_t top, std::span<const TopEntry> ends)
    : hierarchy_{hierarchy}, top_{top}
{
    std::vector<char> is_wanted(top, 0);
    for (const auto& end : ends) {
        is_wanted[end.position] = 1;
    }
    for (auto p = top; p-- > 0;) {
        if (is_wanted[p] != 0) {
            const auto end = hierarchy.first[2 * std::size_t{p} + 2];
            for (auto i = hierarchy.first[2 * std::size_t{p} + 1]; i < end; ++i) {
                is_wanted[hierarchy.arcs[i].head] = 1;
            }
        }
    }
    for (std::uint32_t p = 0; p < top; ++p) {
        if (is_wanted[p] != 0) {
            wanted_.push_back(p);
        }
    }
}

void TopSweep::run(std::span<const std::span<const TopEntry>> sources, Memory& memory) const
{
    InStep none;
    std::fill(std::begin(none.weight), std::end(none.weight), kNoWeight);
    memory.cost.assign(top_, none);
    memory.reached.assign(top_, 0);
    for (std::size_t s = 0; s < sources.size(); ++s) {
        for (const auto& entry : sources[s]) {
            auto& weight = memory.cost[entry.position].weight[s];
            weight = std::min(weight, entry.weight);
            memory.reached[entry.position] = 1;
        }
    }
    kernels().sweep({hierarchy_.first.data(), hierarchy_.arcs.data(), memory.cost.data(),
                     memory.reached.data(), top_, wanted_.data(), wanted_.size()});
}

void TopSweep::least(std::span<const TopEntry> target, const Memory& memory, InStep& least)
{
    kernels().gather(target.data(), target.size(), memory.cost.data(), least);
}

}  // namespace nestround::roads
