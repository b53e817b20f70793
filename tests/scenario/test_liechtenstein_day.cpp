// A whole morning on real roads: calls from a table, the book, the plan, the files for maps. What
// the plan says of its roads is worked out again by means that are not ours: Boost.Graph's search
// on an adjacency list, GeographicLib's geodesic, and GDAL reading what was written.
//
// Source: OpenStreetMap extract of Liechtenstein (ODbL 1.0, (c) OpenStreetMap contributors), see
// tests/data. The crew and the calls are invented.
#include <gdal.h>

#include <cmath>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "geocore/intake/calls.hpp"
#include "geocore/intake/gdal_quiet.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "geocore/place/geodesic.hpp"
#include "geocore/roads/build_network.hpp"
#include "geocore/roads/snapper.hpp"
#include "planner/app/import_calls.hpp"
#include "planner/app/import_crews.hpp"
#include "planner/app/plan_morning.hpp"
#include "planner/sheets/morning_geojson.hpp"
#include "planner/sheets/morning_gpx.hpp"
#include "planner/sheets/morning_json.hpp"
#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/leg_oracle.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using namespace std::chrono_literals;

namespace {

constexpr const char* kExtract =
    NESTROUND_SOURCE_DIR "/tests/data/liechtenstein-2013-08-03.osm.pbf";
constexpr Day kDay{std::chrono::year{2013} / 8 / 5};
constexpr Instant kNow{Day{kDay} + 4h};
constexpr LonLat kDepot{Longitude{9.5209}, Latitude{47.1410}};

// Up and down the valley, and two on the slope; far more than one corner of the map.
constexpr const char* kCalls =
    "key,received,lon,lat,place,species,nest_kind,height_m,width_cm,allowed_hours\n"
    "L01,2013-08-01,9.5230,47.1395,shed by the lane,Vespula germanica,void,2.5,30,\n"
    "L02,2013-08-01,9.5095,47.1655,barn gable,Vespula vulgaris,void,3,28,\n"
    "L03,2013-08-02,9.5270,47.2080,garden bank,Vespula germanica,ground,0,25,08:00-16:00\n"
    "L04,2013-08-02,9.5450,47.2180,wood pile,Vespula vulgaris,ground,0,22,\n"
    "L05,2013-08-02,9.5390,47.2370,porch roof,Vespula germanica,void,2.8,26,\n"
    "L06,2013-08-03,9.5210,47.2190,hedge,Vespula vulgaris,ground,0,20,\n"
    "L07,2013-08-03,9.5235,47.1160,meadow edge,Vespula germanica,ground,0,30,\n"
    "L08,2013-08-03,9.5040,47.0680,cellar light,Vespula vulgaris,void,1,24,09:00-15:00\n"
    "L09,2013-08-04,9.4960,47.0860,stable wall,Vespula germanica,void,2.2,27,\n"
    "L10,2013-08-04,9.5430,47.1180,hut under the wood,Vespula vulgaris,void,2,21,\n"
    "L11,2013-08-04,9.5320,47.1250,bank by the road,Vespula germanica,ground,0,23,\n"
    "L12,2013-08-04,9.5010,47.1790,compost heap,Vespula vulgaris,ground,0,26,\n";

constexpr const char* kCrews =
    "crew,lon,lat,shift,people\n"
    "Valley crew,9.5209,47.1410,07:00-17:00,2\n";

constexpr const char* kGear =
    "crew,kind,label,length_m,load_rating_kg,mass_kg,count\n"
    "Valley crew,pole,long pole,6,,3,1\n"
    "Valley crew,ladder,ladder 24 ft,7.3,136,17,1\n"
    "Valley crew,vacuum,vacuum with box,,,11,2\n"
    "Valley crew,cold_box,ice box,,,9,1\n"
    "Valley crew,comb_box,comb box,,,2,8\n"
    "Valley crew,suit,full suit,,,3,3\n";

/// A leg as the plan tells it, and the places it joins as the test wrote them.
struct Leg {
    LonLat from;
    LonLat to;
    seconds drive;
    Metres length;
    const std::vector<LonLat>* line;
};

struct Morning {
    std::shared_ptr<const roads::RoadNetwork> network;
    day::DayPlan plan;
    std::map<std::string, LonLat> asked;  ///< places as in the table, by key
    std::vector<Leg> legs;
};

std::map<std::string, LonLat> places_in(const std::string& table)
{
    std::map<std::string, LonLat> places;
    std::istringstream in{table};
    std::string line;
    std::getline(in, line);
    while (std::getline(in, line)) {
        std::istringstream row{line};
        std::string key;
        std::string day;
        std::string lon;
        std::string lat;
        std::getline(row, key, ',');
        std::getline(row, day, ',');
        std::getline(row, lon, ',');
        std::getline(row, lat, ',');
        places[key] = {Longitude{std::stod(lon)}, Latitude{std::stod(lat)}};
    }
    return places;
}

day::DayPlan planned(const std::shared_ptr<const roads::RoadNetwork>& network)
{
    const test::ScratchFolder folder;
    intake::CallMapping mapping;
    mapping.taxon = [](std::string_view words) -> std::optional<std::string> {
        const auto* taxon = nature::standard_taxa().recognise(words);
        return taxon == nullptr ? std::nullopt : std::optional{taxon->code};
    };
    auto calls = intake::read_calls(folder.write("calls.csv", kCalls), mapping);
    auto crews = intake::read_crews(folder.write("crews.csv", kCrews));
    const auto gear = intake::read_gear(folder.write("gear.csv", kGear));
    REQUIRE(crews.refused.empty());
    REQUIRE(gear.refused.empty());

    auto book = book::Book::create(folder.file("valley.gpkg"), kNow);
    app::KeyMaker keys{5};
    {
        book::Change change{book, kNow};
        change.set_setting("region.time_zone", "Europe/Vaduz");
        change.commit();
    }
    REQUIRE(app::import_crews(book, std::move(crews), gear, kNow, keys).added == 1);
    const roads::Snapper snapper{network};
    const auto tally = app::import_calls(book, std::move(calls), kNow, keys, {.snapper = &snapper});
    CHECK(tally.refused.empty());
    CHECK(tally.added == 12);

    app::MorningWishes wishes;
    wishes.on = kDay;
    wishes.without_weather = true;
    return app::plan_morning(book, network, app::preferences(book.settings()), wishes);
}

std::vector<Leg> legs_of(const Morning& morning)
{
    std::vector<Leg> legs;
    for (const auto& crew : morning.plan.crews) {
        LonLat here = kDepot;
        for (const auto& stop : crew.stops) {
            const LonLat next = morning.asked.at(stop.call.sheet.call.source_key);
            legs.push_back({here, next, stop.drive, stop.drive_length, &stop.drive_line});
            here = next;
        }
        legs.push_back(
            {here, kDepot, crew.drive_home, crew.drive_home_length, &crew.drive_home_line});
    }
    return legs;
}

/// Planned once for all tests here; each looks at another side of it.
const Morning& morning()
{
    static const std::unique_ptr<const Morning> made = [] {
        auto day = std::make_unique<Morning>();
        auto built = value_or_throw(roads::build_network(intake::read_osm_roads(kExtract)));
        day->network = std::make_shared<const roads::RoadNetwork>(std::move(built.network));
        day->asked = places_in(kCalls);
        day->plan = planned(day->network);
        day->legs = legs_of(*day);
        return day;
    }();
    return *made;
}

std::size_t stop_count()
{
    REQUIRE(morning().plan.crews.size() == 1);
    const auto count = morning().plan.crews.front().stops.size();
    REQUIRE(count >= 6);  // else the checks below would say little
    return count;
}

/// Opens a file and reads all of it, and wants no word of complaint from GDAL.
class Opened {
public:
    explicit Opened(const std::string& path)
    {
        data_ = GDALOpenEx(path.c_str(), GDAL_OF_VECTOR | GDAL_OF_VERBOSE_ERROR, nullptr, nullptr,
                           nullptr);
    }
    ~Opened() { GDALClose(data_); }
    Opened(const Opened&) = delete;
    Opened& operator=(const Opened&) = delete;

