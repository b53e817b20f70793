// nestround access, exposure, cold, cargo, and the limits of a morning, as typed.
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround::test;
using Catch::Contains;

namespace {

/// A book with one crew in the small town, a nest under a gable and weather by the hour.
struct Town {
    Folder folder;
    std::string book = folder / "town.gpkg";
    std::string roads = folder / "town.roads";

    explicit Town(const std::string& gust = "3", const std::string& more = "")
    {
        folder.write("town.osm", small_town_osm());
        run({"roads", "build", folder / "town.osm", "--to", roads});
        run({"book", "create", book});
        folder.write("crews.csv", "crew,lon,lat,shift,people\nNorth,-77.0,41.2,08:00-16:00,2\n");
        folder.write("gear.csv",
                     "crew,kind,label,length_m,load_rating_kg,mass_kg,count\n"
                     "North,ladder,long ladder,8.5,150,20,1\nNorth,comb_box,box,,,2,4\n");
        run({"crew", "import", book, folder / "crews.csv", "--gear", folder / "gear.csv"});
        folder.write("calls.csv",
                     "key,lon,lat,received,place,height_m,nest_kind,must_take\n"
                     "K1,-77.0,41.2,2026-08-01,mill gable,4.5,aerial,no\n");
        run({"call", "import", book, folder / "calls.csv"});
        folder.write("days.csv",
                     "station,lon,lat,date,tmin_c,tmax_c\nS1,-77,41.2,2026-08-04,15,28\n");
        run({"weather", "import", book, folder / "days.csv"});
        std::string hours =
            "station,lon,lat,time,temperature_c,humidity_percent,wind_m_s,gust_m_s,thunder\n";
        for (int hour = 10; hour < 24; ++hour) {
            hours += "S1,-77,41.2,2026-08-04T" + std::to_string(hour) + ":00:00Z,24,50,2," + gust +
                     ",no\n";
        }
        folder.write("hours.csv", hours);
        run({"weather", "import", book, folder / "hours.csv"});
        folder.write("settings.toml", "[region]\ntime_zone = \"UTC\"\n" + more);
        run({"settings", "import", book, folder / "settings.toml"});
    }

    static void run(const std::vector<std::string>& words)
    {
        const auto outcome = run_program(words);
        INFO(outcome.err);
        REQUIRE(outcome.code == 0);
    }

    [[nodiscard]] Outcome morning(std::vector<std::string> more = {}) const
    {
        std::vector<std::string> words{"morning", book, "--on", "2026-08-04", "--roads", roads};
        words.insert(words.end(), more.begin(), more.end());
        return run_program(words);
    }
};

}  // namespace

TEST_CASE("WorkCommands, AccessSaysHowAndRefusesWhatCannotBe")
{
    const auto plan = run_program({"access", "--height", "8.7m", "--set-back", "1m", "--step",
                                   "0.4m", "--pole", "9m:4kg", "--ladder", "11m:150kg:extension"});
    CHECK(plan.code == 0);
    CHECK_THAT(plan.out, Contains("two stages"));
    const auto high = run_program({"access", "--height", "40m", "--pole", "9m"});
    CHECK(high.code == 0);
    CHECK_THAT(high.out, Contains("lift with its own rules"));
    const auto none = run_program({"access", "--height", "6m"});
    CHECK_THAT(none.out, Contains("would do"));
    const auto negative = run_program({"access", "--height", "6m", "--set-back=-1m"});
    CHECK((negative.code != 0 || negative.out.find("set-back") != std::string::npos));
    CHECK_THAT(plan.out, !Contains(" is safe"));
}

TEST_CASE("WorkCommands, ExposureKnowsNoHeatIndexWithoutHumidityAndNoDoseWithoutALevel")
{
    const auto dry = run_program({"exposure", "--at", "41.2,-77.1", "--on", "2026-08-04", "--zone",
                                  "America/New_York", "--low", "18", "--high", "34", "--minutes",
                                  "20", "--minutes", "30"});
    CHECK(dry.code == 0);
    CHECK_THAT(dry.out, Contains("heat index unknown: no humidity given"));
    CHECK_THAT(dry.out, Contains("noise dose unknown"));
    CHECK_THAT(dry.out, Contains("sun up") && Contains("06:0"));
    const auto whole = run_program({"exposure", "--at", "41.2,-77.1", "--on", "2026-08-04",
                                    "--zone", "America/New_York", "--low", "18", "--high", "34",
                                    "--humidity", "60", "--vacuum", "95", "--minutes", "60"});
    CHECK_THAT(whole.out, Contains("heat index") && !Contains("unknown"));
    CHECK(run_program({"exposure", "--at", "41.2,-77.1", "--low", "30", "--high", "20"}).code ==
          10);
    CHECK(run_program({"exposure", "--at", "nowhere"}).code == 10);
}

