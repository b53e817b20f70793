#include "planner/sheets/area_file.hpp"

#include <ogrsf_frmts.h>

#include <cmath>
#include <memory>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "planner/sheets/gdal_memory.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::sheets {
namespace {

using nlohmann::ordered_json;

bool is_geopackage(const std::string& path) { return path.ends_with(".gpkg"); }

double to_places(double value, double step) { return std::round(value / step) * step; }

/// As it was rounded before, without the noise of the division.
double degrees(double value) { return std::round(value * 1e7) / 1e7; }

std::string geojson_of(const ReachedAreas& all)
{
    auto features = ordered_json::array();
    for (auto band = all.areas.rbegin(); band != all.areas.rend(); ++band) {
        auto polygons = ordered_json::array();
        for (const auto& rings : band->area.polygons) {
            auto polygon = ordered_json::array();
            for (const auto& ring : rings) {
                auto line = ordered_json::array();
                for (const auto& at : ring) {
                    line.push_back({degrees(at.lon.value()), degrees(at.lat.value())});
                }
                polygon.push_back(std::move(line));
            }
            polygons.push_back(std::move(polygon));
        }
        features.push_back(ordered_json{
            {"type", "Feature"},
            {"properties",
             {{"minutes", band->minutes},
              {"area_km2", to_places(band->area.square_metres / 1e6, 0.001)},
              {"road_km", to_places(band->road_km, 0.001)},
              {"width_m", all.width_m},
              {"attribution", all.attribution}}},
            {"geometry", {{"type", "MultiPolygon"}, {"coordinates", std::move(polygons)}}}});
    }
    return ordered_json{{"type", "FeatureCollection"}, {"features", std::move(features)}}.dump() +
           '\n';
}

std::unique_ptr<OGRMultiPolygon> geometry_of(const place::Area& area)
{
    auto all = std::make_unique<OGRMultiPolygon>();
    for (const auto& rings : area.polygons) {
        auto polygon = std::make_unique<OGRPolygon>();
        for (const auto& ring : rings) {
            auto line = std::make_unique<OGRLinearRing>();
            for (const auto& at : ring) {
                line->addPoint(at.lon.value(), at.lat.value());
            }
            polygon->addRingDirectly(line.release());
        }
        all->addGeometryDirectly(polygon.release());
    }
    return all;
}

std::string geopackage_of(const ReachedAreas& all, const std::string& path)
{
    const GdalSilence quiet;
    const MemoryFile memory{".gpkg"};
    auto* driver = GetGDALDriverManager()->GetDriverByName("GPKG");
    if (driver == nullptr) {
        refuse_output(path);
    }
    {
        const std::unique_ptr<GDALDataset> file{
            driver->Create(memory.name().c_str(), 0, 0, 0, GDT_Unknown, nullptr)};
        OGRSpatialReference wgs84;
        wgs84.importFromEPSG(4326);
        wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
        auto* layer = file ? file->CreateLayer("reach", &wgs84, wkbMultiPolygon, nullptr) : nullptr;
        if (layer == nullptr) {
            refuse_output(path);
        }
        const std::vector<std::pair<const char*, OGRFieldType>> fields{{"minutes", OFTInteger},
                                                                       {"area_km2", OFTReal},
                                                                       {"road_km", OFTReal},
                                                                       {"width_m", OFTReal},
                                                                       {"attribution", OFTString}};
        for (const auto& [name, type] : fields) {
            OGRFieldDefn field{name, type};
            if (layer->CreateField(&field) != OGRERR_NONE) {
                refuse_output(path);
            }
        }
        for (auto band = all.areas.rbegin(); band != all.areas.rend(); ++band) {
            OGRFeature feature{layer->GetLayerDefn()};
            feature.SetField("minutes", band->minutes);
            feature.SetField("area_km2", to_places(band->area.square_metres / 1e6, 0.001));
            feature.SetField("road_km", to_places(band->road_km, 0.001));
            feature.SetField("width_m", all.width_m);
            feature.SetField("attribution", all.attribution.c_str());
            feature.SetGeometryDirectly(geometry_of(band->area).release());
            if (layer->CreateFeature(&feature) != OGRERR_NONE) {
                refuse_output(path);
            }
        }
    }
    return memory.bytes(path);
}

}  // namespace

void check_area_name(const std::string& path)
{
    if (!is_geopackage(path)) {
        if (!path.ends_with(".geojson") && !path.ends_with(".json")) {
            throw Failure{ErrorCode::BadUsage, "name a file that ends in .gpkg or .geojson", path};
        }
        return;
    }
    refuse_present(path);
}

void write_areas(const ReachedAreas& areas, const std::string& path)
{
    check_area_name(path);
    write_file(path, is_geopackage(path) ? geopackage_of(areas, path) : geojson_of(areas));
}

}  // namespace nestround::sheets
