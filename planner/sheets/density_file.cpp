#include "planner/sheets/density_file.hpp"

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <limits>
#include <memory>

#include "geocore/base/error.hpp"
#include "planner/sheets/density_text.hpp"
#include "planner/sheets/gdal_memory.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::sheets {
namespace {

constexpr int kPartsOfASide = 8;

struct DropDataset {
    void operator()(GDALDataset* file) const { GDALClose(file); }
};
using File = std::unique_ptr<GDALDataset, DropDataset>;

std::unique_ptr<OGRPolygon> hexagon(const density::DensityMap& map, density::CellKey key)
{
    auto polygon = std::make_unique<OGRPolygon>();
    auto ring = std::make_unique<OGRLinearRing>();
    const auto corners = map.hexagons.corners(key);
    for (std::size_t i = 0; i < corners.size(); ++i) {
        const auto& a = corners[i];
        const auto& b = corners[(i + 1) % corners.size()];
        for (int part = 0; part < kPartsOfASide; ++part) {
            const double along = double(part) / kPartsOfASide;
            const auto at = map.plane.earth(
                {a.east + (b.east - a.east) * along, a.north + (b.north - a.north) * along});
            ring->addPoint(at.lon.value(), at.lat.value());
        }
    }
    ring->closeRings();
    polygon->addRingDirectly(ring.release());
    return polygon;
}

struct Column {
    const char* name;
    OGRFieldType type;
    const char* meaning;
};

constexpr Column kColumns[]{
    {"cell", OFTString, "the cell's name: two whole numbers counted from the map's middle"},
    {"species", OFTString, "which nests are counted"},
    {"first_season", OFTInteger, "year"},
    {"last_season", OFTInteger, "year"},
    {"nests", OFTInteger, "nests of these species that became known"},
    {"known", OFTInteger, "nests of all kinds that became known: how much was searched"},
    {"searched_km2", OFTReal, "land of the cell that was searched"},
    {"per_km2", OFTReal, "nests a square kilometre searched and season"},
    {"per_km2_low", OFTReal, "lower bound of the 80 % interval"},
    {"per_km2_high", OFTReal, "upper bound of the 80 % interval"},
    {"share", OFTReal, "of these species among all known"},
    {"share_low", OFTReal, "lower bound of the 80 % interval"},
    {"share_high", OFTReal, "upper bound of the 80 % interval"},
};

void add_cells(OGRLayer& layer, const density::DensityMap& map,
               const std::vector<density::CountedCell>& cells, int first, int last,
               const std::string& path)
{
    for (const auto& cell : cells) {
        OGRFeature feature{layer.GetLayerDefn()};
        feature.SetField("cell", fmt::format("{},{}", cell.key.q, cell.key.r).c_str());
        feature.SetField("species", map.what.c_str());
        feature.SetField("first_season", first);
        feature.SetField("last_season", last);
        feature.SetField("nests", cell.nests);
        feature.SetField("known", cell.known);
        feature.SetField("searched_km2", cell.searched_m2 / 1e6);
        if (cell.searched_m2 > 0) {
            feature.SetField("per_km2", cell.per_km2.middle);
            feature.SetField("per_km2_low", cell.per_km2.low);
            feature.SetField("per_km2_high", cell.per_km2.high);
        }
        if (cell.known > 0) {
            feature.SetField("share", cell.share.middle);
            feature.SetField("share_low", cell.share.low);
            feature.SetField("share_high", cell.share.high);
        }
        feature.SetGeometryDirectly(hexagon(map, cell.key).release());
        if (layer.CreateFeature(&feature) != OGRERR_NONE) {
            refuse_output(path);
        }
    }
}

OGRLayer& new_layer(GDALDataset& file, const char* name, const std::string& title,
                    const std::string& path)
{
    OGRSpatialReference wgs84;
    wgs84.importFromEPSG(4326);
    wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    CPLStringList options;
    options.SetNameValue("IDENTIFIER", title.c_str());
    options.SetNameValue("DESCRIPTION", density_caution().c_str());
    auto* layer = file.CreateLayer(name, &wgs84, wkbPolygon, options.List());
    if (layer == nullptr) {
        refuse_output(path);
    }
    for (const auto& column : kColumns) {
        OGRFieldDefn field{column.name, column.type};
        field.SetAlternativeName(column.meaning);
        if (layer->CreateField(&field) != OGRERR_NONE) {
            refuse_output(path);
        }
    }
    return *layer;
}

std::string plane_system(LonLat middle)
{
    // The conic has no cone at the equator; there it is the cylinder.
    if (std::abs(middle.lat.value()) < 1e-8) {
        return fmt::format("+proj=cea +lat_ts=0 +lon_0={:.12g} +datum=WGS84 +units=m",
                           middle.lon.value());
    }
    return fmt::format(
        "+proj=aea +lat_1={0:.12g} +lat_2={0:.12g} +lat_0={0:.12g} +lon_0={1:.12g} +datum=WGS84 "
        "+units=m",
        middle.lat.value(), middle.lon.value());
}

}  // namespace

