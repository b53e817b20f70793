// What partners send: columns, places, dates and counts, in several formats and systems.
#include <fmt/format.h>

#include <cmath>

#include "geocore/intake/darwin_archive.hpp"
#include "geocore/intake/partner_layer.hpp"
#include "geocore/place/geodesic.hpp"
#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/layer_maker.hpp"
#include "tests/geocore/intake/scratch.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::tests;
using Catch::Contains;

namespace {

Day day(const char* text) { return value_or_throw(parse_day(text)); }

PartnerMapping today()
{
    PartnerMapping mapping;
    mapping.on = day("2026-09-01");
    return mapping;
}

PartnerBatch read(const std::filesystem::path& file, PartnerMapping mapping = today())
{
    return read_partner_layer(file, mapping);
}

PartnerBatch read_csv(const std::string& text)
{
    const Scratch scratch;
    return read(scratch.file("a.csv", text));
}

std::string only_fault(const PartnerBatch& batch)
{
    REQUIRE(batch.refused.size() == 1);
    return batch.refused.front().text();
}

const std::vector<std::string> kColumns{"nest_id", "wasp", "seen_on", "accuracy_m", "remarks"};
const std::vector<std::string> kCells{"C-1", "Vespula vulgaris", "2026-08-04", "25", "by a shed"};

void check_one(const PartnerBatch& batch, const char* crs)
{
    INFO(crs);
    REQUIRE(batch.rows.size() == 1);
    CHECK(batch.crs == crs);
    CHECK(batch.sha256.size() == 64);
    const auto& row = batch.rows.front();
    CHECK(row.place.lon.value() == Approx(-77.0123).margin(1e-7));
    CHECK(row.place.lat.value() == Approx(41.1357).margin(1e-7));
    CHECK(row.source_key == "C-1");
    CHECK(row.taxon_as_sent == "Vespula vulgaris");
    CHECK(row.first == day("2026-08-04"));
    CHECK(row.uncertainty == Metres{25});
    CHECK(row.form == PlaceForm::Point);
    CHECK(row.row >= 1);
    CHECK(row.note.empty());
}

}  // namespace

TEST_CASE("PartnerLayer, TheSameNestComesOutOfEachFormatAndSystem")
{
    const Scratch scratch;
    const auto [x, y] = projected(26918, -77.0123, 41.1357);
    // EPSG:4326 has latitude first, whatever the file holds.
    struct Case {
        const char* name;
        const char* format;
        int epsg;
        double x, y;
    };
    for (const auto& one :
         {Case{"a.gpkg", "GPKG", 26918, x, y}, Case{"b.gpkg", "GPKG", 4326, -77.0123, 41.1357},
          Case{"a.shp", "ESRI Shapefile", 26918, x, y}, Case{"a.fgb", "FlatGeobuf", 26918, x, y},
          Case{"a.geojson", "GeoJSON", 4326, -77.0123, 41.1357}}) {
        make_layer(scratch.path(one.name), one.format, one.epsg, kColumns,
                   {{std::pair{one.x, one.y}, kCells}});
        check_one(read(scratch.path(one.name)), fmt::format("EPSG:{}", one.epsg).c_str());
    }
    const auto waypoint = read(scratch.file(
        "a.gpx",
        "<gpx version='1.1' creator='x' xmlns='http://www.topografix.com/GPX/1/1'><wpt "
        "lat='41.1357' lon='-77.0123'><time>2026-08-04T10:00:00Z</time></wpt></gpx>"));
    REQUIRE(waypoint.rows.size() == 1);
    CHECK(waypoint.rows.front().place.lat.value() == Approx(41.1357));
    check_one(read(scratch.file("a.csv",
                                "nest id,Wasp,Seen on,accuracy_m,longitude,latitude\n"
                                "C-1,Vespula vulgaris,2026-08-04,25,-77.0123,41.1357\n")),
              "EPSG:4326");
}

