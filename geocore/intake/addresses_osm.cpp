#include "geocore/intake/addresses_osm.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdint>
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
#include <unordered_map>
#include <utility>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/osm_reading.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/place/geodesic.hpp"

namespace nestround::intake {
namespace {

using Id = std::int64_t;

place::RawHouse house_in(const osmium::TagList& tags)
{
    const auto value = [&](const char* key) { return std::string{tags.get_value_by_key(key, "")}; };
    place::RawHouse house;
    house.number = value("addr:housenumber");
    house.street = value("addr:street");
    if (house.street.empty()) {
        house.street = value("addr:place");
    }
    house.city = value("addr:city");
    house.postcode = value("addr:postcode");
    return house;
}

bool is_settlement(std::string_view kind)
{
    for (const std::string_view known :
         {"city", "town", "village", "hamlet", "suburb", "neighbourhood", "isolated_dwelling",
          "farm", "locality"}) {
        if (kind == known) {
            return true;
        }
    }
    return false;
}

/// Something drawn by nodes whose coordinates come later.
struct Drawn {
    Id id = 0;
    std::vector<Id> nodes;
};
struct DrawnHouse : Drawn {
    place::RawHouse house;
    std::vector<Id> ways;  ///< of a relation
};
struct DrawnName : Drawn {
    std::string name;
};
struct DrawnRun : Drawn {
    int step = 2;
    place::RawHouse house;  ///< what the way itself says
};

struct Findings {
    std::vector<DrawnHouse> ways;
    std::vector<DrawnHouse> relations;
    std::vector<DrawnName> streets;
    std::vector<DrawnRun> runs;
    /// Street by kind and number of the member house.
    std::unordered_map<Id, std::string> street_of_node;
    std::unordered_map<Id, std::string> street_of_way;
    std::unordered_map<Id, std::vector<Id>> outlines;  ///< nodes of ways that relations need
    std::unordered_map<Id, LonLat> at;
    std::unordered_map<Id, place::RawHouse> house_of_node;
};

class RelationHandler : public osmium::handler::Handler {
public:
    explicit RelationHandler(Findings& found) : found_{found} {}

    void relation(const osmium::Relation& relation)
    {
        const std::string_view type = relation.tags().get_value_by_key("type", "");
        if (type == "associatedStreet" || type == "street") {
            const std::string name = relation.tags().get_value_by_key("name", "");
            for (const auto& member : relation.members()) {
                const std::string_view role = member.role();
                if (name.empty() || (role != "house" && role != "address")) {
                    continue;
                }
                if (member.type() == osmium::item_type::node) {
                    found_.street_of_node.emplace(member.ref(), name);
                } else if (member.type() == osmium::item_type::way) {
                    found_.street_of_way.emplace(member.ref(), name);
                }
            }
            return;
        }
        if (!relation.tags().has_key("addr:housenumber")) {
            return;
        }
        auto& out = found_.relations.emplace_back();
        out.id = relation.id();
        out.house = house_in(relation.tags());
        for (const auto& member : relation.members()) {
            if (member.type() == osmium::item_type::way) {
                out.ways.push_back(member.ref());
                found_.outlines.emplace(member.ref(), std::vector<Id>{});
            }
        }
    }

private:
    Findings& found_;
};

class WayHandler : public osmium::handler::Handler {
public:
    explicit WayHandler(Findings& found) : found_{found} {}

    void way(const osmium::Way& way)
    {
        const auto& tags = way.tags();
        if (tags.has_key("addr:housenumber")) {
            auto& house = fill(found_.ways.emplace_back(), way);
            house.house = house_in(tags);
            const auto street = found_.street_of_way.find(way.id());
            if (house.house.street.empty() && street != found_.street_of_way.end()) {
                house.house.street = street->second;
            }
        }
        if (const char* how = tags["addr:interpolation"]) {
            const std::string_view word{how};
            const int step = word == "all"                                         ? 1
                             : word == "odd" || word == "even"                     ? 2
                             : word.size() == 1 && word[0] > '0' && word[0] <= '9' ? word[0] - '0'
                                                                                   : 0;
            if (step > 0) {
                auto& run = fill(found_.runs.emplace_back(), way);
                run.step = step;
                run.house = house_in(tags);
            }
        }
        if (tags.has_key("highway") && tags.has_key("name")) {
            fill(found_.streets.emplace_back(), way).name = tags["name"];
        }
        if (const auto outline = found_.outlines.find(way.id()); outline != found_.outlines.end()) {
            for (const auto& node : way.nodes()) {
                outline->second.push_back(node.ref());
            }
        }
    }

private:
    template <class Out>
    static Out& fill(Out& out, const osmium::Way& way)
    {
        out.id = way.id();
        for (const auto& node : way.nodes()) {
            out.nodes.push_back(node.ref());
        }
        return out;
    }
    Findings& found_;
};

class NodeHandler : public osmium::handler::Handler {
public:
    NodeHandler(Findings& found, place::RawAddresses& raw) : found_{found}, raw_{raw} {}

