// Read back by GDAL's own tools, in processes of their own.
#include "planner/sheets/density_file.hpp"

#include <fmt/format.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/density_sample.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using Catch::Contains;
using testing::run_shell;

TEST_CASE("DensityFile_CellsAreAValidGeoPackage")
{
    const testing::ScratchFolder folder;
    const auto map = testing::density_sample();
    const auto path = folder.file("cells.gpkg");
    sheets::write_density_cells(map, path);
    const auto valid =
        run_shell(fmt::format("/usr/bin/python3 -m osgeo_utils.samples.validate_gpkg '{}'", path));
    INFO(valid.words);
    CHECK(valid.code == 0);
    const auto sums = run_shell(fmt::format(
        "ogrinfo -q -sql \"SELECT SUM(nests) AS n, SUM(known) AS k FROM nest_density\" '{}'",
        path));
    CHECK_THAT(sums.words, Contains("n (Integer) = 12") && Contains("k (Integer) = 20"));
    const auto each = run_shell(fmt::format(
        "ogrinfo -q -sql \"SELECT SUM(known) AS k FROM nest_density_by_season WHERE first_season = "
        "2026\" '{}'",
        path));
    CHECK_THAT(each.words, Contains("k (Integer) = 10"));
    CHECK_THROWS_WITH(sheets::write_density_cells(map, path), Contains("is there already"));
}

TEST_CASE("DensityFile_TheSurfaceLiesWhereTheNestsAre")
{
    const testing::ScratchFolder folder;
    const auto map = testing::density_sample();
    const auto path = folder.file("surface.tif");
    sheets::write_density_raster(map, path);
    const auto valid = run_shell(fmt::format(
        "/usr/bin/python3 -m osgeo_utils.samples.validate_cloud_optimized_geotiff '{}'", path));
    INFO(valid.words);
    CHECK(valid.code == 0);
    // A cell's figure, found by PROJ's own way from the ellipsoid to the raster's plane.
    const std::size_t row = 25;
    const std::size_t column = 5;
    const auto at = map.plane.earth(map.surface.grid.middle(column, row));
    const auto said =
        run_shell(fmt::format("gdallocationinfo -valonly -wgs84 -b 1 '{}' {:.10f} {:.10f}", path,
                              at.lon.value(), at.lat.value()));
    REQUIRE(said.code == 0);
    CHECK(std::stod(said.words) ==
          Approx(map.surface.per_km2[row * map.surface.grid.columns + column]).epsilon(1e-5));
    CHECK(std::stod(said.words) > 0);
}

TEST_CASE("DensityFile_NamesAreCheckedFirst")
{
    CHECK_THROWS_WITH(sheets::check_density_names("x.shp", ""), Contains(".gpkg"));
    CHECK_THROWS_WITH(sheets::check_density_names("", "x.png"), Contains(".tif"));
    CHECK_NOTHROW(sheets::check_density_names("", ""));
    const testing::ScratchFolder folder;
    CHECK_THROWS_AS(
        sheets::write_density_raster(testing::density_sample(), folder.file("no/such/folder.tif")),
        Failure);
}