TEST_CASE("PartnerLayer, ASystemThatNobodyNamesIsAskedFor")
{
    const Scratch scratch;
    const auto [x, y] = projected(26918, -77.0123, 41.1357);
    make_layer(scratch.path("a.gpkg"), "GPKG", 0, kColumns, {{std::pair{x, y}, kCells}});
    const auto error = failure_of([&] { return read(scratch.path("a.gpkg")); });
    CHECK_THAT(error.text(), Contains("--crs"));
    auto mapping = today();
    mapping.crs = "EPSG:26918";
    check_one(read(scratch.path("a.gpkg"), mapping), "EPSG:26918");
    const auto table =
        scratch.file("a.csv", fmt::format("nest_id,wasp,seen_on,accuracy_m,easting,northing\n"
                                          "C-1,Vespula vulgaris,2026-08-04,25,{},{}\n",
                                          x, y));
    CHECK_THAT(failure_of([&] { return read(table); }).text(), Contains("--crs"));
    const auto placed = read(table, mapping);
    REQUIRE(placed.rows.size() == 1);
    CHECK(placed.rows.front().place.lon.value() == Approx(-77.0123).margin(1e-7));
    mapping.crs = "no such thing";
    CHECK_THAT(failure_of([&] { return read(table, mapping); }).text(), Contains("EPSG:32632"));
}

TEST_CASE("PartnerLayer, AnAreaBecomesItsMiddleAndTheWayToItsFarthestCorner")
{
    const Scratch scratch;
    const auto batch = read(scratch.file(
        "a.geojson",
        R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"nests":4},
            "geometry":{"type":"Polygon","coordinates":[[[-77,41],[-76.98,41],[-76.98,41.01],
            [-77,41.01],[-77,41]]]}},
            {"type":"Feature","properties":{},"geometry":{"type":"LineString",
            "coordinates":[[0,0],[1,1]]}},
            {"type":"Feature","properties":{},"geometry":null}]})"));
    REQUIRE(batch.rows.size() == 1);
    const auto& row = batch.rows.front();
    CHECK(row.form == PlaceForm::Cell);
    CHECK(row.place.lon.value() == Approx(-76.99));
    CHECK(row.place.lat.value() == Approx(41.005));
    const auto corner = place::geodesic_distance(row.place, {Longitude{-77}, Latitude{41}}).value();
    CHECK(row.uncertainty->value() == std::ceil(corner));
    CHECK(row.count == 4);
    REQUIRE(batch.refused.size() == 2);
    CHECK_THAT(batch.refused[0].text(), Contains("row 2") && Contains("neither a point nor"));
    CHECK_THAT(batch.refused[1].text(), Contains("row 3") && Contains("has no place"));
}

TEST_CASE("PartnerLayer, DatesStayAsCoarseAsTheyWereSent")
{
    const auto same = [](const char* words, const char* first, const char* last) {
        const auto span = day_span(words);
        CAPTURE(words);
        REQUIRE(span);
        CHECK(format_day(span->first) == first);
        CHECK(format_day(span->last) == last);
    };
    same("2026-08-04", "2026-08-04", "2026-08-04");
    same("2026-08-04T13:30:00Z", "2026-08-04", "2026-08-04");
    same("2026/08/04", "2026-08-04", "2026-08-04");
    same("2024-02", "2024-02-01", "2024-02-29");
    same("2026", "2026-01-01", "2026-12-31");
    same("2026-06/2026-08", "2026-06-01", "2026-08-31");
    same("2026-08-01/2026-08-04", "2026-08-01", "2026-08-04");
    for (const auto* words : {"04/08/2026", "20260804", "2026-13", "2026-02-30", "yesterday", "/",
                              "2026-08/2026-06", "2026-08-04/", "１９９９"}) {
        CAPTURE(words);
        CHECK_FALSE(day_span(words));
    }
    const auto batch = read_csv(
        "id,lon,lat,date,year,month,day\na,-77,41,,2026,7,\nb,-77,41,,2026,7,9\nc,-77,41,2026-08,,,"
        "\nd,-77,41,,,,\n");
    REQUIRE(batch.rows.size() == 4);
    CHECK(batch.rows[0].date_as_sent == "2026-07");
    CHECK(batch.rows[1].first == day("2026-07-09"));
    CHECK(batch.rows[2].last == day("2026-08-31"));
    CHECK_FALSE(batch.rows[3].first);
}

