// Lists of calls as text tables: what spreadsheets, exports and careless hands make of them.
#include <cmath>

#include "geocore/intake/calls.hpp"
#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/scratch.hpp"

using namespace nestround;
using namespace nestround::intake;
using Catch::Contains;
using nestround::tests::failure_of;
using nestround::tests::Scratch;

namespace {

CallMapping plain()
{
    CallMapping mapping;
    mapping.taxon = [](std::string_view name) -> std::optional<std::string> {
        if (name == "vulg" || name == "Vespula vulgaris") {
            return "vulg";
        }
        return std::nullopt;
    };
    return mapping;
}

CallBatch read(std::string_view text, const CallMapping& mapping = plain())
{
    const Scratch scratch;
    return read_calls(scratch.file("calls.csv", text), mapping);
}

/// A file of one row with the given column and cell besides what is needed.
CallBatch read_cell(const std::string& column, const std::string& cell)
{
    return read("lon,lat,received," + column + "\n9.5,47.1,2026-08-04,\"" + cell + "\"\n");
}

Error failure(std::string_view text, const CallMapping& mapping = plain())
{
    const Scratch scratch;
    const auto file = scratch.file("calls.csv", text);
    return failure_of([&] { return read_calls(file, mapping); });
}

}  // namespace

TEST_CASE("Calls, ReadsEveryColumn")
{
    const auto batch = read(
        "key,received,lon,lat,place,address,species,nest_kind,height_m,width_cm,length_cm,"
        "first_seen,entrance,near_door,allergic,insecticide,allowed_hours,ladder_permission,"
        "must_take,client_name,client_phone,not_after,not_before,note\n"
        "A1,2026-08-04,9.52,47.14,mill barn,\"Lane 3, Upper Mill\",Vespula vulgaris,aerial,4.5,35,"
        "40,2026-07-20,under the ridge,yes,no,1,14:00-18:00;08:00-12:00,given,true,"
        "Invented Person,000 123,2026-08-20,2026-08-05,\"says \"\"soon\"\"\"\n");
    REQUIRE(batch.refused.empty());
    REQUIRE(batch.rows.size() == 1);
    CHECK(batch.notes.empty());
    const auto& row = batch.rows[0];
    CHECK(row.row == 2);
    CHECK(row.flags.empty());
    const auto& [call, nest, site] = row.sheet;
    CHECK(site.place == LonLat{Longitude{9.52}, Latitude{47.14}});
    CHECK(site.label == "mill barn");
    CHECK(site.address == "Lane 3, Upper Mill");
    CHECK(nest.taxon == "vulg");
    CHECK(nest.kind == NestKind::Aerial);
    CHECK(nest.height->value() == 4.5);
    CHECK(nest.width->value() == Approx(0.35));
    CHECK(nest.length->value() == Approx(0.40));
    CHECK(nest.first_seen == *parse_day("2026-07-20"));
    CHECK(nest.entrance == "under the ridge");
    CHECK(nest.insecticide);
    CHECK(nest.season == 2026);
    CHECK(call.source_key == "A1");
    CHECK(call.received == *parse_day("2026-08-04"));
    CHECK(call.allowed ==
          std::vector{*parse_clock_span("08:00-12:00"), *parse_clock_span("14:00-18:00")});
    CHECK(call.not_before == *parse_day("2026-08-05"));
    CHECK(call.not_after == *parse_day("2026-08-20"));
    CHECK(call.ladder == LadderPermission::Given);
    CHECK(call.near_door);
    CHECK_FALSE(call.allergic);
    CHECK(call.must_take);
    CHECK(call.note == "says \"soon\"");
    REQUIRE(row.client);
    CHECK(row.client->name == "Invented Person");
    CHECK(row.client->phone == "000 123");
}

