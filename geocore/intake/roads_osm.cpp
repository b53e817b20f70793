// The one place that includes libosmium, which is slow to compile.
#include "geocore/intake/roads_osm.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <filesystem>
#include <osmium/handler.hpp>
#include <osmium/io/bzip2_compression.hpp>
#include <osmium/io/gzip_compression.hpp>
#include <osmium/io/pbf_input.hpp>
#include <osmium/io/reader.hpp>
#include <osmium/io/xml_input.hpp>
#include <osmium/osm.hpp>
#include <osmium/visitor.hpp>
#include <string_view>
#include <utility>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/osm_reading.hpp"
#include "geocore/roads/osm_tags.hpp"

namespace nestround::intake {
namespace {

void copy_tags(const osmium::TagList& from, std::vector<roads::Tag>& to)
{
    to.clear();
    for (const auto& entry : from) {
        to.push_back({entry.key(), entry.value()});
    }
}

class WayHandler : public osmium::handler::Handler {
public:
    explicit WayHandler(roads::RawRoads& raw) : raw_{raw} {}

    void way(const osmium::Way& way)
    {
        copy_tags(way.tags(), tags_);
        if (!roads::is_way_of_interest(tags_)) {
            return;
        }
        ++raw_.ways_seen;
        auto reading = roads::read_way(tags_);
        const auto example = [&] { return fmt::format("way {}", way.id()); };
        if (!reading.road) {
            roads::count_left_out(raw_.left_out, reading.reason, example());
            return;
        }
        if (!reading.remark.empty()) {
            roads::count_left_out(raw_.left_out, reading.remark, example());
        }
        auto& out = raw_.ways.emplace_back();
        out.id = way.id();
        out.road = std::move(*reading.road);
        out.nodes.reserve(way.nodes().size());
        for (const auto& node : way.nodes()) {
            out.nodes.push_back(node.ref());
        }
    }

    void relation(const osmium::Relation& relation)
    {
        const std::string_view type = relation.tags().get_value_by_key("type", "");
        if (!type.starts_with("restriction")) {
            return;
        }
        copy_tags(relation.tags(), tags_);
        const auto example = [&] { return fmt::format("relation {}", relation.id()); };
        std::string_view passed_over;
        auto read = roads::read_turn(tags_, passed_over);
        if (!read) {
            roads::count_left_out(raw_.left_out, passed_over, example());
            return;
        }
        roads::TurnMembers whole;
        whole.turn = std::move(*read);
        whole.turn.id = relation.id();
        for (const auto& member : relation.members()) {
            const std::string_view role = member.role();
            if (member.type() == osmium::item_type::way && role == "from") {
                whole.from.push_back(member.ref());
            } else if (member.type() == osmium::item_type::way && role == "to") {
                whole.to.push_back(member.ref());
            } else if (member.type() == osmium::item_type::way && role == "via") {
                whole.turn.via_ways.push_back(member.ref());
            } else if (member.type() == osmium::item_type::node && role == "via") {
                whole.turn.via_node = member.ref();
            }
        }
        if (roads::is_whole(whole)) {
            roads::add_turns(raw_.restrictions, whole);
        } else {
            roads::count_left_out(raw_.left_out, roads::kLacksMember, example());
            raw_.in_part.push_back(std::move(whole));
        }
    }

private:
    roads::RawRoads& raw_;
    std::vector<roads::Tag> tags_;
};

class NodeHandler : public osmium::handler::Handler {
public:
    NodeHandler(roads::RawRoads& raw, const std::vector<std::int64_t>& wanted)
        : raw_{raw}, wanted_{wanted}
    {
    }

    void node(const osmium::Node& node)
    {
        if (!std::binary_search(wanted_.begin(), wanted_.end(), node.id()) ||
            !node.location().valid()) {
            return;
        }
        bool closed = false;
        bool ends_only = false;
        if (!node.tags().empty()) {
            copy_tags(node.tags(), tags_);
            closed = roads::closes_road(tags_);
            ends_only = roads::is_private_gate(tags_);
        }
        // osmium keeps coordinates in the same unit, 1e-7 degree.
        raw_.nodes.push_back(
            {node.id(), {node.location().x(), node.location().y()}, closed, ends_only});
    }

private:
    roads::RawRoads& raw_;
    const std::vector<std::int64_t>& wanted_;
    std::vector<roads::Tag> tags_;
};

}  // namespace

bool is_osm_file(const std::string& path)
{
    for (const std::string_view ending :
         {".osm.pbf", ".pbf", ".osm", ".osm.bz2", ".osm.gz", ".osm.xml"}) {
        if (path.ends_with(ending)) {
            return true;
        }
    }
    return false;
}

roads::RawRoads read_osm_roads(const std::string& path, const Progress& progress)
{
    if (!std::filesystem::is_regular_file(path)) {
        throw Failure{ErrorCode::NotFound, "no such file", path};
    }
    roads::RawRoads raw;
    raw.attribution = kOsmAttribution;
    raw.source = std::filesystem::path{path}.filename().string();
    try {
        WayHandler ways{raw};
        read_all(path, osmium::osm_entity_bits::way | osmium::osm_entity_bits::relation, ways,
                 "reading ways", progress);
        std::vector<std::int64_t> wanted;
        for (const auto& way : raw.ways) {
            wanted.insert(wanted.end(), way.nodes.begin(), way.nodes.end());
        }
        std::sort(wanted.begin(), wanted.end());
        wanted.erase(std::unique(wanted.begin(), wanted.end()), wanted.end());
        raw.nodes.reserve(wanted.size());
        NodeHandler nodes{raw, wanted};
        read_all(path, osmium::osm_entity_bits::node, nodes, "reading vertices", progress);
    } catch (const std::exception& problem) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("not a whole OpenStreetMap extract: {}", problem.what()), path};
    }
    return raw;
}

}  // namespace nestround::intake
