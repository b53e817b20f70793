#include "geocore/roads/merge_roads.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <tuple>
#include <unordered_map>
#include <utility>

namespace nestround::roads {
namespace {

using Vertices = std::vector<std::int64_t>;

/// `a`, then what `b` has beyond the end of `a`, if some vertices at the end of `a` begin `b`.
std::optional<Vertices> end_to_start(const Vertices& a, const Vertices& b)
{
    for (auto shared = std::min(a.size(), b.size()); shared > 0; --shared) {
        if (std::equal(a.end() - static_cast<std::ptrdiff_t>(shared), a.end(), b.begin())) {
            Vertices whole{a};
            whole.insert(whole.end(), b.begin() + static_cast<std::ptrdiff_t>(shared), b.end());
            return whole;
        }
    }
    return std::nullopt;
}

enum class Fit { Same, Longer, Apart, Contradict };

/// How a second drawing of a way goes with the first, which becomes the two together.
Fit fit_together(Vertices& first, const Vertices& second)
{
    if (std::search(first.begin(), first.end(), second.begin(), second.end()) != first.end()) {
        return Fit::Same;
    }
    if (std::search(second.begin(), second.end(), first.begin(), first.end()) != second.end()) {
        first = second;
        return Fit::Longer;
    }
    auto whole = end_to_start(first, second);
    if (!whole) {
        whole = end_to_start(second, first);
    }
    if (whole) {
        first = std::move(*whole);
        return Fit::Longer;
    }
    const std::set<std::int64_t> known{first.begin(), first.end()};
    const bool touch = std::any_of(second.begin(), second.end(),
                                   [&](std::int64_t id) { return known.contains(id); });
    return touch ? Fit::Contradict : Fit::Apart;
}

void add_counts(std::vector<LeftOut>& to, const std::vector<LeftOut>& more)
{
    for (const auto& entry : more) {
        const auto found = std::find_if(
            to.begin(), to.end(), [&](const auto& own) { return own.reason == entry.reason; });
        if (found == to.end()) {
            to.push_back(entry);
        } else {
            found->count += entry.count;
        }
    }
}

void add_word(std::string& to, const std::string& word)
{
    if (!word.empty() && to.find(word) == std::string::npos) {
        to.append(to.empty() ? "" : "; ").append(word);
    }
}

class Merger {
public:
    void add(RawRoads part)
    {
        SourceRead source;
        source.name = part.source;
        source.ways_seen = part.ways_seen;
        source.left_out = part.left_out;
        const auto before = out_.ways.size();
        const bool drawn = !part.ways.empty() && part.ways.front().drawn;
        if (drawn) {
            layers_.push_back(std::move(part.nodes));
            layer_of_.resize(before + part.ways.size(), kNoLayer);
            std::fill(layer_of_.begin() + static_cast<std::ptrdiff_t>(before), layer_of_.end(),
                      layers_.size() - 1);
            std::move(part.ways.begin(), part.ways.end(), std::back_inserter(out_.ways));
        } else {
            for (auto& way : part.ways) {
                add_way(std::move(way), source);
            }
            layer_of_.resize(out_.ways.size(), kNoLayer);
            out_.nodes.insert(out_.nodes.end(), part.nodes.begin(), part.nodes.end());
        }
        source.ways_taken = out_.ways.size() - before;
        out_.ways_seen += part.ways_seen;
        for (auto& turn : part.restrictions) {
            const auto key = std::tuple{turn.id, turn.from_way, turn.via_node, turn.to_way};
            if (turn.id == 0 || turns_.insert(key).second) {
                out_.restrictions.push_back(std::move(turn));
            }
        }
        for (auto& members : part.in_part) {
            add_members(std::move(members));
        }
        add_counts(out_.left_out, part.left_out);
        add_word(out_.attribution, part.attribution);
        add_word(out_.source, part.source);
        out_.sources.push_back(std::move(source));
    }

    RawRoads finish()
    {
        settle_turns();
        settle_vertices();
        number_layers();
        std::erase_if(out_.ways, [](const RawWay& way) { return way.nodes.empty(); });
        return std::move(out_);
    }

private:
    static constexpr std::size_t kNoLayer = SIZE_MAX;

    void add_way(RawWay way, SourceRead& source)
    {
        auto& known = parts_of_[way.id];
        if (known.empty()) {
            known.push_back(out_.ways.size());
            out_.ways.push_back(std::move(way));
            return;
        }
        ++source.ways_known;
        const auto example = fmt::format("way {}", way.id);
        std::vector<std::size_t> apart;
        std::optional<std::size_t> home;
        bool longer = false;
        for (const auto index : known) {
            auto& other = out_.ways[index];
            auto& there = home ? out_.ways[*home].nodes : other.nodes;
            const auto fit = fit_together(there, home ? other.nodes : way.nodes);
            if (fit == Fit::Apart) {
                apart.push_back(index);
                continue;
            }
            if (fit == Fit::Contradict) {
                count_left_out(out_.left_out,
                               "way drawn differently in two extracts, the longer drawing taken",
                               example);
                if (!home && way.nodes.size() > other.nodes.size()) {
                    other.nodes = std::move(way.nodes);
                }
            }
            longer = longer || fit == Fit::Longer;
            if (home) {
                other.nodes.clear();  // it has gone into its home
            } else {
                home = index;
            }
        }
        if (!home) {
            apart.push_back(out_.ways.size());
            out_.ways.push_back(std::move(way));
        } else {
            apart.insert(apart.begin(), *home);
        }
        source.ways_joined += longer ? 1 : 0;
        known = std::move(apart);
    }

