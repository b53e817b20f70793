#include "geocore/intake/traffic_file.hpp"

#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;

TEST_CASE("TrafficFile, ReadsATableAndNamesWhatIsWrong")
{
    const test::ScratchFolder folder;
    const auto read = [&](const char* text) {
        return intake::read_traffic(folder.write("traffic.csv", text));
    };
    const auto table = read(
        "days,from,to,class,factor,source,mark\n"
        "Mo-Fr,07:00,09:00,,1.25,own guess,assumption\n"
        ",16:00,24:00,primary,1.5,,\n");
    REQUIRE(table.rows.size() == 2);
    CHECK(table.rows[0].days == 0x1f);
    CHECK(table.rows[0].from_min == 420);
    CHECK(table.rows[0].to_min == 540);
    CHECK_FALSE(table.rows[0].road_class);
    CHECK(table.rows[0].factor == 1.25);
    CHECK(table.rows[1].days == 0x7f);
    CHECK(table.rows[1].to_min == 1440);
    CHECK(table.rows[1].road_class == roads::RoadClass::Primary);

    const auto fault = [&](const char* text) -> std::string {
        try {
            (void)read(text);
        } catch (const Failure& failure) {
            CHECK(failure.error().code == ErrorCode::InvalidInput);
            return failure.error().text();
        }
        return "none";
    };
    const auto names = [&](const char* text, const char* part) {
        CAPTURE(text, fault(text));
        CHECK(fault(text).find(part) != std::string::npos);
    };
    names("from,to\n07:00,09:00\n", "'factor' is missing");
    names("from,to,factor,speed\n07:00,09:00,2,1\n", "'speed' is no column");
    names("from,to,factor\n09:00,07:00,2\n", "row 2, column 'to'");
    names("from,to,factor\n7,09:00,2\n", "column 'from'");
    names("from,to,factor\n07:00,09:00,0\n", "column 'factor'");
    names("from,to,factor\n07:00,09:00,21\n", "column 'factor'");
    names("days,from,to,factor\nMon,07:00,09:00,2\n", "column 'days'");
    names("class,from,to,factor\nalley,07:00,09:00,2\n", "column 'class'");
}
