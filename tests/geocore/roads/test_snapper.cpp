#include "geocore/roads/snapper.hpp"

#include <cmath>
#include <complex>
#include <limits>
#include <set>

#include "geocore/place/geodesic.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;
using namespace nestround::test;

namespace {

LonLat at(double lon, double lat) { return {Longitude{lon}, Latitude{lat}}; }

/// One road due east along 47.1 N from 9.5 to 9.6, and one far north of it, joined at 9.6.
std::shared_ptr<const RoadNetwork> two_roads()
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 10, 0), raw_node(3, 0, 10), raw_node(4, 10, 10)};
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {3, 4}), raw_way(3, {2, 4})};
    return built(raw);
}

/// Where the edge is that runs along 47.1 N, and whether it is drawn eastward.
bool is_drawn_east(const RoadNetwork& network, std::uint32_t edge)
{
    return network.line(edge).front().lon_e7 < network.line(edge).back().lon_e7;
}

}  // namespace

TEST_CASE("Snapper, SnapsOntoTheEdgeAndNotTheNode")
{
    const auto network = two_roads();
    const Snapper snapper{network};
    const auto stop = snapper.snap(at(9.525, 47.101));
    REQUIRE(stop);
    CHECK(stop->on_road.lon.value() == Approx(9.525).margin(1e-6));
    CHECK(stop->on_road.lat.value() == Approx(47.1).margin(1e-9));
    CHECK(stop->along == Approx(is_drawn_east(*network, stop->edge) ? 0.25 : 0.75).margin(1e-5));
    CHECK(
        stop->off_road.value() ==
        Approx(place::geodesic_distance(at(9.525, 47.101), at(9.525, 47.1)).value()).margin(0.01));
}

TEST_CASE("Snapper, KnowsTheSideOfTheRoad")
{
    const auto network = two_roads();
    const Snapper snapper{network};
    const auto north = snapper.snap(at(9.55, 47.101));
    const auto south = snapper.snap(at(9.55, 47.099));
    REQUIRE((north && south));
    CHECK(north->edge == south->edge);
    // Driving east, south is on the right.
    const bool east = is_drawn_east(*network, north->edge);
    CHECK(south->right_side == east);
    CHECK(north->right_side != east);
}

TEST_CASE("Snapper, BeyondAnEndTheEndIsNearest")
{
    const Snapper snapper{two_roads()};
    const auto stop = snapper.snap(at(9.495, 47.1));
    REQUIRE(stop);
    CHECK((stop->along == 0.0 || stop->along == 1.0));
    CHECK(stop->on_road.lon.value() == Approx(9.5));
}

TEST_CASE("Snapper, APlaceOnTheRoadIsNoDistanceAway")
{
    const Snapper snapper{two_roads()};
    const auto stop = snapper.snap(at(9.5777777, 47.1));
    REQUIRE(stop);
    CHECK(stop->off_road.value() < 0.01);
}

TEST_CASE("Snapper, TooFarIsAnErrorThatNamesPlaceAndDistance")
{
    const Snapper snapper{two_roads()};
    const auto far = snapper.snap(at(9.55, 47.15), "Mill Farm");
    REQUIRE_FALSE(far);
    CHECK(far.error().code == ErrorCode::InvalidInput);
    CHECK(far.error().where == "Mill Farm");
    CHECK(far.error().message.find("3.8 km") != std::string::npos);
    CHECK(snapper.snap(at(9.55, 47.15), "Mill Farm", Metres{5600}));
    CHECK_FALSE(snapper.snap(at(-70, -30), "elsewhere"));
    const auto nowhere = snapper.snap(at(std::numeric_limits<double>::quiet_NaN(), 47), "lost");
    REQUIRE_FALSE(nowhere);
    CHECK(nowhere.error().message.find("not on Earth") != std::string::npos);
}

