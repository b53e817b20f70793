#include "geocore/intake/roads_points.hpp"

#include <fmt/core.h>

#include <cmath>

#include "geocore/base/error.hpp"
#include "geocore/intake/gdal_quiet.hpp"
#include "geocore/intake/roads_gdal.hpp"

namespace nestround::intake {
namespace {

std::string name_of(OGRFeature& feature, std::size_t row)
{
    for (const char* column : {"name", "id"}) {
        const int index = feature.GetFieldIndex(column);
        if (index >= 0 && feature.IsFieldSetAndNotNull(index) != 0 &&
            *feature.GetFieldAsString(index) != '\0') {
            return feature.GetFieldAsString(index);
        }
    }
    return fmt::format("place {}", row);
}

}  // namespace

std::vector<NamedPlace> read_points(const std::string& path)
{
    const auto dataset =
        open_vector(path, {"X_POSSIBLE_NAMES=lon,longitude,x", "Y_POSSIBLE_NAMES=lat,latitude,y"});
    const GdalQuiet quiet;
    auto* layer = dataset->GetLayerCount() > 0 ? dataset->GetLayer(0) : nullptr;
    if (layer == nullptr) {
        throw Failure{ErrorCode::InvalidInput, "holds no table", path};
    }
    if (layer->GetGeomType() == wkbNone) {
        throw Failure{ErrorCode::InvalidInput,
                      "has no columns lon and lat; its first line must name them, as in "
                      "name,lon,lat",
                      path};
    }
    const ToDegrees to_degrees{*layer, "", true, path};
    std::vector<NamedPlace> places;
    std::size_t row = 0;
    for (auto& feature : *layer) {
        ++row;
        const auto* geometry = feature->GetGeometryRef();
        const bool is_point = geometry != nullptr &&
                              wkbFlatten(geometry->getGeometryType()) == wkbPoint &&
                              geometry->IsEmpty() == 0;
        const LonLat at = is_point
                              ? to_degrees(geometry->toPoint()->getX(), geometry->toPoint()->getY())
                              : LonLat{Longitude{NAN}, Latitude{NAN}};
        if (!is_on_earth(at)) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("row {} ({}) has no place on Earth; give it longitude and "
                                      "latitude in degrees",
                                      row, name_of(*feature, row)),
                          path};
        }
        places.push_back({name_of(*feature, row), at});
    }
    if (places.empty()) {
        throw Failure{ErrorCode::InvalidInput, "holds no places", path};
    }
    return places;
}

}  // namespace nestround::intake
