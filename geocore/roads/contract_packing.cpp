#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/small_heap.hpp"

#include <algorithm>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/strong_components.hpp>
#include <numeric>
#include <utility>
#include <vector>

namespace nestround::roads {
namespace {

constexpr std::uint64_t kUnset = ~std::uint64_t{0};
constexpr std::uint64_t kTooLong = kNoWeight >> kLengthBits;

/// By state, the part in which all can reach all.
std::vector<std::uint32_t> strong_parts(TravelGraph graph)
{
    using Graph =
        boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, boost::no_property,
                                           boost::no_property, std::uint32_t, std::uint32_t>;
    std::vector<std::pair<std::uint32_t, std::uint32_t>> ends;
    ends.reserve(graph.arcs().size());
    for (std::uint32_t state = 0; state < graph.state_count(); ++state) {
        for (const auto& arc : graph.arcs(state)) {
            ends.emplace_back(state, arc.head);
        }
    }
    const Graph csr{boost::edges_are_sorted, ends.begin(), ends.end(), graph.state_count()};
    std::vector<std::uint32_t> part(graph.state_count());
    boost::strong_components(
        csr, boost::make_iterator_property_map(part.begin(), get(boost::vertex_index, csr)));
    return part;
}

/// By part, the longest quickest time from one state of it to all others, or to it from all
/// others, by arcs within the part; empty when one is too long.
std::vector<std::uint64_t> longest_times(TravelGraph graph, const std::vector<std::uint32_t>& part,
                                         bool forward)
{
    const auto states = graph.state_count();
    std::vector<std::uint32_t> first(states + std::size_t{1}, 0);
    const auto each = [&](const auto& action) {
        for (std::uint32_t state = 0; state < states; ++state) {
            for (const auto& arc : graph.arcs(state)) {
                if (part[state] == part[arc.head]) {
                    action(forward ? state : arc.head, forward ? arc.head : state, arc.ms);
                }
            }
        }
    };
    each([&](std::uint32_t tail, std::uint32_t, std::uint32_t) { ++first[tail + 1]; });
    for (std::uint32_t state = 0; state < states; ++state) {
        first[state + 1] += first[state];
    }
    std::vector<std::pair<std::uint32_t, std::uint32_t>> arcs(first.back());
    auto next = first;
    each([&](std::uint32_t tail, std::uint32_t head, std::uint32_t ms) {
        arcs[next[tail]++] = {head, ms};
    });
    std::vector<std::uint64_t> time(states, kUnset);
    std::vector<std::uint64_t> longest(states, kUnset);  // by part
    SmallHeap queue;
    for (std::uint32_t state = 0; state < states; ++state) {
        if (longest[part[state]] == kUnset) {
            longest[part[state]] = 0;
            time[state] = 0;
            queue.push(0, state);
        }
    }
    while (!queue.empty()) {
        const auto [key, state] = queue.pop();
        if (key > time[state]) {
            continue;
        }
        longest[part[state]] = key;
        for (auto i = first[state]; i < first[state + 1]; ++i) {
            const auto [head, ms] = arcs[i];
            if (key + ms >= kTooLong) {
                return {};
            }
            if (key + ms < time[head]) {
                time[head] = key + ms;
                queue.push(key + ms, head);
            }
        }
    }
    return longest;
}

/// No quickest way takes longer: within a part it is no longer than through the part's own state,
/// and it goes from part to part without coming back.
std::uint64_t longest_way(TravelGraph graph)
{
    const auto part = strong_parts(graph);
    const auto there = longest_times(graph, part, true);
    const auto back = longest_times(graph, part, false);
    if (there.empty() || back.empty()) {
        return kTooLong;
    }
    // Parts are numbered from the last ones on: what a part leads to has a lesser number.
    std::vector<std::uint32_t> order(graph.state_count());
    std::iota(order.begin(), order.end(), std::uint32_t{0});
    std::sort(order.begin(), order.end(), [&](std::uint32_t x, std::uint32_t y) {
        return std::pair{part[x], x} < std::pair{part[y], y};
    });
    std::vector<std::uint64_t> onward(graph.state_count(), 0);  // by part, after leaving it
    std::uint64_t longest = 0;
    for (const auto state : order) {
        for (const auto& arc : graph.arcs(state)) {
            const auto next = part[arc.head];
            if (next > part[state]) {
                return kTooLong;  // not so numbered
            }
            if (next != part[state]) {
                onward[part[state]] =
                    std::max(onward[part[state]], arc.ms + there[next] + back[next] + onward[next]);
            }
        }
        longest = std::max(longest, there[part[state]] + back[part[state]] + onward[part[state]]);
    }
    return longest;
}

}  // namespace

bool packing_fits(TravelGraph graph)
{
    constexpr std::uint64_t kMostMs = kNoWeight >> kLengthBits;
    constexpr std::uint64_t kMostMm = std::uint64_t{1} << kLengthBits;
    std::uint64_t sum_ms = 0;
    std::uint64_t sum_mm = 0;
    std::uint64_t longest_ms = 0;
    std::uint64_t longest_mm = 0;
    std::uint64_t mm_per_ms = 0;  // rounded up
    for (const auto& arc : graph.arcs()) {
        sum_ms += arc.ms;
        sum_mm += arc.mm;
        longest_ms = std::max<std::uint64_t>(longest_ms, arc.ms);
        longest_mm = std::max<std::uint64_t>(longest_mm, arc.mm);
        if (arc.ms > 0) {
            mm_per_ms = std::max<std::uint64_t>(mm_per_ms, arc.mm / arc.ms + 1);
        } else if (arc.mm > 0) {
            return false;  // what takes no time has no length
        }
    }
    // A way passes each arc once at most; two cut edges come on top.
    auto most_ms = sum_ms;
    if (sum_ms + 2 * longest_ms >= kMostMs || sum_mm + 2 * longest_mm >= kMostMm) {
        most_ms = std::min(sum_ms, longest_way(graph));
    }
    const auto most_mm = std::min(sum_mm, most_ms * mm_per_ms);
    return most_ms + 2 * longest_ms < kMostMs && most_mm + 2 * longest_mm < kMostMm;
}

}  // namespace nestround::roads