TEST_CASE("Calls, WhatIsNotSaidStaysUnknown")
{
    const auto batch = read("lon,lat,received,height_m,species\n9.5,47.1,2026-08-04,,unknown\n");
    REQUIRE(batch.rows.size() == 1);
    const auto& [call, nest, site] = batch.rows[0].sheet;
    CHECK_FALSE(nest.height);
    CHECK_FALSE(nest.width);
    CHECK_FALSE(nest.first_seen);
    CHECK(nest.taxon.empty());
    CHECK(nest.kind == NestKind::Unknown);
    CHECK(call.allowed.empty());
    CHECK(call.ladder == LadderPermission::Unknown);
    CHECK_FALSE(call.not_after);
    CHECK_FALSE(site.place_uncertainty);
    CHECK_FALSE(batch.rows[0].client);
}

TEST_CASE("Calls, UnitsFollowTheNameOfTheColumn")
{
    const auto metres = [](const std::string& column, const std::string& cell) {
        return read_cell(column, cell).rows.at(0).sheet.nest.height->value();
    };
    CHECK(metres("height_m", "3.6576") == Approx(3.6576));
    CHECK(metres("height_ft", "12") == Approx(3.6576));
    CHECK(metres("height_in", "144") == Approx(3.6576));
    CHECK(metres("height_cm", "365.76") == Approx(3.6576));
    CHECK(metres("height_m", "-1.5") == -1.5);

    const auto unnamed = failure("lon,lat,received,height\n9,47,2026-08-04,3\n");
    CHECK(unnamed.code == ErrorCode::InvalidInput);
    CHECK_THAT(unnamed.message, Contains("'height' names no unit") && Contains("height_ft"));
    CHECK_THAT(failure("lon,lat,received,height_m,height_ft\n9,47,2026-08-04,3,10\n").message,
               Contains("height_m") && Contains("height_ft"));
}

TEST_CASE("Calls, RefusesARowWithReasonAndTakesTheRest")
{
    const auto batch = read(
        "lon,lat,received,key\n"
        "9.5,47.1,2026-08-04,a\n"
        "9.5,97.1,2026-08-04,b\n"
        "9.5,47.1,2026-02-30,c\n"
        "9.5,47.1,,d\n"
        "9.5,,2026-08-04,e\n"
        "9.5,north,2026-08-04,f\n"
        "nan,47.1,2026-08-04,g\n"
        "inf,47.1,2026-08-04,h\n"
        "-35.5,147.1,2026-08-04,i\n"
        "9.6,47.2,2026-08-05,j\n");
    REQUIRE(batch.rows.size() == 2);
    CHECK(batch.rows[0].row == 2);
    CHECK(batch.rows[1].row == 11);
    REQUIRE(batch.refused.size() == 8);
    const std::vector<std::pair<std::size_t, std::string>> expected{
        {3, "not on Earth"}, {4, "not a date"},   {5, "no day"},       {6, "is empty"},
        {7, "not a number"}, {8, "not a number"}, {9, "not a number"}, {10, "not on Earth"}};
    for (std::size_t i = 0; i < expected.size(); ++i) {
        CAPTURE(batch.refused[i].text());
        CHECK(batch.refused[i].row == expected[i].first);
        CHECK_THAT(batch.refused[i].reason, Contains(expected[i].second));
        CHECK_FALSE(batch.refused[i].way_out.empty());
        CHECK_FALSE(batch.refused[i].column.empty());
    }
    CHECK_THAT(batch.refused[7].way_out, Contains("swapped"));
    CHECK_THAT(batch.refused[0].text(), Contains("row 3, column lon: "));
}

