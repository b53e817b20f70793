#include "geocore/intake/layer_grid.hpp"

#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogr_spatialref.h>
#include <ogrsf_frmts.h>

#include <cmath>
#include <limits>
#include <memory>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/foreign_file.hpp"
#include "geocore/intake/gdal_cell.hpp"
#include "geocore/intake/gdal_quiet.hpp"

namespace nestround::intake {

namespace {

using Transformation = std::unique_ptr<OGRCoordinateTransformation>;

/// Formats that are plain files: no service, no file that leads to other files or to the network.
std::vector<const char*> plain_formats()
{
    std::vector<const char*> names;
    auto* manager = GetGDALDriverManager();
    for (int i = 0; i < manager->GetDriverCount(); ++i) {
        auto* driver = manager->GetDriver(i);
        const std::string_view name = driver->GetDescription();
        const bool vector = driver->GetMetadataItem(GDAL_DCAP_VECTOR) != nullptr;
        const bool file = driver->GetMetadataItem(GDAL_DMD_EXTENSIONS) != nullptr;
        const bool leads_on = name == "OGR_VRT" || name == "VRT" || name == "OGR_PDS";
        if (vector && file && !leads_on) {
            names.push_back(driver->GetDescription());
        }
    }
    names.push_back(nullptr);
    return names;
}

GDALDatasetUniquePtr open(const std::filesystem::path& file, const GdalQuiet& quiet)
{
    std::error_code ignored;
    if (file.extension() != ".gdb" || !std::filesystem::is_directory(file, ignored)) {
        require_file(file);
    }
    std::string name = std::filesystem::absolute(file).string();
    if (file.extension() == ".zip") {
        name = "/vsizip/" + name;
    }
    const auto formats = plain_formats();
    GDALDatasetUniquePtr data{GDALDataset::Open(
        name.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR, formats.data())};
    if (!data) {
        throw Failure{ErrorCode::InvalidInput,
                      "cannot be read as a layer or table (" + quiet.text("unknown format") +
                          "); export it as CSV, GeoJSON or GeoPackage",
                      file.string()};
    }
    return data;
}

OGRLayer& pick(GDALDataset& data, const std::string& wanted, const std::string& file)
{
    std::vector<std::string> names;
    std::vector<OGRLayer*> with_geometry;
    for (auto* layer : data.GetLayers()) {
        if (layer->GetName() == wanted) {
            return *layer;
        }
        names.emplace_back(layer->GetName());
        if (layer->GetGeomType() != wkbNone) {
            with_geometry.push_back(layer);
        }
    }
    if (names.empty()) {
        throw Failure{ErrorCode::InvalidInput, "holds no layer; export it again", file};
    }
    if (!wanted.empty()) {
        throw Failure{ErrorCode::NotFound,
                      fmt::format("has no layer '{}'; it has {}", wanted, joined(names)), file};
    }
    if (names.size() == 1) {
        return *data.GetLayer(0);
    }
    if (with_geometry.size() == 1) {
        return *with_geometry.front();
    }
    throw Failure{ErrorCode::InvalidInput,
                  fmt::format("has {} layers; name one of {}", names.size(), joined(names)), file};
}

OGRSpatialReference wgs84()
{
    OGRSpatialReference out;
    out.SetWellKnownGeogCS("WGS84");
    out.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return out;
}

OGRSpatialReference named_system(const std::string& crs, const std::string& file)
{
    OGRSpatialReference out;
    if (out.SetFromUserInput(crs.c_str(),
                             OGRSpatialReference::SET_FROM_USER_INPUT_LIMITATIONS_get()) !=
        OGRERR_NONE) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("'{}' is no coordinate system; write one as EPSG:32632", crs),
                      file};
    }
    out.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return out;
}

Transformation transformation(const OGRSpatialReference& from, const GdalQuiet& quiet,
                              const std::string& file)
{
    const OGRSpatialReference to = wgs84();
    Transformation out{OGRCreateCoordinateTransformation(&from, &to)};
    if (!out) {
        throw Failure{ErrorCode::InvalidInput,
                      "its coordinate system cannot be brought to longitude and latitude (" +
                          quiet.text("no reason given") + "); export it in EPSG:4326",
                      file};
    }
    out->SetEmitErrors(false);
    return out;
}

std::vector<LonLat> transformed(std::span<const RawPoint> points, OGRCoordinateTransformation& way)
{
    std::vector<double> x;
    std::vector<double> y;
    for (const auto& point : points) {
        x.push_back(point.x);
        y.push_back(point.y);
    }
    std::vector<int> done(points.size(), FALSE);
    // What it returns sums up `done`.
    (void)way.Transform(static_cast<int>(points.size()), x.data(), y.data(), nullptr, nullptr,
                        done.data());
    std::vector<LonLat> out;
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
    for (std::size_t i = 0; i < points.size(); ++i) {
        const bool good = done[i] != FALSE && std::isfinite(x[i]) && std::isfinite(y[i]);
        out.push_back({Longitude{good ? x[i] : kNone}, Latitude{good ? y[i] : kNone}});
    }
    return out;
}

