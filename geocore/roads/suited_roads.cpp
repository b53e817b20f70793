#include "geocore/roads/suited_roads.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "geocore/roads/osm_tags.hpp"
#include "geocore/roads/strong_parts.hpp"

namespace nestround::roads {
namespace {

constexpr std::uint32_t kNone = 0xffffffff;

/// What holds on stretches with the same limits.
struct Ruling {
    std::array<bool, 2> too_big{};    ///< closed by size, forward and backward
    std::array<bool, 2> shut{};       ///< closed by hour
    std::array<bool, 2> unlocked{};   ///< opened by hour, against a one-way sign
    std::optional<bool> ends_only{};  ///< else as it is
    bool lost = false;                ///< a condition was not understood
};

bool exceeds(const std::optional<double>& own, std::uint32_t limit)
{
    // A hair less, so that a truck of just the height passes.
    return own && limit > 0 && *own * 1000 > limit + 1e-6;
}

/// Reads the conditions of a network for one drive.
class Reading {
public:
    Reading(const RoadNetwork& network, const Drive& drive, SuitedRoads& report)
        : network_{network}, drive_{drive}, report_{report}
    {
    }

    Ruling ruling(const RoadLimits& limits)
    {
        Ruling ruling;
        const auto& truck = drive_.truck;
        const bool too_big =
            exceeds(truck.height_m, limits.height_mm) || exceeds(truck.width_m, limits.width_mm) ||
            exceeds(truck.weight_t, limits.weight_kg) || exceeds(truck.axle_t, limits.axle_kg);
        const std::array heavy{limits.heavy_forward, limits.heavy_backward};
        for (const std::size_t side : {0U, 1U}) {
            ruling.too_big[side] = too_big || (truck.is_heavy() && heavy[side] == kHeavyClosed);
            if (truck.is_heavy() && heavy[side] == kHeavyAtEnds) {
                ruling.ends_only = true;
            }
        }
        if (!drive_.hours || limits.condition == 0) {
            return ruling;
        }
        auto words = network_.text(limits.condition);
        while (!words.empty()) {
            const auto end = std::min(words.find('\n'), words.size());
            read(words.substr(0, end), ruling);
            words.remove_prefix(std::min(end + 1, words.size()));
        }
        return ruling;
    }

    bool binds(const TurnRule& rule)
    {
        if ((rule.spares & (drive_.truck.is_heavy() ? kSparesHeavy : kSparesLight)) != 0) {
            return false;
        }
        if (!drive_.hours || rule.condition == 0) {
            return true;
        }
        for (const auto& one : conditionals(network_.text(rule.condition))) {
            const auto held = holds(one.condition, *drive_.hours, drive_.truck);
            if (held == Holds::NotUnderstood) {
                lost(rule.condition);
            }
            if (held != Holds::Never) {
                return true;
            }
        }
        return false;
    }

    void lost(std::uint32_t condition)
    {
        ++report_.not_understood;
        if (report_.example.empty()) {
            report_.example = network_.text(condition);
        }
    }

private:
    void read(std::string_view line, Ruling& ruling)
    {
        const bool direction = line.starts_with(kOnewayByHour);
        if (direction) {
            line.remove_prefix(kOnewayByHour.size());
        }
        for (const auto& one : conditionals(line)) {
            const auto held = holds(one.condition, *drive_.hours, drive_.truck);
            if (held == Holds::NotUnderstood) {
                ruling.lost = true;
            } else if (held != Holds::Never) {
                const bool throughout = held == Holds::Throughout;
                direction ? turn(one.value, throughout, ruling)
                          : open(one.value, throughout, ruling);
            }
        }
    }

    static void open(std::string_view value, bool throughout, Ruling& ruling)
    {
        switch (opening_of(value)) {
            case Opening::Closed:
                ruling.shut = {true, true};
                break;
            case Opening::EndsOnly:
            case Opening::ByLeave:
                if (throughout) {
                    ruling.shut = {false, false};
                }
                ruling.ends_only = true;
                break;
            case Opening::Open:
                if (throughout) {
                    ruling.shut = {false, false};
                    ruling.ends_only = false;
                }
                break;
            case Opening::Untold:
                ruling.lost = true;
                break;
        }
    }

    static void turn(std::string_view value, bool throughout, Ruling& ruling)
    {
        if (value == "yes" || value == "1" || value == "true") {
            ruling.shut[1] = true;
        } else if (value == "-1" || value == "reverse") {
            ruling.shut[0] = true;
            ruling.unlocked[1] = throughout;
        } else if (value == "no" || value == "0" || value == "false") {
            ruling.unlocked = {throughout, throughout};
        } else {
            ruling.lost = true;
        }
    }

    const RoadNetwork& network_;
    const Drive& drive_;
    SuitedRoads& report_;
};

/// The edges of a drive, in the order of the network.
class Suiting {
public:
    Suiting(const RoadNetwork& network, const Drive& drive)
        : network_{network}, drive_{drive}, reading_{network, drive, report_}
    {
    }