TEST_CASE("Calls, RefusesWhatACellMayNotSay")
{
    const std::vector<std::tuple<std::string, std::string, std::string>> bad{
        {"height_m", "61", "outside -2 to 60"},
        {"height_m", "-2.1", "outside"},
        {"height_ft", "200", "60.96 m is outside"},
        {"height_m", "4 m", "not a number"},
        {"height_m", "nan", "not a number"},
        {"height_m", "0x10", "not a number"},
        {"width_cm", "501", "outside"},
        {"width_cm", "0", "outside"},
        {"species", "griffin", "no species"},
        {"nest_kind", "cloud", "no kind"},
        {"near_door", "perhaps", "neither yes nor no"},
        {"allowed_hours", "8-12", "not a span"},
        {"allowed_hours", "12:00-08:00", "not a span"},
        {"allowed_hours", "08:00-12:00;11:00-13:00", "overlap"},
        {"ladder_permission", "later", "no answer"},
        {"first_seen", "04/08/2026", "not a date"},
        {"not_after", "2026-13-01", "not a date"},
        {"first_seen", "2026-08-04 about noon", "not a date"}};
    for (const auto& [column, cell, reason] : bad) {
        CAPTURE(column, cell);
        const auto batch = read_cell(column, cell);
        CHECK(batch.rows.empty());
        REQUIRE(batch.refused.size() == 1);
        CHECK(batch.refused[0].column == column);
        CHECK_THAT(batch.refused[0].reason, Contains(reason));
        CHECK_FALSE(batch.refused[0].way_out.empty());
    }
    const auto turned = read(
        "lon,lat,received,not_before,not_after\n9,47,2026-08-04,2026-08-20,"
        "2026-08-10\n");
    REQUIRE(turned.refused.size() == 1);
    CHECK(turned.refused[0].column == "not_after");
}

TEST_CASE("Calls, TakesTheUnusualAndFlagsIt")
{
    const auto high = read_cell("height_m", "40");
    REQUIRE(high.rows.size() == 1);
    REQUIRE(high.rows[0].flags.size() == 1);
    CHECK_THAT(high.rows[0].flags[0], Contains("40 m is unusually high"));
    CHECK(read_cell("height_m", "12").rows.at(0).flags.empty());
    CHECK(read_cell("width_cm", "200").rows.at(0).flags.size() == 1);
    CHECK(read_cell("first_seen", "2026-08-05").rows.at(0).flags.size() == 1);
    CHECK(read_cell("not_after", "2026-08-03").rows.at(0).flags.size() == 1);
}

TEST_CASE("Calls, UnderstandsYesAndNoInManyWords")
{
    for (const auto* word : {"yes", "Yes", "TRUE", "y", "1", " t "}) {
        CAPTURE(word);
        CHECK(read_cell("allergic", word).rows.at(0).sheet.call.allergic);
    }
    for (const auto* word : {"no", "NO", "false", "n", "0", "", "  "}) {
        CAPTURE(word);
        CHECK_FALSE(read_cell("allergic", word).rows.at(0).sheet.call.allergic);
    }
    CHECK(read_cell("ladder_permission", "no").rows.at(0).sheet.call.ladder ==
          LadderPermission::Refused);
    CHECK(read_cell("ladder_permission", "yes").rows.at(0).sheet.call.ladder ==
          LadderPermission::Given);
}

TEST_CASE("Calls, TheSameFileHasTheSameKeysWhateverItsNameAndDay")
{
    const std::string text =
        "lon,lat,received,species\n9.52,47.14,2026-08-04,vulg\n9.52,47.14,,vulg\n"
        "9.53,47.14,,\n";
    const Scratch scratch;
    auto mapping = plain();
    mapping.received = *parse_day("2026-08-10");
    const auto one = read_calls(scratch.file("monday.csv", text), mapping);
    mapping.received = *parse_day("2026-08-11");
    const auto two = read_calls(scratch.file("copy.csv", text), mapping);
    REQUIRE(one.rows.size() == 3);
    REQUIRE(two.rows.size() == 3);
    for (std::size_t i = 0; i < 3; ++i) {
        CHECK(one.rows[i].sheet.call.source_key == two.rows[i].sheet.call.source_key);
        CHECK_FALSE(one.rows[i].sheet.call.source_key.empty());
    }
    CHECK(one.rows[0].sheet.call.source_key != one.rows[1].sheet.call.source_key);
    CHECK(one.rows[1].sheet.call.source_key != one.rows[2].sheet.call.source_key);
    CHECK(one.rows[1].sheet.call.received == *parse_day("2026-08-10"));
}

