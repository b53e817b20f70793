#include "geocore/roads/turn_rules.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <optional>

#include "geocore/roads/network.hpp"

namespace nestround::roads {
namespace {

/// A stretch driven one way.
struct Step {
    std::uint32_t direction = 0;
    std::int64_t begins = 0;
    std::int64_t ends = 0;
};

class Resolver {
public:
    Resolver(const RawRoads& raw, const std::vector<std::vector<WayStretch>>& stretches,
             std::span<const RoadEdge> edges, std::vector<LeftOut>& left_out)
        : edges_{edges}, left_out_{left_out}
    {
        for (std::size_t i = 0; i < raw.ways.size(); ++i) {
            auto& own = by_way_[raw.ways[i].id];
            own.insert(own.end(), stretches[i].begin(), stretches[i].end());
        }
    }

    std::optional<ResolvedTurn> resolve(const TurnRestriction& turn)
    {
        const auto from = by_way_.find(turn.from_way);
        const auto to = by_way_.find(turn.to_way);
        if (from == by_way_.end() || to == by_way_.end() || from->second.empty() ||
            to->second.empty()) {
            return no(turn, "turn restriction on roads that are not kept, without effect");
        }
        if (turn.via_ways.empty()) {
            return at_node(turn, from->second, to->second);
        }
        return along_ways(turn, from->second, to->second);
    }

private:
    std::optional<ResolvedTurn> no(const TurnRestriction& turn, std::string_view why)
    {
        count_left_out(left_out_, why, fmt::format("relation {}", turn.id));
        return std::nullopt;
    }

    std::vector<Step> open_steps(const std::vector<WayStretch>& way) const
    {
        std::vector<Step> steps;
        for (const auto& s : way) {
            if (edges_[s.edge].forward_ms != kClosed) {
                steps.push_back({s.edge * 2, s.from_vertex, s.to_vertex});
            }
            if (edges_[s.edge].backward_ms != kClosed) {
                steps.push_back({s.edge * 2 + 1, s.to_vertex, s.from_vertex});
            }
        }
        return steps;
    }

    static bool touches(const std::vector<WayStretch>& way, std::int64_t vertex)
    {
        return std::any_of(way.begin(), way.end(), [&](const WayStretch& s) {
            return s.from_vertex == vertex || s.to_vertex == vertex;
        });
    }

    std::vector<Step> arriving(const std::vector<WayStretch>& way, std::int64_t vertex) const
    {
        auto steps = open_steps(way);
        std::erase_if(steps, [&](const Step& s) { return s.ends != vertex; });
        return steps;
    }
    std::vector<Step> leaving(const std::vector<WayStretch>& way, std::int64_t vertex) const
    {
        auto steps = open_steps(way);
        std::erase_if(steps, [&](const Step& s) { return s.begins != vertex; });
        return steps;
    }

    static constexpr std::string_view kAmbiguous =
        "turn restriction NOT applied: its way runs on beyond the junction, so it is not clear "
        "which turn is meant";

    std::optional<ResolvedTurn> at_node(const TurnRestriction& turn,
                                        const std::vector<WayStretch>& from,
                                        const std::vector<WayStretch>& to)
    {
        if (!touches(from, turn.via_node) || !touches(to, turn.via_node)) {
            return no(turn, "turn restriction NOT applied: its ways do not meet at its junction");
        }
        const auto in = arriving(from, turn.via_node);
        auto out = leaving(to, turn.via_node);
        if (in.empty() || out.empty()) {
            return no(turn, "turn restriction without effect: no one may drive that way anyhow");
        }
        if (turn.u_turn && in.size() == 1) {
            std::erase_if(out, [&](const Step& s) {
                return s.direction / 2 != in[0].direction / 2 && turn.from_way == turn.to_way;
            });
        }
        if (in.size() != 1 || out.size() != 1) {
            return no(turn, kAmbiguous);
        }
        return ResolvedTurn{{in[0].direction, out[0].direction}, &turn};
    }

    /// The whole of a way driven from `vertex` to its other end.
    std::optional<std::vector<Step>> whole(std::int64_t way_id, std::int64_t vertex) const
    {
        const auto found = by_way_.find(way_id);
        if (found == by_way_.end() || found->second.empty()) {
            return std::nullopt;
        }
        const auto& way = found->second;
        std::vector<Step> steps;
        const auto add = [&](const WayStretch& s, bool forward) {
            const auto& edge = edges_[s.edge];
            const bool is_open = (forward ? edge.forward_ms : edge.backward_ms) != kClosed;
            const auto begins = forward ? s.from_vertex : s.to_vertex;
            const auto ends = forward ? s.to_vertex : s.from_vertex;
            if (!is_open || begins != (steps.empty() ? vertex : steps.back().ends)) {
                return false;
            }
            steps.push_back({direction_of(s.edge, forward), begins, ends});
            return true;
        };
        if (way.front().from_vertex == vertex &&
            std::all_of(way.begin(), way.end(), [&](const auto& s) { return add(s, true); })) {
            return steps;
        }
        steps.clear();
        if (way.back().to_vertex == vertex &&
            std::all_of(way.rbegin(), way.rend(), [&](const auto& s) { return add(s, false); })) {
            return steps;
        }
        return std::nullopt;
    }

    std::optional<ResolvedTurn> along_ways(const TurnRestriction& turn,
                                           const std::vector<WayStretch>& from,
                                           const std::vector<WayStretch>& to)
    {
        std::vector<ResolvedTurn> found;
        for (const auto& first : open_steps(from)) {
            ResolvedTurn row{{first.direction}, &turn};
            auto at = first.ends;
            bool good = true;
            for (const auto via : turn.via_ways) {
                const auto part = whole(via, at);
                if (!part) {
                    good = false;
                    break;
                }
                for (const auto& step : *part) {
                    row.steps.push_back(step.direction);
                }
                at = part->back().ends;
            }
            if (!good) {
                continue;
            }
            for (const auto& last : leaving(to, at)) {
                found.push_back(row);
                found.back().steps.push_back(last.direction);
            }
        }
        if (found.empty()) {
            return no(turn,
                      "turn restriction NOT applied: its ways make no line that may be driven");
        }
        if (found.size() > 1) {
            return no(turn, kAmbiguous);
        }
        return found.front();
    }

    std::span<const RoadEdge> edges_;
    std::vector<LeftOut>& left_out_;
    std::map<std::int64_t, std::vector<WayStretch>> by_way_;
};

}  // namespace

std::vector<ResolvedTurn> resolve_turns(const RawRoads& raw,
                                        const std::vector<std::vector<WayStretch>>& stretches,
                                        std::span<const RoadEdge> edges,
                                        std::vector<LeftOut>& left_out)
{
    Resolver resolver{raw, stretches, edges, left_out};
    std::vector<ResolvedTurn> turns;
    for (const auto& turn : raw.restrictions) {
        if (auto resolved = resolver.resolve(turn)) {
            turns.push_back(std::move(*resolved));
        }
    }
    return turns;
}

}  // namespace nestround::roads
