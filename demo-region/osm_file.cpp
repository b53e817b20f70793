#include "demo-region/osm_file.hpp"

#include <algorithm>
#include <array>
#include <osmium/builder/attr.hpp>
#include <osmium/io/pbf_output.hpp>
#include <osmium/memory/buffer.hpp>

#include "geocore/base/error.hpp"

namespace nestround::demo {
namespace {

namespace attr = osmium::builder::attr;
using Tags = std::vector<std::pair<std::string, std::string>>;

constexpr std::array<const char*, 10> kHighway{
    "motorway",     "motorway_link", "primary", "secondary", "tertiary",
    "unclassified", "residential",   "service", "track",     ""};

osmium::Location location(Vec at)
{
    const LonLat place = on_earth(at);
    return {place.lon.value(), place.lat.value()};
}

/// The pieces of one road (same bridge state) joined end to end, as drawn.
std::vector<std::vector<int>> chains(const std::vector<Edge>& pieces)
{
    std::map<int, std::vector<std::size_t>> leaving;
    std::map<int, int> arriving;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        leaving[pieces[i].from].push_back(i);
        ++arriving[pieces[i].to];
    }
    std::vector<bool> used(pieces.size(), false);
    std::vector<std::vector<int>> out;
    const auto walk = [&](std::size_t first) {
        std::vector<int> chain{pieces[first].from};
        for (std::size_t at = first;;) {
            used[at] = true;
            chain.push_back(pieces[at].to);
            const auto next = leaving.find(pieces[at].to);
            bool found = false;
            if (next != leaving.end() && chain.size() < 1900) {
                for (const std::size_t i : next->second) {
                    if (!used[i]) {
                        at = i;
                        found = true;
                        break;
                    }
                }
            }
            if (!found) {
                break;
            }
        }
        out.push_back(std::move(chain));
    };
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (!used[i] && arriving[pieces[i].from] == 0) {
            walk(i);
        }
    }
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        if (!used[i]) {
            walk(i);
        }
    }
    return out;
}

Tags tags_of(const Road& road, bool bridge)
{
    Tags tags;
    if (road.road_class == RoadClass::Ferry) {
        const std::string minutes = std::to_string(road.minutes);
        tags = {{"route", "ferry"},
                {"motor_vehicle", "yes"},
                {"duration", "00:" + std::string(minutes.size() < 2 ? "0" : "") + minutes}};
    } else {
        tags.emplace_back("highway", kHighway[static_cast<std::size_t>(road.road_class)]);
    }
    const auto add = [&](const char* key, const std::string& value) {
        if (!value.empty()) {
            tags.emplace_back(key, value);
        }
    };
    add("name", road.name);
    add("ref", road.ref);
    add("maxspeed", road.mph > 0 ? std::to_string(road.mph) + " mph" : "");
    add("surface", road.surface);
    add("service", road.service);
    add("access", road.access);
    if (road.road_class == RoadClass::Track) {
        add("tracktype", road.surface == "gravel" ? "grade2" : "grade4");
    }
    if (road.roundabout) {
        add("junction", "roundabout");
    } else if (road.oneway != 0) {
        add("oneway", road.oneway > 0 ? "yes" : "-1");
    }
    if (bridge) {
        add("bridge", "yes");
        add("layer", "1");
    }
    return tags;
}

/// Whether a piece passes over the motorway (which keeps its level) or is a bridge of its own.
class Overpasses {
public:
    explicit Overpasses(const Network& network) : network_{network}
    {
        for (const Edge& edge : network.edges()) {
            if (edge.road >= 0 && network.road_of(edge).road_class == RoadClass::Motorway) {
                index_.add(static_cast<int>(segments_.size()), network.nodes()[edge.from],
                           network.nodes()[edge.to]);
                segments_.push_back(edge);
            }
        }
    }
    [[nodiscard]] bool is_over(const Edge& edge) const
    {
        if (network_.road_of(edge).apart) {
            return false;
        }
        const Vec a = network_.nodes()[edge.from];
        const Vec b = network_.nodes()[edge.to];
        bool over = false;
        index_.near(a, b, 0, [&](int i) {
            over = over || meeting(a, b, network_.nodes()[segments_[i].from],
                                   network_.nodes()[segments_[i].to]);
        });
        return over;
    }

private:
    const Network& network_;
    CellIndex index_{300};
    std::vector<Edge> segments_;
};