TEST_CASE("Calls, ASecondRowWithTheSameKeyIsRefused")
{
    const auto keyed = read("key,lon,lat,received\nA,9,47,2026-08-04\nA,8,47,2026-08-05\n");
    CHECK(keyed.rows.size() == 1);
    REQUIRE(keyed.refused.size() == 1);
    CHECK_THAT(keyed.refused[0].text(), Contains("row 3, column key") && Contains("row 2"));
    const auto bare = read("lon,lat,received\n9,47,2026-08-04\n9,47,2026-08-04\n");
    CHECK(bare.rows.size() == 1);
    REQUIRE(bare.refused.size() == 1);
    CHECK_THAT(bare.refused[0].way_out, Contains("key"));
}

TEST_CASE("Calls, ColumnsMayHaveOtherNames")
{
    auto mapping = call_mapping({{"calls.columns.lon", "Länge"},
                                 {"calls.columns.lat", "Breite"},
                                 {"calls.columns.height_ft", "how high"},
                                 {"crews.people", "2"}});
    CHECK(mapping.columns.size() == 3);
    mapping.received = *parse_day("2026-08-04");
    const auto batch = read("Länge,Breite,How-High,lat\n9.5,47.1,10,here\n", mapping);
    REQUIRE(batch.rows.size() == 1);
    CHECK(batch.rows[0].sheet.nest.height->value() == Approx(3.048));
    CHECK(batch.rows[0].sheet.site.place.lat.value() == 47.1);
    REQUIRE(batch.notes.size() == 1);
    CHECK_THAT(batch.notes[0], Contains("lat"));

    const auto absent = failure("lon,lat,received\n9,47,2026-08-04\n", mapping);
    CHECK_THAT(absent.message, Contains("Länge") || Contains("Breite") || Contains("how high"));
    CHECK_THAT(absent.message, Contains("lon, lat, received"));
    mapping.columns = {{"hight_m", "h"}};
    CHECK_THAT(failure("lon,lat,h\n9,47,2\n", mapping).message, Contains("'hight_m'"));
}

TEST_CASE("Calls, SpreadsheetHabitsAreUnderstood")
{
    SECTION("byte order mark and CRLF")
    {
        const auto batch = read("\xef\xbb\xbflon,lat,received\r\n9.5,47.1,2026-08-04\r\n\r\n");
        REQUIRE(batch.rows.size() == 1);
        CHECK(batch.refused.empty());
    }
    SECTION("semicolons and decimal commas")
    {
        const auto batch = read("lon;lat;received;note\n9,52;47,14;2026-08-04;a, b\n");
        REQUIRE(batch.rows.size() == 1);
        CHECK(batch.rows[0].sheet.site.place == LonLat{Longitude{9.52}, Latitude{47.14}});
        CHECK(batch.rows[0].sheet.call.note == "a, b");
    }
    SECTION("tabs") { CHECK(read("lon\tlat\treceived\n9.5\t47.1\t2026-08-04\n").rows.size() == 1); }
    SECTION("Latin-1")
    {
        const auto batch = read("lon,lat,received,place\n9.5,47.1,2026-08-04,M\xfchle \x96 Tor\n");
        REQUIRE(batch.rows.size() == 1);
        CHECK(batch.rows[0].sheet.site.label == "Mühle – Tor");
        REQUIRE(batch.notes.size() == 1);
        CHECK_THAT(batch.notes[0], Contains("not UTF-8"));
    }
    SECTION("line ends inside a quoted cell keep the count of lines")
    {
        const auto batch = read(
            "lon,lat,received,note\n9.5,47.1,2026-08-04,\"two\r\nlines\"\n9.5,97,2026-08-04,\n");
        REQUIRE(batch.rows.size() == 1);
        CHECK(batch.rows[0].sheet.call.note == "two\r\nlines");
        REQUIRE(batch.refused.size() == 1);
        CHECK(batch.refused[0].row == 4);
    }
    SECTION("an inch sign is no quote")
    {
        CHECK(read("lon,lat,received,note\n9.5,47.1,2026-08-04,6\" wide\n")
                  .rows.at(0)
                  .sheet.call.note == "6\" wide");
    }
}

