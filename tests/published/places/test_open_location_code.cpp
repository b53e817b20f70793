// Every row of the standard's own test vectors; see tests/data/open-location-code/README.md.
#include "geocore/place/open_location_code.hpp"

#include <algorithm>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::place;

namespace {

using Row = std::vector<std::string>;

std::vector<Row> rows_of(const std::string& name)
{
    std::ifstream file{std::string{NESTROUND_SOURCE_DIR} + "/tests/data/open-location-code/" +
                       name};
    std::vector<Row> rows;
    for (std::string line; std::getline(file, line);) {
        std::istringstream cells{line};
        Row row;
        for (std::string cell; std::getline(cells, cell, ',');) {
            row.push_back(cell);
        }
        rows.push_back(row);
    }
    return rows;
}

LonLat place_of(const std::string& lat, const std::string& lon)
{
    return {Longitude{std::stod(lon)}, Latitude{std::stod(lat)}};
}

std::string capitals(std::string text)
{
    std::transform(text.begin(), text.end(), text.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return text;
}

}  // namespace

TEST_CASE("OpenLocationCode, EncodesTheStandardsVectors")
{
    const auto rows = rows_of("encoding.csv");
    REQUIRE(rows.size() == 101);
    for (const auto& row : rows) {
        CAPTURE(row);
        const auto code = encode_plus_code(place_of(row[0], row[1]), std::stoi(row[2]));
        REQUIRE(code);
        CHECK(*code == row[3]);
    }
}

TEST_CASE("OpenLocationCode, DecodesTheStandardsVectors")
{
    const auto rows = rows_of("decoding.csv");
    REQUIRE(rows.size() == 20);
    for (const auto& row : rows) {
        CAPTURE(row);
        const auto area = decode_plus_code(row[0]);
        REQUIRE(area);
        CHECK(area->digits == std::stoi(row[1]));
        CHECK(area->south == Approx(std::stod(row[2])).margin(1e-9));
        CHECK(area->west == Approx(std::stod(row[3])).margin(1e-9));
        CHECK(area->north == Approx(std::stod(row[4])).margin(1e-9));
        CHECK(area->east == Approx(std::stod(row[5])).margin(1e-9));
    }
}

TEST_CASE("OpenLocationCode, ShortensAndRecoversTheStandardsVectors")
{
    const auto rows = rows_of("short_codes.csv");
    REQUIRE(rows.size() == 14);
    for (const auto& row : rows) {
        CAPTURE(row);
        const auto near = place_of(row[1], row[2]);
        if (row[4] != "R") {
            CHECK(shorten_plus_code(row[0], near).value() == row[3]);
        }
        if (row[4] != "S") {
            CHECK(recover_plus_code(row[3], near).value() == row[0]);
        }
    }
}

TEST_CASE("OpenLocationCode, KnowsWhichOfTheStandardsVectorsAreCodes")
{
    const auto rows = rows_of("validity.csv");
    REQUIRE(rows.size() == 23);
    for (const auto& row : rows) {
        CAPTURE(row);
        const auto kind = plus_code_kind(row[0]);
        CHECK((kind != PlusCode::None) == (row[1] == "true"));
        CHECK((kind == PlusCode::Short) == (row[2] == "true"));
        CHECK((kind == PlusCode::Full) == (row[3] == "true"));
        CHECK(plus_code_kind(capitals(row[0])) == kind);
    }
}
