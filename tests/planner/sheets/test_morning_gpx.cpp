#include "planner/sheets/morning_gpx.hpp"

#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sample_day.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

day::DayPlan plan_of_test()
{
    const testing::SampleWeb web;
    return testing::sample_day(web);
}

std::size_t times(const std::string& text, const std::string& words)
{
    std::size_t count = 0;
    for (std::size_t at = text.find(words); at != std::string::npos;
         at = text.find(words, at + 1)) {
        ++count;
    }
    return count;
}

}  // namespace

TEST_CASE("XmlText, EscapesAndMends")
{
    CHECK(xml_text("<a & b> \"c\" 'd'") == "&lt;a &amp; b&gt; &quot;c&quot; &apos;d&apos;");
    CHECK(xml_text("bell\x07 and \xff") == "bell and \ufffd");
    CHECK(xml_text("not \uffff allowed") == "not allowed");
}

TEST_CASE("MorningGpx, HasAWaypointAStopAndATrackACrew")
{
    const std::string gpx = morning_gpx(plan_of_test());
    CHECK(times(gpx, "<wpt ") == 9 + 2);
    CHECK(times(gpx, "<trk>") == 2);
    CHECK(times(gpx, "<trkseg>") == 9 + 2);  // a segment a leg, and the way home
    CHECK(times(gpx, "<rte>") == 0);
    CHECK(gpx.find("A1 07:08 Tannery loft, north gable") != std::string::npos);
    CHECK(gpx.find("Quillfeather") == std::string::npos);
    CHECK(gpx.find("Ottoline") == std::string::npos);
    CHECK(gpx.find("allergic") == std::string::npos);
}

TEST_CASE("MorningGpx, GivesARouteWhereNoLinesAreKnown")
{
    day::DayPlan plan = plan_of_test();
    for (day::PlannedStop& stop : plan.crews[0].stops) {
        stop.drive_line.clear();
    }
    plan.crews[0].drive_home_line.clear();
    const std::string gpx = morning_gpx(plan);
    CHECK(times(gpx, "<rte>") == 1);
    CHECK(times(gpx, "<rtept ") == 5 + 2);
    CHECK(times(gpx, "<trk>") == 1);
    CHECK(gpx.find("<rte>") < gpx.find("<trk>"));  // the schema's order
}

TEST_CASE("MorningGpx, OpensInGdalWithTheRoadLines")
{
    const testing::ScratchFolder folder;
    const day::DayPlan plan = plan_of_test();
    write_file(folder.file("day.gpx"), morning_gpx(plan));
    const testing::Said said =
        testing::run_shell("ogrinfo -so " + folder.file("day.gpx") + " track_points");
    std::size_t points = 0;
    for (const day::CrewDay& crew : plan.crews) {
        points += crew.drive_home_line.size();
        for (const day::PlannedStop& stop : crew.stops) {
            points += stop.drive_line.size();
        }
    }
    INFO(said.words);
    CHECK(said.code == 0);
    CHECK(said.words.find("Warning") == std::string::npos);
    CHECK(said.words.find("ERROR") == std::string::npos);
    CHECK(said.words.find("Feature Count: " + std::to_string(points)) != std::string::npos);
}