    void add_members(TurnMembers members)
    {
        const auto add_new = [](std::vector<std::int64_t>& to, std::vector<std::int64_t>& more) {
            for (const auto id : more) {
                if (std::find(to.begin(), to.end(), id) == to.end()) {
                    to.push_back(id);
                }
            }
        };
        const auto [entry, is_new] = in_part_.try_emplace(members.turn.id, members);
        if (is_new) {
            return;
        }
        auto& own = entry->second;
        add_new(own.from, members.from);
        add_new(own.to, members.to);
        add_new(own.turn.via_ways, members.turn.via_ways);
        if (own.turn.via_node == 0) {
            own.turn.via_node = members.turn.via_node;
        }
    }

    /// Restrictions that are whole now, or whole in another file, are no longer told as lacking.
    void settle_turns()
    {
        std::set<std::int64_t> whole;
        for (const auto& turn : out_.restrictions) {
            whole.insert(turn.id);
        }
        std::erase_if(out_.left_out,
                      [](const auto& entry) { return entry.reason == kLacksMember; });
        for (auto& [id, members] : in_part_) {
            if (whole.contains(id)) {
                continue;
            }
            if (is_whole(members)) {
                add_turns(out_.restrictions, members);
            } else {
                count_left_out(out_.left_out, kLacksMember, fmt::format("relation {}", id));
                out_.in_part.push_back(std::move(members));
            }
        }
    }

    void settle_vertices()
    {
        auto& nodes = out_.nodes;
        std::stable_sort(nodes.begin(), nodes.end(),
                         [](const RawNode& a, const RawNode& b) { return a.id < b.id; });
        std::size_t kept = 0;
        for (std::size_t i = 0; i < nodes.size(); ++i) {
            if (kept == 0 || nodes[kept - 1].id != nodes[i].id) {
                nodes[kept++] = nodes[i];
                continue;
            }
            auto& own = nodes[kept - 1];
            own.closed = own.closed || nodes[i].closed;
            own.ends_only = own.ends_only || nodes[i].ends_only;
            if (own.at != nodes[i].at) {
                count_left_out(out_.left_out,
                               "vertex that lies elsewhere in another extract, the first place "
                               "taken",
                               fmt::format("node {}", own.id));
            }
        }
        nodes.resize(kept);
    }

    /// Lines of layers get numbers behind all others, their vertices those of the same place.
    void number_layers()
    {
        if (layers_.empty()) {
            return;
        }
        std::int64_t next_way = 0;
        for (std::size_t i = 0; i < out_.ways.size(); ++i) {
            if (layer_of_[i] == kNoLayer) {
                next_way = std::max(next_way, out_.ways[i].id);
            }
        }
        std::int64_t next = out_.nodes.empty() ? 0 : out_.nodes.back().id;
        std::map<std::pair<RoadPoint, int>, std::int64_t> at_place;
        for (const auto& node : out_.nodes) {
            at_place.try_emplace({node.at, 0}, node.id);
        }
        std::vector<std::unordered_map<std::int64_t, RoadPoint>> place_of(layers_.size());
        for (std::size_t i = 0; i < layers_.size(); ++i) {
            for (const auto& node : layers_[i]) {
                place_of[i].emplace(node.id, node.at);
            }
        }
        for (std::size_t i = 0; i < out_.ways.size(); ++i) {
            if (layer_of_[i] == kNoLayer) {
                continue;
            }
            auto& way = out_.ways[i];
            way.id = ++next_way;
            for (auto& id : way.nodes) {
                const auto at = place_of[layer_of_[i]].at(id);
                const auto [entry, is_new] = at_place.try_emplace({at, way.level}, next + 1);
                if (is_new) {
                    ++next;
                    out_.nodes.push_back({next, at, false});
                }
                id = entry->second;
            }
        }
    }

    RawRoads out_;
    std::unordered_map<std::int64_t, std::vector<std::size_t>> parts_of_;
    std::vector<std::size_t> layer_of_;  ///< of each way
    std::vector<std::vector<RawNode>> layers_;
    std::map<std::int64_t, TurnMembers> in_part_;
    std::set<std::tuple<std::int64_t, std::int64_t, std::int64_t, std::int64_t>> turns_;
};

}  // namespace

RawRoads merge_roads(std::vector<RawRoads> parts)
{
    if (parts.size() == 1) {
        return std::move(parts.front());
    }
    Merger merger;
    for (auto& part : parts) {
        merger.add(std::move(part));
    }
    return merger.finish();
}

}  // namespace nestround::roads