TEST_CASE("PartnerLayer, ARefusedRowIsNamedByNumberAndField")
{
    const auto fault = [](const std::string& cells) {
        return only_fault(read_csv("id,lon,lat,date,uncertainty_m,season,nests\n" + cells + "\n"));
    };
    CHECK_THAT(fault("a,-77,41,2026-10-01,,,"),
               Contains("row 2, column date") && Contains("after"));
    CHECK_THAT(fault("a,-77,41,04/08/2026,,,"), Contains("column date"));
    CHECK_THAT(fault("a,-77,91,2026-08-01,,,"), Contains("no place on Earth"));
    CHECK_THAT(fault("a,nan,41,2026-08-01,,,"), Contains("lon, lat"));
    CHECK_THAT(fault("a,inf,41,2026-08-01,,,"), Contains("lon, lat"));
    CHECK_THAT(fault("a,1e999,41,2026-08-01,,,"), Contains("lon, lat"));
    CHECK_THAT(fault("a,,,2026-08-01,,,"), Contains("has no place"));
    CHECK_THAT(fault("a,-77,41,2026-08-01,-5,,"), Contains("column uncertainty_m"));
    CHECK_THAT(fault("a,-77,41,2026-08-01,1e9,,"), Contains("column uncertainty_m"));
    CHECK_THAT(fault("a,-77,41,2026-08-01,,2099,"), Contains("column season"));
    CHECK_THAT(fault("a,-77,41,2026-08-01,,12,"), Contains("column season"));
    CHECK_THAT(fault("a,-77,41,2026-08-01,,,0"), Contains("column nests"));
    CHECK_THAT(fault("a,-77,41,2026-08-01,,,1.5"), Contains("column nests"));
    CHECK_THAT(fault(std::string(600, 'k') + ",-77,41,2026-08-01,,,"), Contains("column id"));
    const auto twice = read_csv("id,lon,lat\na,-77,41\na,-78,41\n");
    CHECK(twice.rows.size() == 1);
    CHECK_THAT(only_fault(twice), Contains("row 3, column id") && Contains("row 2"));
}

TEST_CASE("PartnerLayer, UncertaintyIsNeverMadeUp")
{
    const auto batch =
        read_csv("id,lon,lat,coordinateUncertaintyInMeters\na,-77,41,\nb,-77,41,0\nc,-77,41,30\n");
    REQUIRE(batch.rows.size() == 3);
    CHECK_FALSE(batch.rows[0].uncertainty);
    CHECK_FALSE(batch.rows[1].uncertainty);
    CHECK_THAT(batch.rows[1].note, Contains("not known"));
    CHECK(batch.rows[2].uncertainty == Metres{30});
    CHECK(read_csv("lon,lat,uncertainty_ft\n-77,41,100\n").rows.front().uncertainty ==
          Metres{30.48});
    const auto vague = read_csv("lon,lat,accuracy\n-77,41,12\n");
    CHECK_FALSE(vague.rows.front().uncertainty);
    REQUIRE_FALSE(vague.notes.empty());
    CHECK_THAT(vague.notes.front(), Contains("--column uncertainty_m=accuracy"));
}

TEST_CASE("PartnerLayer, AColumnIsMappedByHand")
{
    const Scratch scratch;
    const auto file = scratch.file("a.csv", "id,lon,lat,beast\na,-77,41,Vespula\n");
    CHECK(read(file).rows.front().taxon_as_sent.empty());
    auto mapping = today();
    mapping.columns = {{"taxon", "beast"}};
    CHECK(read(file, mapping).rows.front().taxon_as_sent == "Vespula");
    mapping.columns = {{"taxon", "fish"}};
    CHECK_THAT(failure_of([&] { return read(file, mapping); }).text(),
               Contains("no column 'fish'") && Contains("beast"));
    mapping.columns = {{"phone", "beast"}};
    CHECK_THAT(failure_of([&] { return read(file, mapping); }).text(), Contains("known are key"));
}