TEST_CASE("WorkCommands, ExposureOfABookHasItsHoursAndItsLimits")
{
    const Town windy{"14"};
    const auto day = run_program({"exposure", windy.book, "--on", "2026-08-04"});
    INFO(day.err);
    CHECK(day.code == 0);
    CHECK_THAT(day.out, Contains("hourly readings of S1") && Contains("heat index 2"));
    CHECK_THAT(day.out, Contains("limit, wind: wind or gusts of 14.0 m/s (31 mph)"));
    const auto other = run_program({"exposure", windy.book, "--on", "2026-08-05"});
    CHECK_THAT(other.out, Contains("unknown, the book has none of this day"));
    CHECK(run_program({"exposure", "--on", "2026-08-05"}).code == 2);
}

TEST_CASE("WorkCommands, ColdCountsIceAirAndAParcel")
{
    const auto day = run_program({"cold", "--grams", "500", "--hours", "8", "--cab", "3"});
    CHECK(day.code == 0);
    CHECK_THAT(day.out, Contains("in all") && Contains("OVER 5000 ppm"));
    const auto parcel = run_program(
        {"cold", "--grams", "500", "--ice-kg", "5", "--parcel", "air", "--packages", "2"});
    CHECK(parcel.code == 0);
    CHECK_THAT(parcel.out, Contains("UN 1845  DRY ICE  net 2.5 kg"));
    CHECK_THAT(parcel.out, Contains("published: 49 CFR 173.217"));
    CHECK(run_program({"cold", "--grams", "500", "--parcel", "pigeon"}).code != 0);
    CHECK(run_program({"cold", "--grams", "-1"}).code == 10);
}

TEST_CASE("WorkCommands, CargoSaysHowLongCombMayRide")
{
    const auto hot = run_program({"cargo", "--air", "35C", "--leave", "12:00", "--home", "14:00",
                                  "--sealed", "1480", "--parked"});
    INFO(hot.err);
    CHECK(hot.code == 0);
    CHECK_THAT(hot.out, Contains("TOO WARM") && Contains("longest ride from 12:00"));
    CHECK_THAT(hot.out, Contains("adults emerge on the way"));
    const auto cool = run_program({"cargo", "--air", "18C", "--leave", "12:00", "--home", "14:00"});
    CHECK_THAT(cool.out, Contains("stays under") && !Contains("is safe"));
    CHECK(run_program({"cargo", "--leave", "12:00", "--home", "14:00"}).code == 2);
    CHECK(run_program({"cargo", "--air", "18C", "--leave", "noon", "--home", "14:00"}).code == 2);
    CHECK(run_program({"cargo", "--air", "18C", "--leave", "15:00", "--home", "14:00"}).code == 10);
    const Town town;
    const auto from_book = run_program(
        {"cargo", town.book, "--on", "2026-08-04", "--leave", "12:00", "--home", "13:00"});
    CHECK(from_book.code == 0);
    CHECK_THAT(from_book.out, Contains("hourly readings of S1"));
    CHECK_THAT(run_program({"cargo", town.book, "--on", "2026-08-09", "--leave", "12:00", "--home",
                            "13:00"})
                   .err,
               Contains("knows no temperature of 2026-08-09"));
}