/// The feature's point as it stands, or why there is none.
std::optional<RawPoint> raw_point(const OGRFeature& feature, std::string& fault)
{
    const OGRGeometry* geometry = feature.GetGeometryRef();
    if (geometry != nullptr && wkbFlatten(geometry->getGeometryType()) == wkbMultiPoint &&
        geometry->toMultiPoint()->getNumGeometries() == 1) {
        geometry = geometry->toMultiPoint()->getGeometryRef(0);
    }
    if (geometry == nullptr || geometry->IsEmpty() != FALSE) {
        fault = "has no place";
        return std::nullopt;
    }
    if (wkbFlatten(geometry->getGeometryType()) != wkbPoint) {
        fault = fmt::format("is a {}, not a point",
                            OGRGeometryTypeToName(wkbFlatten(geometry->getGeometryType())));
        return std::nullopt;
    }
    const OGRPoint* point = geometry->toPoint();
    return RawPoint{point->getX(), point->getY()};
}

void read_features(OGRLayer& layer, Grid& grid, std::vector<RawPoint>& raw)
{
    layer.ResetReading();
    std::size_t count = 0;
    while (const OGRFeatureUniquePtr feature{layer.GetNextFeature()}) {
        GridRow row;
        row.number = ++count;
        for (int i = 0; i < feature->GetFieldCount(); ++i) {
            row.cells.push_back(cell_text(*feature, i));
        }
        row.cells.resize(grid.header.size());
        auto point = grid.has_points ? raw_point(*feature, row.point_fault) : std::nullopt;
        if (point) {
            row.point = LonLat{};  // filled when all are transformed at once
            raw.push_back(*point);
        }
        grid.rows.push_back(std::move(row));
    }
}

void fill_points(Grid& grid, const std::vector<LonLat>& places)
{
    std::size_t next = 0;
    for (auto& row : grid.rows) {
        if (row.point) {
            row.point = places[next++];
        }
    }
}

}  // namespace

Grid read_layer_grid(const std::filesystem::path& file, const std::string& layer_name,
                     const std::string& crs)
{
    const GdalQuiet quiet;
    const StayHome home;
    const auto data = open(file, quiet);
    OGRLayer& layer = pick(*data, layer_name, file.string());
    Grid grid;
    grid.file = file.string();
    grid.has_points = layer.GetGeomType() != wkbNone;
    const std::string_view format = data->GetDriverName();
    grid.name_limit = format == "ESRI Shapefile" ? 10 : 0;
    auto* fields = layer.GetLayerDefn();
    for (int i = 0; i < fields->GetFieldCount(); ++i) {
        grid.header.emplace_back(fields->GetFieldDefn(i)->GetNameRef());
    }
    std::vector<RawPoint> raw;
    read_features(layer, grid, raw);
    if (quiet.failed()) {
        throw Failure{ErrorCode::InvalidInput,
                      "could not be read to its end (" + quiet.text("") + "); export it again",
                      grid.file};
    }
    const OGRSpatialReference* system = layer.GetSpatialRef();
    std::vector<LonLat> places;
    if (system != nullptr) {
        places = transformed(raw, *transformation(*system, quiet, grid.file));
    } else if (!crs.empty()) {
        places = to_wgs84(raw, crs, grid.file);
    } else {
        require_degrees(raw, grid.file);
        for (const auto& point : raw) {
            places.push_back({Longitude{point.x}, Latitude{point.y}});
        }
        if (!raw.empty()) {
            grid.notes.emplace_back(
                "the layer names no coordinate system; its numbers were read as longitude and "
                "latitude on WGS 84");
        }
    }
    fill_points(grid, places);
    for (const auto& message : quiet.messages()) {
        grid.notes.push_back(message);
    }
    return grid;
}

std::vector<LonLat> to_wgs84(std::span<const RawPoint> points, const std::string& crs,
                             const std::string& file)
{
    const GdalQuiet quiet;
    const OGRSpatialReference from = named_system(crs, file);
    return transformed(points, *transformation(from, quiet, file));
}

void require_degrees(std::span<const RawPoint> points, const std::string& file)
{
    std::size_t outside = 0;
    const RawPoint* first = nullptr;
    for (const auto& point : points) {
        // NaN is a fault of its row, not of the system.
        if (std::abs(point.x) > 180 || std::abs(point.y) > 90) {
            ++outside;
            first = first == nullptr ? &point : first;
        }
    }
    if (first != nullptr && outside * 2 > points.size()) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("names no coordinate system, and its coordinates ({:.10g}, "
                                  "{:.10g}) are no degrees; name the system, as EPSG:32632",
                                  first->x, first->y),
                      file};
    }
}

}  // namespace nestround::intake
