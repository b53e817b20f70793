#include "geocore/intake/roads_gdal.hpp"

#include <fmt/core.h>

#include <limits>

#include "geocore/base/error.hpp"
#include "geocore/intake/gdal_quiet.hpp"

namespace nestround::intake {

std::unique_ptr<GDALDataset> open_vector(const std::string& path,
                                         const std::vector<const char*>& options)
{
    const GdalQuiet quiet;
    VSIStatBufL info;
    if (VSIStatL(path.c_str(), &info) != 0) {
        throw Failure{ErrorCode::NotFound, "no such file", path};
    }
    std::vector<const char*> list{options};
    list.push_back(nullptr);
    std::unique_ptr<GDALDataset> dataset{GDALDataset::Open(
        path.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY, nullptr, list.data(), nullptr)};
    if (!dataset) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("not a vector file that can be read: {}",
                                  quiet.text("no format recognises it")),
                      path};
    }
    return dataset;
}

int column_of(OGRLayer& layer, const std::string& name, const std::string& path)
{
    if (name.empty()) {
        return -1;
    }
    auto& definition = *layer.GetLayerDefn();
    const int index = definition.GetFieldIndex(name.c_str());
    if (index >= 0) {
        return index;
    }
    std::string known;
    for (int i = 0; i < definition.GetFieldCount(); ++i) {
        known.append(i == 0 ? "" : ", ").append(definition.GetFieldDefn(i)->GetNameRef());
    }
    throw Failure{ErrorCode::InvalidInput,
                  fmt::format("layer '{}' has no column '{}'; it has {}", layer.GetName(), name,
                              known.empty() ? "none" : known),
                  path};
}

ToDegrees::ToDegrees(const OGRLayer& layer, const std::string& crs, bool plain,
                     const std::string& path)
{
    const GdalQuiet quiet;
    OGRSpatialReference degrees;
    degrees.importFromEPSG(4326);
    degrees.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    OGRSpatialReference from;
    // GetSpatialRef is not const in GDAL 3.6 though it changes nothing.
    if (const auto* told = const_cast<OGRLayer&>(layer).GetSpatialRef(); told != nullptr) {
        from = *told;
    } else if (!crs.empty()) {
        if (from.SetFromUserInput(crs.c_str()) != OGRERR_NONE) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("'{}' is no coordinate system; write one as EPSG:4326", crs)};
        }
    } else if (plain) {
        from = degrees;
    } else {
        throw Failure{ErrorCode::InvalidInput,
                      "the layer does not tell its coordinate system; name it with --crs, as in "
                      "--crs EPSG:4326",
                      path};
    }
    from.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    transformation_.reset(OGRCreateCoordinateTransformation(&from, &degrees));
    if (!transformation_) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("its coordinate system can't be taken to WGS 84: {}",
                                  quiet.text("unknown reason")),
                      path};
    }
}

LonLat ToDegrees::operator()(double x, double y) const
{
    constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
    int good = 0;
    if (transformation_->Transform(1, &x, &y, nullptr, &good) == 0 || good == 0) {
        return {Longitude{kNaN}, Latitude{kNaN}};
    }
    return {Longitude{x}, Latitude{y}};
}

}  // namespace nestround::intake