    [[nodiscard]] bool is_open() const { return data_ != nullptr; }
    /// Counts features by reading them, and the parts of their geometries.
    [[nodiscard]] std::pair<std::size_t, std::size_t> count(OGRLayerH layer) const
    {
        std::pair<std::size_t, std::size_t> found;
        OGR_L_ResetReading(layer);
        while (OGRFeatureH feature = OGR_L_GetNextFeature(layer)) {
            ++found.first;
            if (const auto shape = OGR_F_GetGeometryRef(feature)) {
                found.second += static_cast<std::size_t>(OGR_G_GetGeometryCount(shape));
            }
            OGR_F_Destroy(feature);
        }
        return found;
    }
    [[nodiscard]] OGRLayerH layer(const char* name) const
    {
        const auto found = GDALDatasetGetLayerByName(data_, name);
        REQUIRE(found != nullptr);
        return found;
    }
    [[nodiscard]] OGRLayerH only_layer() const
    {
        REQUIRE(GDALDatasetGetLayerCount(data_) == 1);
        return GDALDatasetGetLayer(data_, 0);
    }

private:
    GDALDatasetH data_ = nullptr;
};

}  // namespace

TEST_CASE("LiechtensteinDay, EveryLegIsTheQuickestWayByBoostsOwnSearch")
{
    stop_count();
    const roads::Snapper snapper{morning().network};
    std::vector<roads::RoadStop> stops;
    for (const auto& leg : morning().legs) {
        stops.push_back(value_or_throw(snapper.snap(leg.from)));
    }
    const test::LegOracle oracle{*morning().network, stops};
    for (std::size_t i = 0; i < stops.size(); ++i) {
        const auto& leg = morning().legs[i];
        const test::LegCost cost = oracle.between(i, (i + 1) % stops.size());
        INFO("leg " << i << ": " << cost.ms << " ms, " << cost.mm << " mm");
        CHECK(static_cast<std::uint64_t>(leg.drive.count()) == (cost.ms + 500) / 1000);
        CHECK(leg.length.value() == static_cast<double>((cost.mm + 500) / 1000));
        CHECK(cost.ms > 0);
    }
}

