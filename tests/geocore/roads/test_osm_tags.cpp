#include "geocore/roads/osm_tags.hpp"

#include <initializer_list>
#include <vector>

#include "geocore/roads/speed_table.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::roads;

namespace {

WayReading way(std::initializer_list<Tag> tags) { return read_way(std::vector<Tag>{tags}); }

RoadAttributes road(std::initializer_list<Tag> tags)
{
    const auto reading = way(tags);
    REQUIRE(reading.road);
    return *reading.road;
}

bool is_closed(std::initializer_list<Tag> tags)
{
    const auto reading = way(tags);
    CHECK(reading.road.has_value() == reading.reason.empty());
    return !reading.road;
}

bool barrier_closes(std::initializer_list<Tag> tags) { return closes_road(std::vector<Tag>{tags}); }

}  // namespace

TEST_CASE("OsmTags, OneWayInAllItsForms")
{
    for (const char* yes : {"yes", "1", "true"}) {
        const auto r = road({{"highway", "residential"}, {"oneway", yes}});
        CHECK((r.forward_open && !r.backward_open));
    }
    for (const char* back : {"-1", "reverse"}) {
        const auto r = road({{"highway", "residential"}, {"oneway", back}});
        CHECK((!r.forward_open && r.backward_open));
    }
    const auto both = road({{"highway", "residential"}});
    CHECK((both.forward_open && both.backward_open));
}

TEST_CASE("OsmTags, RoundaboutAndMotorwayAreOneWayUnlessToldOtherwise")
{
    const auto ring = road({{"highway", "tertiary"}, {"junction", "roundabout"}});
    CHECK((ring.forward_open && !ring.backward_open && ring.roundabout));
    const auto fast = road({{"highway", "motorway"}});
    CHECK((fast.forward_open && !fast.backward_open));
    const auto told = road({{"highway", "motorway"}, {"oneway", "no"}});
    CHECK((told.forward_open && told.backward_open));
    const auto link = road({{"highway", "motorway_link"}});
    CHECK((link.forward_open && link.backward_open));
}

TEST_CASE("OsmTags, TheMostSpecificVehicleKeyDecides")
{
    CHECK(is_closed({{"highway", "track"}, {"access", "no"}}));
    CHECK(is_closed({{"highway", "track"}, {"motor_vehicle", "agricultural"}}));
    CHECK(is_closed({{"highway", "track"}, {"vehicle", "forestry"}}));
    CHECK_FALSE(is_closed({{"highway", "track"}, {"access", "no"}, {"motor_vehicle", "yes"}}));
    CHECK(is_closed({{"highway", "track"}, {"access", "yes"}, {"motorcar", "no"}}));
    CHECK_FALSE(is_closed({{"highway", "track"}, {"vehicle", "no"}, {"goods", "delivery"}}));
    // limits of heavier trucks and of others
    CHECK_FALSE(is_closed({{"highway", "primary"}, {"hgv", "no"}}));
    CHECK_FALSE(is_closed({{"highway", "primary"}, {"bicycle", "no"}}));
    CHECK_FALSE(is_closed({{"highway", "track"}, {"motor_vehicle", "agricultural;destination"}}));
    CHECK_FALSE(is_closed({{"highway", "track"}, {"access", "unknown"}}));
}

TEST_CASE("OsmTags, AccessMayDifferByDirection")
{
    const auto r = road({{"highway", "service"}, {"motor_vehicle:backward", "no"}});
    CHECK((r.forward_open && !r.backward_open));
    CHECK(is_closed({{"highway", "service"}, {"oneway", "yes"}, {"vehicle:forward", "no"}}));
}

TEST_CASE("OsmTags, PrivateRoadsAreOpenButNoShortCut")
{
    const auto r = road({{"highway", "service"}, {"access", "private"}});
    CHECK(r.by_leave);
    CHECK(r.forward_kmh == kPrivateSpeed);
    CHECK(r.ends_only);
    const auto guests = road({{"highway", "service"}, {"access", "destination"}});
    CHECK((!guests.by_leave && guests.ends_only));
    CHECK_FALSE(road({{"highway", "service"}, {"access", "permissive"}}).ends_only);
}

TEST_CASE("OsmTags, WhatIsNoRoadForATruckIsLeftOutWithAReason")
{
    for (const char* kind : {"footway", "path", "cycleway", "steps", "pedestrian", "construction",
                             "proposed", "platform", "ferry"}) {
        CAPTURE(kind);
        CHECK(is_closed({{"highway", kind}}));
    }
    CHECK(is_closed({{"highway", "service"}, {"area", "yes"}}));
    CHECK(is_closed({{"highway", "primary"}, {"oneway", "reversible"}}));
    CHECK_FALSE(is_way_of_interest(std::vector<Tag>{{"waterway", "river"}}));
    CHECK(is_way_of_interest(std::vector<Tag>{{"route", "ferry"}}));
}

