/// \file roads_gdal.hpp
/// \brief What the readers of road layers and of points share; private to this room.
///
/// Purpose:  opening a file, finding a layer and a column, and taking coordinates to WGS 84, each
///           with a message that tells the way out.
/// Units:    degrees.
/// Range:    vector files.
/// Accuracy: PROJ's.
/// Errors:   Failure as roads_layer.hpp tells.
/// Source:   own.
#pragma once

#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <memory>
#include <string>
#include <vector>

#include "geocore/units/units.hpp"

namespace nestround::intake {

/// Opens for reading; `options` are GDAL's open options for any driver that knows them.
[[nodiscard]] std::unique_ptr<GDALDataset> open_vector(const std::string& path,
                                                       const std::vector<const char*>& options);

/// The column's number, -1 when `name` is empty.
[[nodiscard]] int column_of(OGRLayer& layer, const std::string& name, const std::string& path);

/// From the coordinates of a layer to degrees.
class ToDegrees {
public:
    /// `crs` counts where the layer has none; both missing is a Failure, unless `plain` allows to
    /// take coordinates as degrees.
    ToDegrees(const OGRLayer& layer, const std::string& crs, bool plain, const std::string& path);

    /// NaN where there is no such place.
    [[nodiscard]] LonLat operator()(double x, double y) const;

private:
    std::unique_ptr<OGRCoordinateTransformation> transformation_;
};

}  // namespace nestround::intake
