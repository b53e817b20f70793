#include "planner/app/day_conditions.hpp"

#include "planner/app/carry_comb.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/preferences.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Matchers::Contains;
using std::chrono::hours;
using std::chrono::minutes;

namespace {

const Instant kNow = parse_instant("2026-08-04T00:00:00Z").value();
const Day kDay = parse_day("2026-08-04").value();
const LonLat kDepot{Longitude{-77.1}, Latitude{41.2}};
const std::string kZone = "America/New_York";

struct Stations {
    Folder folder;
    book::Book book = book::Book::create(folder / "a.gpkg", kNow);
    app::KeyMaker keys{7};

    StationId add(const std::string& code, double lon)
    {
        WeatherStation station;
        station.id = keys.make<StationId>(kNow);
        station.code = code;
        station.place = {Longitude{lon}, Latitude{41.2}};
        book::Change change{book, kNow};
        change.insert(station);
        change.commit();
        return station.id;
    }
    void day_of(StationId station)
    {
        book::Change change{book, kNow};
        change.put(std::vector<WeatherDay>{{station, kDay, Celsius{15}, Celsius{31}}});
        change.commit();
    }
    void hour_of(StationId station, const std::string& at, double celsius)
    {
        WeatherHour hour;
        hour.station = station;
        hour.at = parse_instant(at).value();
        hour.temperature = Celsius{celsius};
        book::Change change{book, kNow};
        change.put(std::vector{hour});
        change.commit();
    }
    day::DayConditions conditions()
    {
        return app::day_conditions(book, kDay, kDepot, kZone, day::Light::Sun);
    }
};

}  // namespace

TEST_CASE("DayConditions, NothingIsKnownOfADayWithoutReadings")
{
    Stations stations;
    const auto none = stations.conditions();
    CHECK(none.hours.empty());
    CHECK(none.source.empty());
    REQUIRE(none.light);
    // 6:07 to 20:20 on that clock, by the almanac's series.
    CHECK(static_cast<double>(none.light->from.count()) == Approx(6 * 3600 + 8 * 60).margin(300));
}

TEST_CASE("DayConditions, DailyReadingsGiveACurveThatSaysSoAndNoHumidity")
{
    Stations stations;
    stations.day_of(stations.add("D", -77.2));
    const auto day = stations.conditions();
    REQUIRE(day.hours.size() == 24);
    CHECK_THAT(day.source, Contains("published curve") && Contains("not measured"));
    double hottest = -99;
    for (const auto& hour : day.hours) {
        hottest = std::max(hottest, hour.air->value());
        CHECK(hour.air->value() >= 15 - 0.1);
        CHECK_FALSE(hour.humidity);
        CHECK_FALSE(hour.wind);
        CHECK_FALSE(hour.thunder);
    }
    CHECK(hottest == Approx(31).margin(0.3));
}

TEST_CASE("DayConditions, HoursComeBeforeDaysAndTheNearestStationBeforeOthers")
{
    Stations stations;
    const auto near = stations.add("near", -77.2);
    const auto far = stations.add("far", -78.2);
    stations.day_of(near);
    stations.hour_of(far, "2026-08-04T16:00:00Z", 20);
    CHECK_THAT(stations.conditions().source, Contains("hourly readings of far"));
    stations.hour_of(near, "2026-08-04T16:00:00Z", 25);
    stations.hour_of(near, "2026-08-04T16:30:00Z", 26);
    const auto day = stations.conditions();
    CHECK_THAT(day.source, Contains("hourly readings of near"));
    REQUIRE(day.hours.size() == 2);
    CHECK(day.hours[0].from == hours{12});  // 16:00 UTC on the summer clock
    CHECK(day.hours[0].to == hours{12} + minutes{30});
    CHECK(day.hours[1].to == hours{13} + minutes{30});
}

TEST_CASE("DayConditions, TheSunThatStaysUpOrDown")
{
    const LonLat north{Longitude{25}, Latitude{70}};
    const auto summer =
        app::daylight(north, parse_day("2026-06-21").value(), "UTC", day::Light::Sun);
    CHECK(summer.from < seconds{0});
    CHECK(summer.to > hours{24});
    const auto winter =
        app::daylight(north, parse_day("2026-12-21").value(), "UTC", day::Light::Sun);
    CHECK(winter.to < winter.from);
    const auto civil =
        app::daylight(north, parse_day("2026-12-21").value(), "UTC", day::Light::CivilTwilight);
    CHECK(civil.to > civil.from);
}

TEST_CASE("CarryComb, TheRideLimitIsThatOfTheHottestHours")
{
    Stations stations;
    stations.day_of(stations.add("D", -77.2));
    const auto conditions = stations.conditions();
    auto settings = app::cargo_settings({{"limits.cargo", "on"}});
    CHECK(settings.on);
    const auto none = app::ride_limit(settings, conditions, hours{8}, hours{16});
    CHECK(none.known);
    CHECK_FALSE(none.limit);  // 31 C and 3 K more stay under 38 C
    CHECK_THAT(none.words, Contains("thermometer"));
    settings = app::cargo_settings({{"limits.cargo", "on"}, {"limits.cab_adds_k", "12"}});
    const auto hot = app::ride_limit(settings, conditions, hours{8}, hours{16});
    REQUIRE(hot.limit);
    CHECK(*hot.limit < hours{2});
    const auto unknown = app::ride_limit(settings, {}, hours{8}, hours{16});
    CHECK_FALSE(unknown.known);
    CHECK_THAT(unknown.words, Contains("no temperature"));
}

TEST_CASE("Preferences, LimitsAndWaysOfAccessAreRead")
{
    const auto read = app::preferences({{"limits.light", "civil"},
                                        {"limits.wind_m_s", "6.5"},
                                        {"limits.heat", "caution"},
                                        {"limits.humidity_percent", "60"},
                                        {"limits.vacuum_db", "100"},
                                        {"limits.protector_nrr", "24"},
                                        {"limits.protector_kind", "muff"},
                                        {"limits.bottles", "6"},
                                        {"limits.cold_box_kg", "4"},
                                        {"access.hand_reach_m", "2.2"},
                                        {"access.pole_work_min", "30"},
                                        {"access.pole_bend_percent", "5"}});
    CHECK(read.limits.light == day::Light::CivilTwilight);
    CHECK(read.limits.wind->value() == 6.5);
    CHECK(read.limits.heat == access::HeatClass::Caution);
    CHECK(read.limits.humidity->value() == Approx(0.6));
    CHECK(*read.limits.vacuum_level == Approx(100 - (0.75 * 24 - 7)));
    CHECK(read.limits.bottles == 6);
    CHECK(read.limits.cold_box->value() == 4000);
    CHECK(read.access.hand_reach.value() == 2.2);
    CHECK(read.access.pole_work == minutes{30});
    CHECK(read.access.pole_bend.value() == Approx(0.05));
    const auto plain = app::preferences({});
    CHECK(miles_per_hour(*plain.limits.wind) == Approx(20));
    CHECK_FALSE(plain.limits.vacuum_level);
    CHECK_FALSE(app::preferences({{"limits.wind_m_s", "off"}}).limits.wind);
}
