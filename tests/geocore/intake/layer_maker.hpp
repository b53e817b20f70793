/// \file layer_maker.hpp
/// \brief Point layers made by GDAL on the fly, in any format and coordinate system.
#pragma once

#include <gdal_priv.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geocore/intake/gdal_quiet.hpp"
#include "tests/support/catch.hpp"

namespace nestround::tests {

struct MadeFeature {
    std::optional<std::pair<double, double>> point;
    std::vector<std::string> cells;
};

/// Writes a layer `calls`; `epsg` 0 for none. Coordinates stand in that system, x east.
inline void make_layer(const std::filesystem::path& file, const char* format, int epsg,
                       const std::vector<std::string>& columns,
                       const std::vector<MadeFeature>& features, OGRwkbGeometryType type = wkbPoint,
                       const char* layer_name = "calls")
{
    // GDAL warns that it cuts a shapefile's names, which is what some tests want.
    const intake::GdalQuiet quiet;
    auto* driver = GetGDALDriverManager()->GetDriverByName(format);
    REQUIRE(driver != nullptr);
    const GDALDatasetUniquePtr data{
        std::filesystem::exists(file)
            ? GDALDataset::Open(file.c_str(), GDAL_OF_VECTOR | GDAL_OF_UPDATE)
            : driver->Create(file.c_str(), 0, 0, 0, GDT_Unknown, nullptr)};
    REQUIRE(data);
    OGRSpatialReference system;
    if (epsg != 0) {
        REQUIRE(system.importFromEPSG(epsg) == OGRERR_NONE);
        system.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    }
    auto* layer = data->CreateLayer(layer_name, epsg != 0 ? &system : nullptr, type);
    REQUIRE(layer != nullptr);
    const int own = layer->GetLayerDefn()->GetFieldCount();  // that the format makes by itself
    for (const auto& column : columns) {
        OGRFieldDefn field{column.c_str(), OFTString};
        REQUIRE(layer->CreateField(&field) == OGRERR_NONE);
    }
    for (const auto& made : features) {
        const OGRFeatureUniquePtr feature{OGRFeature::CreateFeature(layer->GetLayerDefn())};
        for (std::size_t i = 0; i < made.cells.size(); ++i) {
            feature->SetField(own + static_cast<int>(i), made.cells[i].c_str());
        }
        if (made.point) {
            OGRPoint point{made.point->first, made.point->second};
            feature->SetGeometry(&point);
        }
        REQUIRE(layer->CreateFeature(feature.get()) == OGRERR_NONE);
    }
}

/// Degrees in another system, by PROJ itself and not by the code under test.
inline std::pair<double, double> projected(int epsg, double lon, double lat)
{
    OGRSpatialReference from;
    from.importFromEPSG(4326);
    from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    OGRSpatialReference to;
    to.importFromEPSG(epsg);
    to.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> way{
        OGRCreateCoordinateTransformation(&from, &to)};
    REQUIRE(way);
    REQUIRE(way->Transform(1, &lon, &lat));
    return {lon, lat};
}

}  // namespace nestround::tests