TEST_CASE("Calls, DamagedLinesAreRefusedByNumber")
{
    const auto batch = read(
        "lon,lat,received,note\n"
        "9.5,47.1,2026-08-04,a,b\n"
        "9.5,47.1\n"
        "9.5,47.1,2026-08-04,\"x\" y\n"
        "9.6,47.1,2026-08-04,fine\n"
        "9.7,47.1,2026-08-04," +
        std::string(70000, 'x') +
        "\n"
        "9.5,47.1,2026-08-04,\"open\n9.5,47.1,2026-08-04,\n");
    CHECK(batch.rows.size() == 1);
    REQUIRE(batch.refused.size() == 5);
    CHECK_THAT(batch.refused[0].text(), Contains("row 2: has 5 cells where the header has 4"));
    CHECK_THAT(batch.refused[1].text(), Contains("row 3: has 2 cells"));
    CHECK_THAT(batch.refused[2].text(), Contains("row 4: text follows the closing quote"));
    CHECK_THAT(batch.refused[3].text(), Contains("row 6: cell 4 is longer"));
    CHECK_THAT(batch.refused[4].text(), Contains("row 7: a quote opened on line 7"));
}

TEST_CASE("Calls, AFileThatCannotBeReadSaysWhyInOneLine")
{
    CHECK_THAT(failure("lon,received\n9,2026-08-04\n").message,
               Contains("no column lat") && Contains("it has lon, received"));
    CHECK_THAT(failure("lon,lat,place\n9,47,x\n").message, Contains("no column received"));
    CHECK_THAT(failure("lon,lat,Lon,received\n9,47,9,2026-08-04\n").message,
               Contains("'Lon' stands twice"));
    CHECK_THAT(failure("").message, Contains("is empty"));
    CHECK_THAT(failure(" \r\n\n").message, Contains("is empty"));
    CHECK_THAT(failure(std::string("lon,lat\0x", 9)).message, Contains("not text"));
    CHECK_THAT(failure("\xff\xfel\0o\0n\0").message, Contains("UTF-16"));
    CHECK_THAT(failure("\"lon,lat\n").message, Contains("never closed"));
    CHECK_THAT(failure("lon,lat,received\n512345,5212345,2026-08-04\n").message,
               Contains("no degrees") && Contains("512345") && Contains("EPSG"));

    const Scratch scratch;
    const auto missing = failure_of([&] { return read_calls(scratch.path("none.csv"), plain()); });
    CHECK(missing.code == ErrorCode::NotFound);
    CHECK_THAT(missing.where, Contains("none.csv"));
    CHECK_THAT(failure_of([&] { return read_calls(scratch.path(""), plain()); }).message,
               Contains("is a folder"));
}

TEST_CASE("Calls, AHeaderWithoutRowsIsNoError")
{
    const auto batch = read("lon,lat,received\n");
    CHECK(batch.rows.empty());
    CHECK(batch.refused.empty());
    REQUIRE(batch.notes.size() == 1);
    CHECK_THAT(batch.notes[0], Contains("no rows"));
}

TEST_CASE("Calls, ColumnsInAnotherSystemAreTransformed")
{
    auto mapping = plain();
    mapping.crs = "EPSG:32632";
    mapping.columns = {{"lon", "east"}, {"lat", "north"}};
    // On the central meridian of zone 32, on the equator: easting 500 km, northing 0.
    const auto batch = read("east,north,received\n500000,0,2026-08-04\n", mapping);
    REQUIRE(batch.rows.size() == 1);
    CHECK(batch.rows[0].sheet.site.place.lon.value() == Approx(9).margin(1e-9));
    CHECK(batch.rows[0].sheet.site.place.lat.value() == Approx(0).margin(1e-9));
    mapping.crs = "EPSG:nonsense";
    CHECK_THAT(failure("east,north,received\n5,0,2026-08-04\n", mapping).message,
               Contains("'EPSG:nonsense' is no coordinate system"));
}
