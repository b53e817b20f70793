#include "geocore/roads/build_network.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <map>
#include <numeric>
#include <string_view>
#include <tuple>
#include <utility>

#include "geocore/roads/road_pieces.hpp"
#include "geocore/roads/strong_parts.hpp"

namespace nestround::roads {
namespace {

constexpr std::uint32_t kNone = 0xffffffff;

/// Distance along Hilbert's curve of a 65,536 by 65,536 grid laid over the box.
std::uint64_t along_curve(std::uint32_t x, std::uint32_t y)
{
    std::uint64_t distance = 0;
    for (std::uint32_t side = 1U << 15U; side > 0; side >>= 1U) {
        const std::uint32_t right = (x & side) != 0 ? 1 : 0;
        const std::uint32_t upper = (y & side) != 0 ? 1 : 0;
        distance += static_cast<std::uint64_t>(side) * side * ((3 * right) ^ upper);
        if (upper == 0) {
            if (right == 1) {
                x = 0xffff - x;
                y = 0xffff - y;
            }
            std::swap(x, y);
        }
    }
    return distance;
}

/// New numbers for the kept nodes, neighbours on the ground close in memory; kNone for the rest.
std::vector<std::uint32_t> order_nodes(const RoadPieces& roads, const StrongParts& parts)
{
    RoadPoint low{INT32_MAX, INT32_MAX};
    RoadPoint high{INT32_MIN, INT32_MIN};
    std::vector<std::uint32_t> kept;
    for (std::uint32_t i = 0; i < roads.nodes.size(); ++i) {
        if (parts.of_node[i] == parts.largest) {
            kept.push_back(i);
            low.lon_e7 = std::min(low.lon_e7, roads.nodes[i].lon_e7);
            low.lat_e7 = std::min(low.lat_e7, roads.nodes[i].lat_e7);
            high.lon_e7 = std::max(high.lon_e7, roads.nodes[i].lon_e7);
            high.lat_e7 = std::max(high.lat_e7, roads.nodes[i].lat_e7);
        }
    }
    const auto cell = [](std::int32_t value, std::int32_t from, std::int32_t to) {
        const std::int64_t span = std::max<std::int64_t>(1, std::int64_t{to} - from);
        return static_cast<std::uint32_t>((std::int64_t{value} - from) * 0xffff / span);
    };
    std::vector<std::uint64_t> key(roads.nodes.size(), 0);
    for (const auto i : kept) {
        key[i] = along_curve(cell(roads.nodes[i].lon_e7, low.lon_e7, high.lon_e7),
                             cell(roads.nodes[i].lat_e7, low.lat_e7, high.lat_e7));
    }
    std::sort(kept.begin(), kept.end(), [&](std::uint32_t a, std::uint32_t b) {
        return std::tie(key[a], roads.nodes[a], a) < std::tie(key[b], roads.nodes[b], b);
    });
    std::vector<std::uint32_t> number(roads.nodes.size(), kNone);
    for (std::uint32_t i = 0; i < kept.size(); ++i) {
        number[kept[i]] = i;
    }
    return number;
}

class NameList {
public:
    std::uint32_t index_of(const std::string& name)
    {
        const auto [entry, is_new] =
            index_.try_emplace(name, static_cast<std::uint32_t>(index_.size()));
        if (is_new) {
            letters.append(name);
            first_letter.push_back(static_cast<std::uint32_t>(letters.size()));
        }
        return entry->second;
    }

    std::vector<std::uint32_t> first_letter{0, 0};
    std::string letters;

private:
    std::map<std::string, std::uint32_t, std::less<>> index_{{"", 0}};
};

StrongParts parts_of(const RoadPieces& roads)
{
    std::vector<RoadEdge> edges;
    edges.reserve(roads.pieces.size());
    for (const auto& piece : roads.pieces) {
        edges.push_back(piece.edge);
    }
    return strong_parts(static_cast<std::uint32_t>(roads.nodes.size()), edges);
}

/// Rows of limits, each once; row 0 limits nothing.
class LimitList {
public:
    std::uint16_t index_of(const RoadLimits& row)
    {
        const auto [entry, is_new] =
            index_.try_emplace(row, static_cast<std::uint16_t>(rows.size()));
        if (is_new) {
            if (rows.size() > 0xffff) {
                throw Failure{ErrorCode::InvalidInput,
                              "more than 65,535 different sets of limits on its roads"};
            }
            rows.push_back(row);
        }
        return entry->second;
    }