    /// False when nothing is to be changed.
    bool look()
    {
        bool changed = drive_.turns.any() || drive_.slowed_by.has_value();
        const auto& view = network_.view();
        std::vector<Ruling> rulings;
        for (const auto& row : view.limits) {
            rulings.push_back(reading_.ruling(row));
        }
        edges_.assign(view.edges.begin(), view.edges.end());
        for (std::uint32_t i = 0; i < edges_.size() && !rulings.empty(); ++i) {
            changed = apply(rulings[edges_[i].limits], i) || changed;
        }
        for (const auto& rule : view.turn_rules) {
            const bool binds = reading_.binds(rule);
            binds_.push_back(binds);
            changed = changed || binds != binds_light_truck(rule);
            report_.turns_spared += binds ? 0 : 1;
        }
        if (drive_.slowed_by) {
            slow();
        }
        return changed;
    }

    Result<std::shared_ptr<const RoadNetwork>> make()
    {
        auto data = network_.data();
        const auto parts = strong_parts(static_cast<std::uint32_t>(data.nodes.size()), edges_);
        if (!number_nodes(parts)) {
            return fail(ErrorCode::Infeasible,
                        "no road is left that this truck can drive there and back; look at the "
                        "truck's size and at the hour",
                        data.source);
        }
        NetworkData kept;
        kept.attribution = std::move(data.attribution);
        kept.source = std::move(data.source);
        kept.report = std::move(data.report);
        kept.first_letter = std::move(data.first_letter);
        kept.letters = std::move(data.letters);
        kept.limits = std::move(data.limits);
        kept.first_cut_off = std::move(data.first_cut_off);
        kept.cut_off = std::move(data.cut_off);
        for (std::size_t i = 0; i < data.nodes.size(); ++i) {
            if (node_[i] != kNone) {
                kept.nodes.push_back(data.nodes[i]);
            }
        }
        keep_edges(data, kept);
        keep_rules(data, kept);
        kept.graph = turn_graph(kept, drive_.turns, [](const TurnRule&) { return true; });
        auto made = RoadNetwork::make(std::move(kept));
        if (!made) {
            return tl::unexpected{made.error()};
        }
        return std::make_shared<const RoadNetwork>(std::move(*made));
    }

    SuitedRoads& report() { return report_; }

private:
    /// True when the edge is another one now.
    bool apply(const Ruling& ruling, std::uint32_t i)
    {
        auto& edge = edges_[i];
        const auto before = edge;
        if (ruling.lost) {
            reading_.lost(network_.view().limits[edge.limits].condition);
        }
        const std::array ways{&edge.forward_ms, &edge.backward_ms};
        for (const std::size_t side : {0U, 1U}) {
            const auto other = side == 0 ? before.backward_ms : before.forward_ms;
            if (*ways[side] == kClosed && ruling.unlocked[side] && other != kClosed) {
                *ways[side] = other;
            }
        }
        const bool opened = edge != before;
        bool big = false;
        bool shut = false;
        for (const std::size_t side : {0U, 1U}) {
            if (*ways[side] != kClosed && (ruling.too_big[side] || ruling.shut[side])) {
                *ways[side] = kClosed;
                big = big || ruling.too_big[side];
                shut = shut || (ruling.shut[side] && !ruling.too_big[side]);
            }
        }
        if (ruling.ends_only && is_open(edge)) {
            const auto flags = static_cast<unsigned>(edge.flags) & ~unsigned{kFlagEndsOnly};
            edge.flags = static_cast<std::uint8_t>(flags | (*ruling.ends_only ? kFlagEndsOnly : 0));
        }
        report_.closed_by_size += big ? 1 : 0;
        report_.closed_by_hour += shut ? 1 : 0;
        report_.opened_by_hour += opened ? 1 : 0;
        if (big || shut) {
            report_.closed.push_back(i);
        }
        return edge != before;
    }

    void slow()
    {
        for (auto& edge : edges_) {
            const auto factor = (*drive_.slowed_by)[static_cast<std::size_t>(edge.road_class)];
            for (auto* ms : {&edge.forward_ms, &edge.backward_ms}) {
                if (*ms != kClosed) {
                    *ms = static_cast<std::uint32_t>(
                        std::clamp(std::round(*ms * factor), 1.0, double{kLongestEdge}));
                }
            }
        }
    }

    [[nodiscard]] static bool is_open(const RoadEdge& edge)
    {
        return edge.forward_ms != kClosed || edge.backward_ms != kClosed;
    }

    bool number_nodes(const StrongParts& parts)
    {
        node_.assign(parts.of_node.size(), kNone);
        std::uint32_t next = 0;
        for (std::size_t i = 0; i < node_.size(); ++i) {
            if (parts.of_node[i] == parts.largest) {
                node_[i] = next++;
            }
        }
        edge_.assign(edges_.size(), kNone);
        next = 0;
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            const auto& edge = edges_[i];
            const bool inside = node_[edge.from] != kNone && node_[edge.to] != kNone;
            if (is_open(edge) && inside) {
                edge_[i] = next++;
            }
            report_.cut_off += is_open(edge) && !inside ? 1 : 0;
        }
        return next > 0;
    }

