// Villages, farm drives and tracks, grown off the roads that are there.
#include <algorithm>

#include "demo-region/county.hpp"
#include "demo-region/growth.hpp"

namespace nestround::demo {
namespace {

bool in_county(Vec p) { return std::abs(p.x) < kHalfWidth && std::abs(p.y) < kHalfHeight; }

void grow_village(County& county, const Place& village)
{
    Network& network = county.network;
    Road road;
    road.road_class = RoadClass::Residential;
    road.mph = 25;
    road.surface = "asphalt";
    road.in_town = true;
    const auto inside = [&](Vec p) { return distance(p, village.at) < village.radius; };
    for (int i = 0; i < 190; ++i) {
        const Vec at =
            village.at + Vec{county.random.uniform(-1, 1), county.random.uniform(-1, 1)} *
                             (village.radius * (i < 60 ? 0.6 : 1.0));
        Growth growth;
        growth.longest = i < 60 ? 320 : 150;
        growth.gap = 46;
        growth.joining = 0.75;
        growth.turning_circle = i >= 60;
        const Near near = network.nearest(at, 220, [&](const Edge& e) {
            const RoadClass c = network.road_of(e).road_class;
            return c >= RoadClass::Primary && c <= RoadClass::Residential;
        });
        if (near.edge >= 0) {
            const Edge edge = network.edges()[near.edge];
            const Vec a = network.nodes()[edge.from];
            grow_branch(network, county.random, near.edge, near.share,
                        cross(network.nodes()[edge.to] - a, at - a) > 0, growth, road, inside);
        }
    }
}

/// Branches off roads of the country, spread evenly over their length.
void grow_along(County& county, const Growth& growth, const Road& road, double every,
                RoadClass from_class, RoadClass to_class)
{
    Network& network = county.network;
    const std::size_t n = network.edges().size();
    for (std::size_t e = 0; e < n; ++e) {
        const Edge edge = network.edges()[e];
        if (edge.road < 0 || network.road_of(edge).in_town ||
            network.road_of(edge).road_class < from_class ||
            network.road_of(edge).road_class > to_class) {
            continue;
        }
        const double metres = distance(network.nodes()[edge.from], network.nodes()[edge.to]);
        if (metres > 25 && county.random.chance(metres / every)) {
            Road own = road;
            if (own.road_class == RoadClass::Track) {
                own.surface = county.random.chance(0.5)   ? "ground"
                              : county.random.chance(0.5) ? "grass"
                                                          : "gravel";
            } else if (county.random.chance(0.5)) {
                own.surface = county.random.chance(0.6) ? "gravel" : "asphalt";
            }
            if (county.random.chance(0.04)) {
                own.access = "private";
            }
            const double share = county.random.uniform(0.3, 0.7);
            const bool to_left = county.random.chance(0.5);
            grow_branch(network, county.random, static_cast<int>(e), share, to_left, growth, own,
                        in_county);
        }
    }
}

}  // namespace

void grow_farms(County& county)
{
    for (const Place& place : county.places) {
        if (place.kind == PlaceKind::Village) {
            grow_village(county, place);
        }
    }
    Road lane;
    lane.road_class = RoadClass::Unclassified;
    Growth blind;
    blind.shortest = 250;
    blind.longest = 900;
    blind.gap = 110;
    blind.joining = 0.5;
    blind.bending = 0.1;
    blind.step = 45;
    grow_along(county, blind, lane, 2600, RoadClass::Tertiary, RoadClass::Unclassified);

    Road drive;
    drive.road_class = RoadClass::Service;
    drive.service = "driveway";
    Growth farm;
    farm.shortest = 25;
    farm.longest = 210;
    farm.gap = 26;
    farm.joining = 0;
    farm.bending = 0.18;
    farm.spread = 0.35;
    grow_along(county, farm, drive, 290, RoadClass::Secondary, RoadClass::Unclassified);

    Road track;
    track.road_class = RoadClass::Track;
    Growth field;
    field.shortest = 180;
    field.longest = 1100;
    field.gap = 70;
    field.joining = 0.5;
    field.bending = 0.14;
    field.step = 50;
    grow_along(county, field, track, 2400, RoadClass::Unclassified, RoadClass::Service);
}

}  // namespace nestround::demo
