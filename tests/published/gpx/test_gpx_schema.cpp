// Whether the day's GPX is valid. Source of truth: the GPX 1.1 schema (topografix.com/GPX/1/1), as
// Debian's package zoph carries it; checked by xmllint (libxml2), without network.
#include "planner/sheets/morning_gpx.hpp"
#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sample_day.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;

namespace {

/// The schema's path, or empty after a loud word that this check was left out.
std::string schema()
{
    const testing::Said said =
        testing::run_shell("bash " NESTROUND_SOURCE_DIR
                           "/tests/support/fetch_gpx_schema " NESTROUND_BINARY_DIR "/gpx-schema");
    if (said.code != 0) {
        WARN("NOT CHECKED: the GPX schema could not be fetched. " << said.words);
        return {};
    }
    return said.words.substr(0, said.words.find_last_not_of('\n') + 1);
}

testing::Said validate(const std::string& xsd, const std::string& gpx)
{
    const testing::ScratchFolder folder;
    sheets::write_file(folder.file("day.gpx"), gpx);
    return testing::run_shell("xmllint --noout --nonet --schema '" + xsd + "' " +
                              folder.file("day.gpx"));
}

}  // namespace

TEST_CASE("GpxSchema, AcceptsEveryFormOfADay")
{
    const std::string xsd = schema();
    if (xsd.empty()) {
        return;
    }
    const testing::SampleWeb web;
    day::DayPlan plan = testing::sample_day(web);
    SECTION("a full day") {}
    SECTION("a crew without lines, and one that stays")
    {
        for (day::PlannedStop& stop : plan.crews[0].stops) {
            stop.drive_line.clear();
        }
        plan.crews[0].drive_home_line.clear();
        plan.crews[1].stops.clear();
        plan.crews[1].drive_home_line.clear();
    }
    SECTION("no crew at all")
    {
        plan.crews.clear();
        plan.region.clear();
        plan.road_attribution.clear();
    }
    SECTION("texts that XML cannot hold, and places at the edges")
    {
        day::PlannedStop& stop = plan.crews[0].stops[0];
        stop.call.sheet.site.label = "<b>\x01 & \"quoted\" \xff\xfe ]]> \ufffe";
        plan.region = "a < b & c > d";
        plan.road_attribution = "Bones \"&\" Sons";
        stop.call.sheet.site.place = {Longitude{180}, Latitude{-90}};
        plan.crews[0].crew.depot = {Longitude{-180}, Latitude{90}};
        plan.crews[0].stops[1].call.sheet.site.place = {Longitude{200}, Latitude{0}};
    }
    const std::string gpx = sheets::morning_gpx(plan);
    const testing::Said said = validate(xsd, gpx);
    INFO(said.words.substr(0, 2000));
    CHECK(said.code == 0);
}

TEST_CASE("GpxSchema, WouldNoticeABrokenOne")
{
    const std::string xsd = schema();
    if (xsd.empty()) {
        return;
    }
    const testing::SampleWeb web;
    std::string gpx = sheets::morning_gpx(testing::sample_day(web));
    gpx.insert(gpx.find("<wpt "), "<nonsense/>");
    CHECK(validate(xsd, gpx).code != 0);
}