    void keep_edges(const NetworkData& data, NetworkData& kept)
    {
        if (kept.first_cut_off.empty()) {
            kept.first_cut_off.push_back(0);
        }
        kept.first_point.push_back(0);
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            const bool is_kept = edge_[i] != kNone;
            auto& points = is_kept ? kept.points : kept.cut_off;
            points.insert(points.end(), data.points.begin() + data.first_point[i],
                          data.points.begin() + data.first_point[i + 1]);
            if (is_kept) {
                auto edge = edges_[i];
                edge.from = node_[edge.from];
                edge.to = node_[edge.to];
                kept.edges.push_back(edge);
                kept.first_point.push_back(static_cast<std::uint32_t>(points.size()));
            } else {
                kept.first_cut_off.push_back(static_cast<std::uint32_t>(points.size()));
            }
        }
    }

    /// The direction in the new network, or kNone.
    [[nodiscard]] std::uint32_t moved(std::uint32_t direction) const
    {
        const auto& edge = edges_[direction / 2];
        const bool open = (direction % 2 == 0 ? edge.forward_ms : edge.backward_ms) != kClosed;
        return open && edge_[direction / 2] != kNone ? edge_[direction / 2] * 2 + direction % 2
                                                     : kNone;
    }

    void keep_rules(const NetworkData& data, NetworkData& kept) const
    {
        const auto add = [&](std::vector<std::uint32_t> steps, std::uint8_t only) {
            TurnRule rule;
            rule.first_step = static_cast<std::uint32_t>(kept.turn_steps.size());
            rule.steps = static_cast<std::uint32_t>(steps.size());
            rule.only = only;
            kept.turn_rules.push_back(rule);
            kept.turn_steps.insert(kept.turn_steps.end(), steps.begin(), steps.end());
        };
        for (std::size_t r = 0; r < data.turn_rules.size(); ++r) {
            const auto& rule = data.turn_rules[r];
            std::vector<std::uint32_t> steps;
            for (std::uint32_t s = 0; s < rule.steps; ++s) {
                steps.push_back(moved(data.turn_steps[rule.first_step + s]));
            }
            const auto last = steps.back();
            steps.pop_back();
            if (!binds_[r] || std::find(steps.begin(), steps.end(), kNone) != steps.end()) {
                continue;
            }
            if (last != kNone) {
                steps.push_back(last);
                add(std::move(steps), rule.only);
            } else if (rule.only != 0) {
                forbid_all(kept, steps, add);
            }
        }
    }

    /// The only turn allowed is closed: then none is left.
    template <class Add>
    static void forbid_all(const NetworkData& kept, const std::vector<std::uint32_t>& steps,
                           const Add& add)
    {
        const auto& before = kept.edges[steps.back() / 2];
        const auto at = steps.back() % 2 == 0 ? before.to : before.from;
        for (std::uint32_t i = 0; i < kept.edges.size(); ++i) {
            const auto& edge = kept.edges[i];
            for (const std::uint32_t side : {0U, 1U}) {
                if ((side == 0 ? edge.from : edge.to) == at &&
                    (side == 0 ? edge.forward_ms : edge.backward_ms) != kClosed) {
                    auto all = steps;
                    all.push_back(i * 2 + side);
                    add(std::move(all), 0);
                }
            }
        }
    }

    const RoadNetwork& network_;
    const Drive& drive_;
    SuitedRoads report_;
    Reading reading_;
    std::vector<RoadEdge> edges_;
    std::vector<bool> binds_;
    std::vector<std::uint32_t> node_;  ///< new number, or kNone
    std::vector<std::uint32_t> edge_;
};

}  // namespace

std::vector<std::string> SuitedRoads::words() const
{
    std::vector<std::string> words;
    const auto say = [&](std::size_t count, const char* one, const char* many) {
        if (count > 0) {
            words.push_back(fmt::format("{} {}", count, count == 1 ? one : many));
        }
    };
    say(closed_by_size, "stretch of road closed to a truck of this size",
        "stretches of road closed to a truck of this size");
    say(closed_by_hour, "stretch of road closed at these hours",
        "stretches of road closed at these hours");
    say(opened_by_hour, "one-way stretch open both ways at these hours",
        "one-way stretches open both ways at these hours");
    say(cut_off, "more stretch is cut off by that", "more stretches are cut off by that");
    if (not_understood > 0) {
        words.push_back(
            fmt::format("{} condition{} by hour not understood (such as '{}'): turns stay "
                        "forbidden, roads open",
                        not_understood, not_understood == 1 ? "" : "s", example));
    }
    return words;
}

Result<SuitedRoads> suited_roads(std::shared_ptr<const RoadNetwork> network, const Drive& drive)
{
    Suiting suiting{*network, drive};
    if (suiting.look()) {
        auto made = suiting.make();
        if (!made) {
            return tl::unexpected{made.error()};
        }
        network = std::move(*made);
    }
    suiting.report().network = std::move(network);
    return std::move(suiting.report());
}

}  // namespace nestround::roads