TEST_CASE("OsmTags, SpeedIsTheLimitsShareWithinTheClassAndTheSurface")
{
    CHECK(road({{"highway", "secondary"}}).forward_kmh ==
          class_speed(RoadClass::Secondary).usual_kmh);
    CHECK(road({{"highway", "secondary"}, {"maxspeed", "50"}}).forward_kmh ==
          Approx(50 * kShareOfLimit));
    CHECK(road({{"highway", "secondary"}, {"maxspeed", "30 mph"}}).forward_kmh ==
          Approx(30 * 1.609344 * kShareOfLimit));
    CHECK(road({{"highway", "residential"}, {"maxspeed", "120"}}).forward_kmh ==
          class_speed(RoadClass::Residential).top_kmh);
    CHECK(road({{"highway", "secondary"}, {"surface", "gravel"}}).forward_kmh ==
          *surface_speed("gravel"));
    CHECK(road({{"highway", "track"}, {"tracktype", "grade5"}}).forward_kmh ==
          *surface_speed("grade5"));
    CHECK(road({{"highway", "motorway"}, {"maxspeed", "none"}}).forward_kmh == Approx(kTopSpeed));
    CHECK(road({{"highway", "secondary"}, {"source:maxspeed", "CH:urban"}}).forward_kmh ==
          Approx(50 * kShareOfLimit));
}

TEST_CASE("OsmTags, SpeedMayDifferByDirection")
{
    const auto r =
        road({{"highway", "secondary"}, {"maxspeed", "60"}, {"maxspeed:backward", "40"}});
    CHECK(r.forward_kmh == Approx(60 * kShareOfLimit));
    CHECK(r.backward_kmh == Approx(40 * kShareOfLimit));
}

TEST_CASE("OsmTags, ABadLimitIsPassedOverAndRemarked")
{
    const auto reading = way({{"highway", "secondary"}, {"maxspeed", "-50"}});
    REQUIRE(reading.road);
    CHECK(reading.road->forward_kmh == class_speed(RoadClass::Secondary).usual_kmh);
    CHECK_FALSE(reading.remark.empty());
    CHECK(way({{"highway", "secondary"}, {"maxspeed", "50"}}).remark.empty());
}

TEST_CASE("OsmTags, FerriesRunByTheirDurationOnly")
{
    const auto r = road({{"route", "ferry"}, {"motor_vehicle", "yes"}, {"duration", "00:20"}});
    CHECK(r.road_class == RoadClass::Ferry);
    CHECK(r.duration == seconds{1200});
    CHECK(is_closed({{"route", "ferry"}, {"motor_vehicle", "yes"}}));
    CHECK(is_closed({{"route", "ferry"}, {"motor_vehicle", "no"}, {"duration", "00:20"}}));
    CHECK(is_closed({{"route", "ferry"}, {"foot", "yes"}, {"duration", "00:20"}}));
    CHECK_FALSE(way({{"route", "ferry"}, {"duration", "00:20"}}).remark.empty());
}

TEST_CASE("OsmTags, DurationsInTheirForms")
{
    CHECK(parse_duration("15") == seconds{900});
    CHECK(parse_duration("01:30") == seconds{5400});
    CHECK(parse_duration("00:01:30") == seconds{90});
    CHECK(parse_duration("PT1H5M") == seconds{3900});
    CHECK(parse_duration("PT20M30S") == seconds{1230});
    for (const char* text : {"", "0", "00:00", "soon", "1:2:3:4", "-5", "PT", "PT5", "P1D"}) {
        CAPTURE(text);
        CHECK_FALSE(parse_duration(text));
    }
}

TEST_CASE("OsmTags, BarriersCloseUnlessATruckMayPass")
{
    CHECK(barrier_closes({{"barrier", "bollard"}}));
    CHECK(barrier_closes({{"barrier", "block"}}));
    CHECK_FALSE(barrier_closes({{"barrier", "gate"}}));
    CHECK_FALSE(barrier_closes({{"barrier", "cattle_grid"}}));
    CHECK_FALSE(barrier_closes({{"barrier", "toll_booth"}}));
    CHECK_FALSE(barrier_closes({{"barrier", "gate"}, {"access", "private"}}));
    CHECK(is_private_gate(std::vector<Tag>{{"barrier", "gate"}, {"access", "private"}}));
    CHECK(barrier_closes({{"barrier", "gate"}, {"access", "private"}, {"locked", "yes"}}));
    CHECK(barrier_closes({{"barrier", "bollard"}, {"access", "private"}}));
    CHECK(barrier_closes({{"barrier", "gate"}, {"motor_vehicle", "forestry"}}));
    CHECK(barrier_closes({{"barrier", "gate"}, {"locked", "yes"}}));
    CHECK_FALSE(barrier_closes({{"barrier", "bollard"}, {"motor_vehicle", "yes"}}));
    CHECK_FALSE(barrier_closes({{"highway", "crossing"}, {"access", "no"}}));
}