TEST_CASE("PartnerLayer, DarwinCoreTermsAreUnderstood")
{
    const auto batch = read_csv(
        "occurrenceID\tscientificName\teventDate\tdecimalLatitude\tdecimalLongitude\t"
        "geodeticDatum\tcoordinateUncertaintyInMeters\toccurrenceStatus\torganismQuantity\t"
        "organismQuantityType\tdataGeneralizations\tfootprintWKT\tindividualCount\n"
        "u:1\tVespula vulgaris (Linnaeus, 1758)\t2026-07\t41\t-77\tEPSG:4326\t1414\tdetected\t3\t"
        "nests\tmoved to a grid\t\t900\n"
        "u:2\tVespula vulgaris\t2026-07\t41\t-77\tWGS84\t\tabsent\t\t\t\t\t\n"
        "u:3\tVespula vulgaris\t2026-07\t41\t-77\tmars 2000\t\t\t\t\t\t\t\n"
        "u:4\tVespula vulgaris\t2026-07\t41\t-77\tNAD27\t10\t\t12\twasps\t\t\t\n"
        "u:5\tVespula vulgaris\t2026-07\t\t\t\t\t\t\t\t\tPOLYGON ((0 0, 1 0, 1 1, 0 1, 0 0))\t\n");
    REQUIRE(batch.rows.size() == 3);
    CHECK(batch.rows[0].form == PlaceForm::Cell);
    CHECK(batch.rows[0].uncertainty == Metres{1414});
    CHECK(batch.rows[0].count == 3);
    CHECK_FALSE(batch.rows[1].count);  // wasps are no nests
    // NAD27 lies some tens of metres from WGS 84 there.
    const auto moved =
        place::geodesic_distance(batch.rows[1].place, {Longitude{-77}, Latitude{41}});
    CHECK(moved.value() > 5);
    CHECK(moved.value() < 60);
    CHECK(batch.rows[2].form == PlaceForm::Cell);
    CHECK(batch.rows[2].place.lat.value() == Approx(0.5));
    REQUIRE(batch.refused.size() == 2);
    CHECK_THAT(batch.refused[0].text(), Contains("no nest was there"));
    CHECK_THAT(batch.refused[1].text(), Contains("mars 2000"));
}

TEST_CASE("PartnerLayer, AnArchiveIsReadAsItsMetaSays")
{
    constexpr const char* kMeta =
        R"(<archive xmlns="http://rs.tdwg.org/dwc/text/"><extension rowType="x/Multimedia">
           <files><location>media.txt</location></files></extension>
           <core rowType="http://rs.tdwg.org/dwc/terms/Occurrence" fieldsTerminatedBy=";"
           fieldsEnclosedBy='"' ignoreHeaderLines="0"><files><location>occ.csv</location></files>
           <id index="2"/><field index="2" term="http://rs.tdwg.org/dwc/terms/occurrenceID"/>
           <field index="0" term="http://rs.tdwg.org/dwc/terms/decimalLatitude"/>
           <field default="EPSG:4326" term="http://rs.tdwg.org/dwc/terms/geodeticDatum"/>
           </core></archive>)";
    const auto meta = read_archive_meta(kMeta, "a.zip");
    CHECK(meta.location == "occ.csv");
    CHECK(meta.separator == ';');
    const auto grid = archive_grid("41;x;\"a;\"\"b\"\n42;y;c\nshort\n", meta, "a.zip");
    REQUIRE(grid.rows.size() == 2);
    CHECK(grid.header ==
          std::vector<std::string>{"occurrenceID", "decimalLatitude", "geodeticDatum"});
    CHECK(grid.rows[0].cells == std::vector<std::string>{"a;\"b", "41", "EPSG:4326"});
    REQUIRE(grid.refused.size() == 1);
    CHECK(grid.refused.front().row == 3);
    for (const auto* bad : {"<archive>", "<archive/>", "",
                            R"(<a><core rowType="Occurrence"><files><location>../../etc/passwd
                               </location></files></core></a>)",
                            R"(<a><core rowType="Occurrence"><files><location>http://x/y</location>
                               </files></core></a>)",
                            R"(<a><core rowType="Occurrence"><files><location>o.txt</location>
                               </files><field index="1999999999" term="x"/></core></a>)"}) {
        CAPTURE(bad);
        CHECK_THAT(failure_of([&] { return read_archive_meta(bad, "a.zip"); }).text(),
                   Contains("meta.xml"));
    }
}