class OsmWriter {
public:
    explicit OsmWriter(const std::string& path)
        : writer_{file(path), header(), osmium::io::overwrite::allow}
    {
    }
    void node(osmium::object_id_type id, Vec at, const Tags& tags = {})
    {
        osmium::builder::add_node(buffer_, attr::_id(id), attr::_version(1),
                                  attr::_location(location(at)), attr::_tags(tags));
        pass_on(false);
    }
    void way(osmium::object_id_type id, const std::vector<osmium::object_id_type>& nodes,
             const Tags& tags)
    {
        osmium::builder::add_way(buffer_, attr::_id(id), attr::_version(1), attr::_nodes(nodes),
                                 attr::_tags(tags));
        pass_on(false);
    }
    void close()
    {
        pass_on(true);
        writer_.close();
    }

private:
    static osmium::io::File file(const std::string& path)
    {
        osmium::io::File file{path, "osm.pbf"};
        file.set("add_metadata", "false");
        return file;
    }
    static osmium::io::Header header()
    {
        osmium::io::Header header;
        header.set("generator", "nestround demo county (invented)");
        return header;
    }
    void pass_on(bool all)
    {
        if (all || buffer_.committed() > 900'000) {
            osmium::memory::Buffer full{1'000'000, osmium::memory::Buffer::auto_grow::yes};
            std::swap(full, buffer_);
            writer_(std::move(full));
        }
    }
    osmium::io::Writer writer_;
    osmium::memory::Buffer buffer_{1'000'000, osmium::memory::Buffer::auto_grow::yes};
};

}  // namespace

FileCounts write_osm(const County& county, const std::string& path)
try {
    const Network& network = county.network;
    FileCounts counts;
    const auto around = network.edges_by_node();
    std::vector<osmium::object_id_type> id_of(network.nodes().size(), 0);
    osmium::object_id_type next_id = 1;
    OsmWriter out{path};
    for (std::size_t v = 0; v < around.size(); ++v) {
        if (around[v].empty()) {
            continue;
        }
        id_of[v] = next_id++;
        const auto tag = network.node_tags.find(static_cast<int>(v));
        out.node(id_of[v], network.nodes()[v],
                 tag == network.node_tags.end() ? Tags{} : Tags{tag->second});
        ++counts.nodes;
        counts.junctions += around[v].size() != 2 ? 1 : 0;
    }
    std::vector<osmium::object_id_type> river_ids;
    for (const Vec at : network.river()) {
        river_ids.push_back(next_id++);
        out.node(river_ids.back(), at);
    }
    for (const Place& place : county.places) {
        if (!place.name.empty()) {
            out.node(next_id++, place.at,
                     {{"place", place.kind == PlaceKind::Town ? "town" : "village"},
                      {"name", place.name}});
        }
    }
    for (const House& house : county.houses) {
        out.node(next_id++, house.at,
                 {{"addr:housenumber", std::to_string(house.number)},
                  {"addr:street", house.street},
                  {"addr:city", nearest_town(county, house.at)}});
    }
    const Overpasses overpasses{network};
    std::map<std::pair<int, bool>, std::vector<Edge>> pieces;
    for (const Edge& edge : network.edges()) {
        if (edge.road >= 0) {
            pieces[{edge.road, edge.bridge || overpasses.is_over(edge)}].push_back(edge);
            counts.kilometres +=
                distance(network.nodes()[edge.from], network.nodes()[edge.to]) / 1000;
            counts.bridges += edge.bridge ? 1 : 0;
        }
    }
    osmium::object_id_type way_id = 1;
    for (const auto& [key, edges] : pieces) {
        for (const auto& chain : chains(edges)) {
            std::vector<osmium::object_id_type> ids;
            for (const int v : chain) {
                ids.push_back(id_of[v]);
            }
            out.way(way_id++, ids, tags_of(network.roads()[key.first], key.second));
            ++counts.ways;
        }
    }
    out.way(way_id, river_ids,
            {{"waterway", "river"}, {"name", county.river_name}, {"width", "60"}});
    out.close();
    return counts;
} catch (const std::exception& problem) {
    throw Failure{ErrorCode::OutputFailed,
                  std::string{problem.what()} + "; choose a folder that can be written", path};
}

}  // namespace nestround::demo