void check_density_names(const std::string& cells, const std::string& raster)
{
    if (!cells.empty()) {
        if (!cells.ends_with(".gpkg")) {
            throw Failure{ErrorCode::BadUsage, "cells go to a file that ends in .gpkg", cells};
        }
        refuse_present(cells);
    }
    if (!raster.empty() && !raster.ends_with(".tif") && !raster.ends_with(".tiff")) {
        throw Failure{ErrorCode::BadUsage, "the surface goes to a file that ends in .tif", raster};
    }
}

void write_density_cells(const density::DensityMap& map, const std::string& path)
{
    check_density_names(path, {});
    const GdalSilence quiet;
    const MemoryFile memory{".gpkg"};
    auto* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    if (driver == nullptr) {
        refuse_output(path);
    }
    {
        const File file{driver->Create(memory.name().c_str(), 0, 0, 0, GDT_Unknown, nullptr)};
        if (!file) {
            refuse_output(path);
        }
        auto& all = new_layer(
            *file, "nest_density",
            fmt::format("Nests of {} a km2 and season, {}", map.what, season_words(map)), path);
        add_cells(all, map, map.cells, map.first_season, map.last_season, path);
        if (map.seasons.size() > 1) {
            auto& each =
                new_layer(*file, "nest_density_by_season",
                          fmt::format("Nests of {} a km2, season by season", map.what), path);
            for (const auto& season : map.seasons) {
                add_cells(each, map, season.cells, season.season, season.season, path);
            }
        }
    }
    write_file(path, memory.bytes(path));
}

void write_density_raster(const density::DensityMap& map, const std::string& path)
{
    check_density_names({}, path);
    const GdalSilence quiet;
    auto* memory_driver = GetGDALDriverManager()->GetDriverByName("MEM");
    auto* cog = GetGDALDriverManager()->GetDriverByName("COG");
    if (memory_driver == nullptr || cog == nullptr) {
        refuse_output(path);
    }
    const auto& grid = map.surface.grid;
    const int columns = static_cast<int>(grid.columns);
    const int rows = static_cast<int>(grid.rows);
    const File flat{memory_driver->Create("", columns, rows, 2, GDT_Float32, nullptr)};
    if (!flat) {
        refuse_output(path);
    }
    double corner[6]{grid.west, grid.cell, 0, grid.north(), 0, -grid.cell};
    flat->SetGeoTransform(corner);
    OGRSpatialReference system;
    system.SetFromUserInput(plane_system(map.plane.middle()).c_str());
    flat->SetSpatialRef(&system);
    flat->SetMetadataItem(
        "TIFFTAG_IMAGEDESCRIPTION",
        fmt::format("Nests of {} a km2 and season, {}; smoothed over {:.0f} m. {}", map.what,
                    season_words(map), map.surface.smoothing, density_caution())
            .c_str());
    const char* names[]{"nests a km2 and season", "standard error of band 1"};
    for (int band = 0; band < 2; ++band) {
        const auto& values = band == 0 ? map.surface.per_km2 : map.surface.standard_error;
        auto* target = flat->GetRasterBand(band + 1);
        target->SetDescription(names[band]);
        target->SetNoDataValue(std::numeric_limits<double>::quiet_NaN());
        for (int row = 0; row < rows; ++row) {
            // Ours runs from south to north, an image from north to south.
            auto* line = const_cast<float*>(values.data()) +
                         static_cast<std::size_t>(rows - 1 - row) * grid.columns;
            if (target->RasterIO(GF_Write, 0, row, columns, 1, line, columns, 1, GDT_Float32, 0, 0,
                                 nullptr) != CE_None) {
                refuse_output(path);
            }
        }
    }
    const MemoryFile memory{".tif"};
    CPLStringList options;
    options.SetNameValue("COMPRESS", "DEFLATE");
    options.SetNameValue("PREDICTOR", "YES");
    options.SetNameValue("BLOCKSIZE", "256");
    {
        const File made{cog->CreateCopy(memory.name().c_str(), flat.get(), FALSE, options.List(),
                                        nullptr, nullptr)};
        if (!made) {
            refuse_output(path);
        }
    }
    write_file(path, memory.bytes(path));
}

}  // namespace nestround::sheets