TEST_CASE("Snapper, FindsTheNearestOfAllSegments")
{
    Random random{21};
    const auto network = built(random_roads(random, 12));
    const Snapper snapper{network};
    for (int i = 0; i < 300; ++i) {
        const auto place = at(random.uniform(9.495, 9.62), random.uniform(47.095, 47.22));
        const auto stop = snapper.snap(place, "place", Metres{20000});
        REQUIRE(stop);
        // Another way: no point of any road, sampled finely, is nearer by more than the sampling.
        double nearest = 1e9;
        for (std::uint32_t e = 0; e < network->edge_count(); ++e) {
            const auto line = network->line(e);
            for (std::size_t k = 0; k + 1 < line.size(); ++k) {
                const auto a = lon_lat(line[k]);
                const auto b = lon_lat(line[k + 1]);
                for (int s = 0; s <= 20; ++s) {
                    const auto p = LonLat{a.lon + s / 20.0 * (b.lon - a.lon),
                                          a.lat + s / 20.0 * (b.lat - a.lat)};
                    nearest = std::min(nearest, place::geodesic_distance(place, p).value());
                }
            }
        }
        CHECK(stop->off_road.value() <= nearest + 0.5);
    }
}

TEST_CASE("Snapper, FindsWhatLookingAtEverySegmentFinds")
{
    Random random{22};
    const auto network = built(random_roads(random, 40));
    const Snapper snapper{network};
    std::set<std::uint32_t> met;
    for (int i = 0; i < 400; ++i) {
        const double lon = random.uniform(9.3, 10.1);
        const double lat = random.uniform(46.9, 47.7);
        const auto stop = snapper.snap(at(lon, lat), "place", Metres{60000});
        REQUIRE(stop);
        // Another way: every segment, as complex numbers in the plane that touches at the place.
        const double sin2 = std::pow(std::sin(lat * M_PI / 180), 2);
        const double curve = 1 - 0.00669437999014 * sin2;
        const double per_lat = M_PI / 180 * 6378137 * (1 - 0.00669437999014) / std::pow(curve, 1.5);
        const double per_lon = M_PI / 180 * 6378137 * std::cos(lat * M_PI / 180) / std::sqrt(curve);
        const auto flat = [&](RoadPoint p) {
            return std::complex{(p.lon_e7 / 1e7 - lon) * per_lon, (p.lat_e7 / 1e7 - lat) * per_lat};
        };
        double least = 1e12;
        std::vector<double> to_edge(network->edge_count(), 1e12);
        for (std::uint32_t e = 0; e < network->edge_count(); ++e) {
            const auto line = network->line(e);
            for (std::size_t k = 0; k + 1 < line.size(); ++k) {
                const auto a = flat(line[k]);
                const auto ab = flat(line[k + 1]) - a;
                const double share =
                    std::norm(ab) > 0
                        ? std::clamp(-(std::conj(ab) * a).real() / std::norm(ab), 0.0, 1.0)
                        : 0;
                to_edge[e] = std::min(to_edge[e], std::abs(a + share * ab));
                least = std::min(least, to_edge[e]);
            }
        }
        const auto on =
            flat({static_cast<std::int32_t>(std::lround(stop->on_road.lon.value() * 1e7)),
                  static_cast<std::int32_t>(std::lround(stop->on_road.lat.value() * 1e7))});
        CHECK(std::abs(on) == Approx(least).margin(0.02));
        // Stretches that meet are equally near.
        CHECK(to_edge[stop->edge] < least + 1e-6);
        met.insert(stop->edge);
    }
    CHECK(met.size() > 20);
}

TEST_CASE("Snapper, KnowsOnlyTheKeptPart")
{
    RawRoads raw;
    raw.nodes = {raw_node(1, 0, 0), raw_node(2, 10, 0), raw_node(3, 20, 0), raw_node(4, 0, 1),
                 raw_node(5, 1, 1)};
    raw.ways = {raw_way(1, {1, 2}), raw_way(2, {2, 3}), raw_way(3, {4, 5})};  // 3: an island
    const Snapper snapper{built(raw)};
    const auto stop = snapper.snap(at(9.505, 47.109));
    REQUIRE(stop);
    CHECK(stop->on_road.lat.value() == Approx(47.1));
}