    void node(const osmium::Node& node)
    {
        if (!node.location().valid()) {
            return;
        }
        const LonLat at{Longitude{node.location().lon()}, Latitude{node.location().lat()}};
        if (const auto wanted = found_.at.find(node.id()); wanted != found_.at.end()) {
            wanted->second = at;
        }
        const auto& tags = node.tags();
        if (tags.empty()) {
            return;
        }
        if (tags.has_key("addr:housenumber")) {
            auto house = house_in(tags);
            house.at = at;
            const auto street = found_.street_of_node.find(node.id());
            if (house.street.empty() && street != found_.street_of_node.end()) {
                house.street = street->second;
            }
            // A node that ends a run takes its street from there, later.
            found_.house_of_node.emplace(node.id(), house);
            order_.push_back(node.id());
        }
        const char* kind = tags["place"];
        const char* name = tags["name"];
        if (kind != nullptr && name != nullptr && is_settlement(kind)) {
            raw_.settlements.push_back({name, kind, at});
        }
    }
    [[nodiscard]] const std::vector<Id>& order() const { return order_; }

private:
    Findings& found_;
    place::RawAddresses& raw_;
    std::vector<Id> order_;
};

constexpr double kUnset = 1000;

void want(Findings& found, const std::vector<Id>& nodes)
{
    for (const auto node : nodes) {
        found.at.emplace(node, LonLat{Longitude{kUnset}, Latitude{kUnset}});
    }
}

/// The points of a line that are in the file.
std::vector<LonLat> points_of(const Findings& found, const std::vector<Id>& nodes)
{
    std::vector<LonLat> points;
    for (const auto node : nodes) {
        const auto at = found.at.find(node);
        if (at != found.at.end() && is_on_earth(at->second)) {
            points.push_back(at->second);
        }
    }
    return points;
}

std::pair<LonLat, LonLat> box_of(const std::vector<LonLat>& points)
{
    LonLat low = points.front();
    LonLat high = low;
    for (const auto at : points) {
        low = {std::min(low.lon, at.lon), std::min(low.lat, at.lat)};
        high = {std::max(high.lon, at.lon), std::max(high.lat, at.lat)};
    }
    return {low, high};
}

void place_house(place::RawAddresses& raw, place::RawHouse house, const std::vector<LonLat>& points)
{
    if (points.empty()) {
        return;
    }
    const auto [low, high] = box_of(points);
    house.at = {low.lon + (high.lon - low.lon) * 0.5, low.lat + (high.lat - low.lat) * 0.5};
    house.uncertainty = place::kHouseUncertainty + place::geodesic_distance(low, high) * 0.5;
    raw.houses.push_back(std::move(house));
}

void finish_runs(Findings& found, place::RawAddresses& raw)
{
    for (const auto& run : found.runs) {
        // Between each two numbered nodes along the way.
        place::RawNumberRun part;
        bool begun = false;
        for (const auto node : run.nodes) {
            const auto at = found.at.find(node);
            if (at == found.at.end() || !is_on_earth(at->second)) {
                continue;
            }
            part.line.push_back(at->second);
            const auto numbered = found.house_of_node.find(node);
            if (numbered == found.house_of_node.end()) {
                continue;
            }
            auto& house = numbered->second;
            const auto take = [](std::string& to, const std::string& from) {
                if (to.empty()) {
                    to = from;
                }
            };
            take(house.street, run.house.street);
            take(house.city, run.house.city);
            take(house.postcode, run.house.postcode);
            if (begun) {
                part.last = house;
                part.step = run.step;
                raw.runs.push_back(part);
            }
            begun = true;
            part.first = house;
            part.line = {at->second};
        }
    }
}

}  // namespace

place::RawAddresses read_osm_addresses(const std::string& path, const Progress& progress)
{
    if (!std::filesystem::is_regular_file(path)) {
        throw Failure{ErrorCode::NotFound, "no such file", path};
    }
    place::RawAddresses raw;
    raw.attribution = kOsmAttribution;
    raw.source = std::filesystem::path{path}.filename().string();
    try {
        Findings found;
        RelationHandler relations{found};
        read_all(path, osmium::osm_entity_bits::relation, relations, "reading relations", progress);
        WayHandler ways{found};
        read_all(path, osmium::osm_entity_bits::way, ways, "reading ways", progress);
        for (const auto& way : found.ways) {
            want(found, way.nodes);
        }
        for (const auto& street : found.streets) {
            want(found, street.nodes);
        }
        for (const auto& run : found.runs) {
            want(found, run.nodes);
        }
        for (const auto& [way, nodes] : found.outlines) {
            want(found, nodes);
        }
        NodeHandler nodes{found, raw};
        read_all(path, osmium::osm_entity_bits::node, nodes, "reading points", progress);
        finish_runs(found, raw);
        for (const auto node : nodes.order()) {
            raw.houses.push_back(found.house_of_node.at(node));
        }
        for (const auto& way : found.ways) {
            place_house(raw, way.house, points_of(found, way.nodes));
        }
        for (const auto& relation : found.relations) {
            std::vector<LonLat> points;
            for (const auto way : relation.ways) {
                const auto more = points_of(found, found.outlines.at(way));
                points.insert(points.end(), more.begin(), more.end());
            }
            place_house(raw, relation.house, points);
        }
        for (const auto& street : found.streets) {
            const auto points = points_of(found, street.nodes);
            if (!points.empty()) {
                const auto [low, high] = box_of(points);
                raw.stretches.push_back({street.name, low, high});
            }
        }
    } catch (const std::exception& problem) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("not a whole OpenStreetMap extract: {}", problem.what()), path};
    }
    return raw;
}

}  // namespace nestround::intake