TEST_CASE("LiechtensteinDay, NoRoadIsShorterThanTheGeodesicAndLinesAreAsLongAsTold")
{
    stop_count();
    const roads::Snapper snapper{morning().network};
    for (std::size_t i = 0; i < morning().legs.size(); ++i) {
        const auto& leg = morning().legs[i];
        INFO("leg " << i);
        const auto from = value_or_throw(snapper.snap(leg.from)).on_road;
        const auto to = value_or_throw(snapper.snap(leg.to)).on_road;
        // Half a metre of rounding, and stops within a millimetre of their share.
        CHECK(leg.length.value() + 0.6 >= place::geodesic_distance(from, to).value());

        REQUIRE(leg.line->size() >= 2);
        CHECK(place::geodesic_distance(leg.line->front(), from).value() < 0.1);
        CHECK(place::geodesic_distance(leg.line->back(), to).value() < 0.1);
        double drawn = 0;
        for (std::size_t k = 1; k < leg.line->size(); ++k) {
            drawn += place::geodesic_distance((*leg.line)[k - 1], (*leg.line)[k]).value();
        }
        CHECK(std::abs(drawn - leg.length.value()) <= 0.01 * leg.length.value() + 10);
    }
}

TEST_CASE("LiechtensteinDay, StopsFollowInTimeWithinTheShiftAndSumsAreThoseOfTheLegs")
{
    const auto count = stop_count();
    const auto& crew = morning().plan.crews.front();
    CHECK(morning().plan.checked);
    CHECK(morning().plan.time_zone == "Europe/Vaduz");
    CHECK(count + morning().plan.left_out.size() == 12);
    CHECK(crew.depart >= ClockTime::at(7, 0));
    CHECK(crew.home <= ClockTime::at(17, 0));

    ClockTime free = crew.depart;
    seconds driving = crew.drive_home;
    Metres driven = crew.drive_home_length;
    for (std::size_t s = 0; s < count; ++s) {
        const auto& stop = crew.stops[s];
        INFO("stop " << s);
        const bool rests = crew.pause && crew.pause->after_stops == s && s > 0;
        CHECK(stop.arrive >= free + stop.drive + (rests ? crew.pause->length : 0s));
        CHECK(stop.begin >= stop.arrive);
        CHECK(stop.leave > stop.begin);
        for (const auto& hours : stop.call.sheet.call.allowed) {
            CHECK(stop.begin >= hours.opens);
            CHECK(stop.leave <= hours.closes);
        }
        free = stop.leave;
        driving += stop.drive;
        driven = driven + stop.drive_length;
    }
    CHECK(crew.home >= free + crew.drive_home);
    CHECK(crew.driving == driving);
    CHECK(crew.driven.value() == driven.value());
}

TEST_CASE("LiechtensteinDay, GdalReadsTheMapFilesWithoutComplaint")
{
    const auto count = stop_count();
    const auto& plan = morning().plan;
    const test::ScratchFolder folder;
    sheets::write_file(folder.file("day.geojson"), sheets::morning_geojson(plan));
    sheets::write_file(folder.file("day.gpx"), sheets::morning_gpx(plan));

    const intake::GdalQuiet heard;
    {
        const Opened file{folder.file("day.geojson")};
        REQUIRE(file.is_open());
        // The depot, the stops, a leg to each and one home.
        CHECK(file.count(file.only_layer()).first == 1 + count + count + 1);
    }
    {
        const Opened file{folder.file("day.gpx")};
        REQUIRE(file.is_open());
        CHECK(file.count(file.layer("waypoints")).first == 1 + count);
        const auto [tracks, segments] = file.count(file.layer("tracks"));
        CHECK(tracks == 1);
        CHECK(segments == count + 1);
        CHECK(file.count(file.layer("routes")).first == 0);
        std::size_t points = 0;
        for (const auto& leg : morning().legs) {
            points += leg.line->size();
        }
        CHECK(file.count(file.layer("track_points")).first == points);
    }
    CHECK(heard.text("nothing") == "nothing");
}

TEST_CASE("LiechtensteinDay, TheJsonParsesAndTellsTheLegs")
{
    const auto count = stop_count();
    const auto json = nlohmann::json::parse(sheets::morning_json(morning().plan));
    REQUIRE(json.at("crews").size() == 1);
    const auto& stops = json.at("crews").at(0).at("stops");
    REQUIRE(stops.size() == count);
    for (std::size_t s = 0; s < count; ++s) {
        CHECK(stops.at(s).at("drive_s") == morning().legs[s].drive.count());
    }
}