TEST_CASE("WorkCommands, AMorningIsHeldToItsLimitsAndSaysWhichItCouldNotKeep")
{
    const Town calm;
    const auto plan = calm.morning();
    INFO(plan.err);
    REQUIRE(plan.code == 0);
    CHECK_THAT(plan.out, Contains("1 nest,"));
    CHECK_THAT(plan.out, Contains("The plan is held to: ladder work from"));
    CHECK_THAT(plan.out, Contains("NOT in this plan: noise (dose unknown"));
    CHECK_THAT(plan.out, Contains("comb boxes: room for"));

    const Town windy{"14"};
    const auto left = windy.morning({"--why-not", "K1"});
    REQUIRE(left.code == 0);
    CHECK_THAT(left.out, Contains("wind: wind or gusts of 14.0 m/s (31 mph)"));
    CHECK_THAT(left.out, Contains("with a wind limit of 14.0 m/s (31 mph) instead of 8.9 m/s"));

    const Town brave{"14", "[limits]\nwind_m_s = 15\n"};
    CHECK_THAT(brave.morning().out, Contains("1 nest,"));
    const Town off{"14", "[limits]\nwind_m_s = \"off\"\n"};
    CHECK_THAT(off.morning().out, Contains("wind (turned off in the settings)"));
}

TEST_CASE("WorkCommands, WithoutATimeZoneNoSunIsGuessed")
{
    const Town town;
    Town::run({"settings", "set", town.book, "region.time_zone", ""});
    const auto plan = town.morning();
    REQUIRE(plan.code == 0);
    CHECK_THAT(plan.out, Contains("the book has no time zone"));
    CHECK_THAT(plan.out, Contains("NOT in this plan: daylight"));
}

TEST_CASE("WorkCommands, LiveCombBindsTheMorningWhenAskedTo")
{
    const Town town{"3", "[limits]\ncargo = true\nbox_w_per_k = 0.5\ncomb_g = 4000\n"};
    const auto plan = town.morning();
    INFO(plan.err);
    REQUIRE(plan.code == 0);
    CHECK_THAT(plan.out, Contains("live comb") && !Contains("heat of live comb"));
    const Town without;
    CHECK_THAT(without.morning().out, Contains("heat of live comb on"));
}

TEST_CASE("WorkCommands, WrongLimitsAreRefusedByName")
{
    const Town town;
    for (const auto& [name, value] : {std::pair{"limits.wind_m_s", "a lot"},
                                      {"limits.wind_m_s", "99"},
                                      {"limits.heat", "hot"},
                                      {"limits.humidity_percent", "150"},
                                      {"limits.protector_nrr", "25"},
                                      {"limits.light", "moon"},
                                      {"limits.winds", "3"},
                                      {"access.pole_bend_percent", "80"},
                                      {"access.setting_ladder_min", "300"}}) {
        CAPTURE(name, value);
        const std::string dotted = name;
        const auto dot = dotted.find('.');
        const auto file =
            town.folder.write("wrong.toml", "[" + dotted.substr(0, dot) + "]\n" +
                                                dotted.substr(dot + 1) + " = \"" + value + "\"\n");
        const Folder copy;
        std::filesystem::copy_file(town.book, copy / "town.gpkg");
        const auto set = run_program({"settings", "import", copy / "town.gpkg", file});
        const auto then = run_program(
            {"morning", copy / "town.gpkg", "--on", "2026-08-04", "--roads", town.roads});
        CHECK((set.code == 10 || then.code == 10));
        CHECK_THAT(set.err + then.err, Contains(name));
    }
}

TEST_CASE("WorkCommands, MinutesOfPastVisitsTakeOverFromTheTable")
{
    const Town town;
    CHECK_THAT(town.morning().out, Contains("allow 58 min"));
    town.folder.write("past.csv",
                      "key,lon,lat,received,place,height_m,nest_kind\n"
                      "P1,-77.0,41.2,2025-07-01,old gable,4.5,aerial\n");
    Town::run({"call", "import", town.book, town.folder / "past.csv"});
    std::string rows = "call,taken,minutes,method,count\n";
    for (int day = 10; day < 20; ++day) {
        rows += "P1,2025-07-" + std::to_string(day) + "T08:00:00Z,120,ladder,100\n";
    }
    town.folder.write("catches.csv", rows);
    Town::run({"catch", "import", town.book, town.folder / "catches.csv"});
    // Ten visits of two hours against a table that counts as five: (5 * 58 + 10 * 120) / 15.
    CHECK_THAT(town.morning().out, Contains("allow 1 h 39"));
    const auto access = run_program({"access", town.book, "--call", "K1"});
    CHECK_THAT(access.out, Contains("10 visits") || Contains("(10"));
}