    std::vector<RoadLimits> rows{RoadLimits{}};

private:
    std::map<RoadLimits, std::uint16_t> index_{{RoadLimits{}, 0}};
};

/// `kept` becomes the pieces in the order of the edges.
NetworkData assemble(const RoadPieces& roads, const StrongParts& parts,
                     std::vector<std::uint32_t>& kept)
{
    const auto number = order_nodes(roads, parts);
    NetworkData data;
    data.nodes.resize(parts.sizes[parts.largest]);
    for (std::size_t i = 0; i < roads.nodes.size(); ++i) {
        if (number[i] != kNone) {
            data.nodes[number[i]] = roads.nodes[i];
        }
    }
    data.first_cut_off.push_back(0);
    for (std::uint32_t i = 0; i < roads.pieces.size(); ++i) {
        const auto& edge = roads.pieces[i].edge;
        if (number[edge.from] != kNone && number[edge.to] != kNone) {
            kept.push_back(i);
        } else {
            const auto& line = roads.pieces[i].line;
            data.cut_off.insert(data.cut_off.end(), line.begin(), line.end());
            data.first_cut_off.push_back(static_cast<std::uint32_t>(data.cut_off.size()));
        }
    }
    std::sort(kept.begin(), kept.end(), [&](std::uint32_t a, std::uint32_t b) {
        const auto& left = roads.pieces[a].edge;
        const auto& right = roads.pieces[b].edge;
        return std::tuple{number[left.from], number[left.to], a} <
               std::tuple{number[right.from], number[right.to], b};
    });
    NameList names;
    LimitList limits;
    data.first_point.push_back(0);
    for (const auto i : kept) {
        const auto& piece = roads.pieces[i];
        auto edge = piece.edge;
        edge.from = number[edge.from];
        edge.to = number[edge.to];
        edge.name = names.index_of(*piece.name);
        auto row = piece.limits;
        row.condition = names.index_of(*piece.condition);
        edge.limits = limits.index_of(row);
        data.edges.push_back(edge);
        data.points.insert(data.points.end(), piece.line.begin(), piece.line.end());
        data.first_point.push_back(static_cast<std::uint32_t>(data.points.size()));
    }
    data.limits = std::move(limits.rows);
    data.first_letter = std::move(names.first_letter);
    data.letters = std::move(names.letters);
    return data;
}

/// Adds the rules of turns; the words of their conditions go to the names.
std::size_t add_turns(NetworkData& data, const RawRoads& raw, const RoadPieces& roads,
                      const std::vector<std::uint32_t>& kept, std::vector<LeftOut>& left_out)
{
    std::vector<std::uint32_t> edge_of(roads.pieces.size(), kNone);
    for (std::uint32_t i = 0; i < kept.size(); ++i) {
        edge_of[kept[i]] = i;
    }
    std::vector<std::vector<WayStretch>> stretches(raw.ways.size());
    for (std::size_t i = 0; i < roads.pieces.size(); ++i) {
        const auto& piece = roads.pieces[i];
        if (edge_of[i] != kNone) {
            stretches[piece.way].push_back({edge_of[i], piece.from_vertex, piece.to_vertex});
        }
    }
    std::map<std::string, std::uint32_t> conditions{{"", 0}};
    const auto turns = resolve_turns(raw, stretches, data.edges, left_out);
    for (const auto& turn : turns) {
        const auto& words = turn.source->condition;
        const auto [entry, is_new] =
            conditions.try_emplace(words, static_cast<std::uint32_t>(data.first_letter.size() - 1));
        if (is_new) {
            data.letters.append(words);
            data.first_letter.push_back(static_cast<std::uint32_t>(data.letters.size()));
        }
        data.turn_rules.push_back({static_cast<std::uint32_t>(data.turn_steps.size()),
                                   static_cast<std::uint32_t>(turn.steps.size()), entry->second,
                                   static_cast<std::uint8_t>(turn.source->only ? 1 : 0),
                                   turn.source->spares, 0});
        data.turn_steps.insert(data.turn_steps.end(), turn.steps.begin(), turn.steps.end());
    }
    return turns.size();
}

void report_dropped(BuildReport& report, const RoadPieces& roads, const StrongParts& parts)
{
    std::vector<DroppedPart> dropped(parts.sizes.size());
    for (std::size_t i = 0; i < dropped.size(); ++i) {
        dropped[i].nodes = parts.sizes[i];
    }
    for (const auto& piece : roads.pieces) {
        const auto from = parts.of_node[piece.edge.from];
        const auto to = parts.of_node[piece.edge.to];
        if (from == parts.largest && to == parts.largest) {
            continue;
        }
        // A road between parts is counted with the end that is lost.
        auto& part = dropped[from != parts.largest ? from : to];
        if (part.edges == 0) {
            part.somewhere = lon_lat(piece.line.front());
        }
        ++part.edges;
        part.length += Metres{piece.edge.length_mm / 1000.0};
        ++report.edges_dropped;
        report.length_dropped += Metres{piece.edge.length_mm / 1000.0};
    }
    std::erase_if(dropped, [](const DroppedPart& part) { return part.edges == 0; });
    std::stable_sort(dropped.begin(), dropped.end(),
                     [](const auto& a, const auto& b) { return a.length > b.length; });
    report.parts_dropped = dropped.size();
    dropped.resize(std::min<std::size_t>(dropped.size(), 5));
    report.largest_dropped = std::move(dropped);
}

std::string joined(const std::vector<std::string>& lines)
{
    std::string all;
    for (const auto& line : lines) {
        all.append(line).append("\n");
    }
    return all;
}

}  // namespace

std::vector<std::string> text_lines(const BuildReport& report)
{
    const auto kilometres = [](Metres m) { return m.value() / 1000; };
    std::vector<std::string> lines{
        fmt::format("{} ways seen, {} used", report.ways_seen, report.ways_used),
        fmt::format("kept: {} junctions, {} stretches ({} directions), {:.1f} km", report.nodes,
                    report.edges, report.arcs, kilometres(report.length)),
        fmt::format("dropped, cut off from the kept part: {} stretches in {} parts, {:.1f} km",
                    report.edges_dropped, report.parts_dropped, kilometres(report.length_dropped)),
    };
    for (const auto& part : report.largest_dropped) {
        lines.push_back(fmt::format("  {} stretches, {:.2f} km, near {:.5f},{:.5f}", part.edges,
                                    kilometres(part.length), part.somewhere.lon.value(),
                                    part.somewhere.lat.value()));
    }
    if (report.barriers > 0) {
        lines.push_back(fmt::format("barriers that cut a road: {}", report.barriers));
    }
    if (report.restrictions > 0) {
        lines.push_back(fmt::format("turn restrictions read: {}, applied: {}", report.restrictions,
                                    report.restrictions_applied));
    }
    for (const auto& source : report.sources) {
        lines.push_back(
            fmt::format("{}: {} ways seen, {} taken, {} known from files before it, "
                        "{} of these longer with it",
                        source.name, source.ways_seen, source.ways_taken, source.ways_known,
                        source.ways_joined));
    }
    for (const auto& entry : report.left_out) {
        lines.push_back(
            fmt::format("{}: {} (such as {})", entry.reason, entry.count, entry.example));
    }
    return lines;
}

Result<BuiltNetwork> build_network(const RawRoads& raw)
{
    const auto roads = cut_at_junctions(raw);
    if (roads.pieces.empty()) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("no road that a truck may drive among {} ways; check that the file "
                                "holds roads and that the columns are named rightly",
                                raw.ways_seen),
                    raw.source);
    }
    const auto parts = parts_of(roads);
    std::vector<std::uint32_t> kept;
    auto data = assemble(roads, parts, kept);
    if (data.edges.empty()) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("none of its {} stretches of road can be driven there and back; "
                                "check the one-way column, and that roads share vertices",
                                roads.pieces.size()),
                    raw.source);
    }
    BuildReport report;
    report.ways_seen = raw.ways_seen;
    report.ways_used = roads.ways_used;
    report.barriers = roads.barriers;
    report.restrictions = raw.restrictions.size();
    report.left_out = roads.left_out;
    report.sources = raw.sources;
    report.nodes = data.nodes.size();
    report.edges = data.edges.size();
    for (const auto& edge : data.edges) {
        report.length += Metres{edge.length_mm / 1000.0};
        report.arcs +=
            (edge.forward_ms != kClosed ? 1U : 0U) + (edge.backward_ms != kClosed ? 1U : 0U);
    }
    report_dropped(report, roads, parts);
    report.restrictions_applied = add_turns(data, raw, roads, kept, report.left_out);
    data.attribution = raw.attribution;
    data.source = raw.source;
    data.report = joined(text_lines(report));
    auto network = RoadNetwork::make(std::move(data));
    if (!network) {
        return tl::unexpected{network.error()};
    }
    return BuiltNetwork{std::move(*network), std::move(report)};
}

}  // namespace nestround::roads
