// An OpenStreetMap file as plain values, read by libosmium alone, and exact arithmetic on it: a
// witness that shares no code with what it judges.
#pragma once

#include <algorithm>
#include <cstdint>
#include <functional>
#include <map>
#include <osmium/io/pbf_input.hpp>
#include <set>
#include <string>
#include <utility>
#include <vector>

namespace nestround::osm_map {

struct Place {
    std::int64_t x = 0;  // 1e-7 degrees, as the file has them: sums and products are exact
    std::int64_t y = 0;
};

struct Way {
    std::vector<std::int64_t> nodes;
    std::map<std::string, std::string> tags;

    [[nodiscard]] std::string tag(const std::string& key) const
    {
        const auto found = tags.find(key);
        return found == tags.end() ? "" : found->second;
    }
    [[nodiscard]] bool is_road() const { return tags.count("highway") > 0; }
};

struct MapFile {
    std::map<std::int64_t, Place> nodes;
    std::vector<Way> ways;
    std::vector<std::string> names;
};

inline MapFile read_map(const std::string& path)
{
    MapFile map;
    osmium::io::Reader reader{path};
    while (const auto buffer = reader.read()) {
        for (const auto& node : buffer.select<osmium::Node>()) {
            map.nodes[node.id()] = {node.location().x(), node.location().y()};
            if (const char* name = node.tags()["name"]) {
                map.names.emplace_back(name);
            }
        }
        for (const auto& way : buffer.select<osmium::Way>()) {
            Way own;
            for (const auto& node : way.nodes()) {
                own.nodes.push_back(node.ref());
            }
            for (const auto& tag : way.tags()) {
                own.tags[tag.key()] = tag.value();
            }
            if (own.tags.count("name") > 0) {
                map.names.push_back(own.tags["name"]);
            }
            map.ways.push_back(std::move(own));
        }
    }
    return map;
}

inline std::int64_t side(Place a, Place b, Place p)
{
    return (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
}

/// Whether the insides of two segments cross; touching does not count.
inline bool cross(Place a, Place b, Place c, Place d)
{
    const auto opposite = [](std::int64_t p, std::int64_t q) {
        return (p > 0 && q < 0) || (p < 0 && q > 0);
    };
    return opposite(side(a, b, c), side(a, b, d)) && opposite(side(c, d, a), side(c, d, b));
}

struct Segment {
    std::int64_t from = 0;
    std::int64_t to = 0;
    const Way* way = nullptr;
};

inline std::vector<Segment> segments(const MapFile& map,
                                     const std::function<bool(const Way&)>& wanted)
{
    std::vector<Segment> out;
    for (const Way& way : map.ways) {
        for (std::size_t i = 1; wanted(way) && i < way.nodes.size(); ++i) {
            out.push_back({way.nodes[i - 1], way.nodes[i], &way});
        }
    }
    return out;
}

/// Pairs of segments whose boxes share a cell of about 200 m.
template <class Visit>
void near_pairs(const MapFile& map, const std::vector<Segment>& a, const std::vector<Segment>& b,
                Visit visit)
{
    constexpr std::int64_t kCell = 20000;
    std::map<std::pair<std::int64_t, std::int64_t>, std::vector<std::size_t>> cells;
    const auto each_cell = [&](const Segment& s, auto&& with) {
        const Place p = map.nodes.at(s.from);
        const Place q = map.nodes.at(s.to);
        for (auto i = std::min(p.x, q.x) / kCell - 1; i <= std::max(p.x, q.x) / kCell; ++i) {
            for (auto j = std::min(p.y, q.y) / kCell; j <= std::max(p.y, q.y) / kCell; ++j) {
                with(std::pair{i, j});
            }
        }
    };
    for (std::size_t i = 0; i < b.size(); ++i) {
        each_cell(b[i], [&](auto cell) { cells[cell].push_back(i); });
    }
    for (const Segment& s : a) {
        std::set<std::size_t> seen;
        each_cell(s, [&](auto cell) {
            if (const auto found = cells.find(cell); found != cells.end()) {
                for (const std::size_t i : found->second) {
                    if (seen.insert(i).second) {
                        visit(s, b[i]);
                    }
                }
            }
        });
    }
}

}  // namespace nestround::osm_map
