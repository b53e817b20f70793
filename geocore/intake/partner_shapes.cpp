#include "geocore/intake/partner_shapes.hpp"

#include <fmt/format.h>
#include <gdal_priv.h>
#include <ogrsf_frmts.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/gdal_cell.hpp"
#include "geocore/intake/gdal_quiet.hpp"
#include "geocore/intake/partner_columns.hpp"
#include "geocore/place/geodesic.hpp"

namespace nestround::intake {

namespace {

constexpr std::size_t kLongestCell = 4096;
constexpr std::string_view kOurGrid = "middle of a fixed grid";  // as our own shares say it

struct DropShape {
    void operator()(OGRGeometry* shape) const { OGRGeometryFactory::destroyGeometry(shape); }
};
using Shape = std::unique_ptr<OGRGeometry, DropShape>;

[[noreturn]] void refuse(const std::string& file, std::string why)
{
    throw Failure{ErrorCode::InvalidInput, std::move(why), file};
}

std::string name_of(const OGRSpatialReference& system)
{
    const char* authority = system.GetAuthorityName(nullptr);
    const char* code = system.GetAuthorityCode(nullptr);
    if (authority != nullptr && code != nullptr) {
        return fmt::format("{}:{}", authority, code);
    }
    const char* name = system.GetName();
    return name == nullptr || *name == '\0' ? "unnamed" : shown(name);
}

OGRSpatialReference system_named(const std::string& crs, const std::string& file)
{
    OGRSpatialReference out;
    const GdalQuiet quiet;
    if (out.SetFromUserInput(crs.c_str(),
                             OGRSpatialReference::SET_FROM_USER_INPUT_LIMITATIONS_get()) !=
        OGRERR_NONE) {
        refuse(file,
               fmt::format("'{}' is no coordinate system; write one as EPSG:32632", shown(crs)));
    }
    out.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    return out;
}

using Transformation = std::unique_ptr<OGRCoordinateTransformation>;

Transformation way_to_degrees(const OGRSpatialReference& from, const std::string& file)
{
    const GdalQuiet quiet;
    OGRSpatialReference to;
    to.SetWellKnownGeogCS("WGS84");
    to.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    Transformation out{OGRCreateCoordinateTransformation(&from, &to)};
    if (!out) {
        refuse(file, "its coordinate system cannot be brought to longitude and latitude (" +
                         quiet.text("no reason given") + "); ask for EPSG:4326");
    }
    out->SetEmitErrors(false);
    return out;
}

void corners_of(const OGRGeometry& shape, std::vector<LonLat>& out)
{
    if (wkbFlatten(shape.getGeometryType()) == wkbPolygon) {
        const auto* ring = shape.toPolygon()->getExteriorRing();
        for (int i = 0; ring != nullptr && i < ring->getNumPoints(); ++i) {
            out.push_back({Longitude{ring->getX(i)}, Latitude{ring->getY(i)}});
        }
        return;
    }
    const auto* many = shape.toGeometryCollection();
    for (int i = 0; i < many->getNumGeometries(); ++i) {
        corners_of(*many->getGeometryRef(i), out);
    }
}

/// A shape whose coordinates are degrees already.
PlacedShape placed(const OGRGeometry& given)
{
    PlacedShape out;
    const OGRGeometry* shape = &given;
    if (wkbFlatten(shape->getGeometryType()) == wkbMultiPoint &&
        shape->toMultiPoint()->getNumGeometries() == 1) {
        shape = shape->toMultiPoint()->getGeometryRef(0);
    }
    const auto type = wkbFlatten(shape->getGeometryType());
    const auto stand = [&](double lon, double lat) {
        const LonLat place{Longitude{lon}, Latitude{lat}};
        if (!std::isfinite(lon) || !std::isfinite(lat) || !is_on_earth(place)) {
            out.fault = "is no place on Earth";
        } else {
            out.place = place;
        }
    };
    if (type == wkbPoint) {
        stand(shape->toPoint()->getX(), shape->toPoint()->getY());
        return out;
    }
    if (type != wkbPolygon && type != wkbMultiPolygon) {
        out.fault =
            fmt::format("is a {}, neither a point nor an area", OGRGeometryTypeToName(type));
        return out;
    }
    std::vector<LonLat> corners;
    corners_of(*shape, corners);
    OGRPoint middle;
    const bool all_on_earth = std::all_of(corners.begin(), corners.end(), [](LonLat at) {
        return std::isfinite(at.lon.value()) && std::isfinite(at.lat.value()) && is_on_earth(at);
    });
    if (corners.size() < 3 || !all_on_earth || shape->Centroid(&middle) != OGRERR_NONE) {
        out.fault = "is an area with a corner that is no place on Earth, or without corners";
        return out;
    }
    stand(middle.getX(), middle.getY());
    if (out.place) {
        out.form = PlaceForm::Cell;
        for (const auto corner : corners) {
            out.corner_m =
                std::max(out.corner_m, place::geodesic_distance(*out.place, corner).value());
        }
    }
    return out;
}

/// By the layer's own system, else the one that was typed.
Transformation way_of(const OGRLayer& layer, const std::string& crs, const std::string& file,
                      ShapeTable& table)
{
    const auto* system = const_cast<OGRLayer&>(layer).GetSpatialRef();  // NOLINT
    // What a GeoPackage calls undefined, GDAL gives as a system of that name.
    if (system != nullptr && folded(name_of(*system)).starts_with("undefined")) {
        system = nullptr;
    }
    if (system == nullptr && crs.empty()) {
        refuse(file, fmt::format("layer '{}' names no coordinate system; ask which it is and say "
                                 "it, as --crs EPSG:32632",
                                 shown(table.layer)));
    }
    if (system == nullptr) {
        const auto named = system_named(crs, file);
        table.crs = name_of(named);
        return way_to_degrees(named, file);
    }
    table.crs = name_of(*system);
    if (!crs.empty() && crs != table.crs) {
        table.grid.notes.push_back(fmt::format(
            "the layer names its own coordinate system, {}; --crs was not used", table.crs));
    }
    return way_to_degrees(*system, file);
}

PlacedShape shape_of(const OGRFeature& feature, OGRCoordinateTransformation& way)
{
    const auto* geometry = feature.GetGeometryRef();
    if (geometry == nullptr || geometry->IsEmpty() != FALSE) {
        return {std::nullopt, PlaceForm::Point, 0, "has no place"};
    }
    Shape shape{geometry->hasCurveGeometry() != FALSE ? geometry->getLinearGeometry()
                                                      : geometry->clone()};
    if (!shape || shape->transform(&way) != OGRERR_NONE) {
        return {std::nullopt, PlaceForm::Point, 0,
                "cannot be brought to longitude and latitude; its coordinates lie outside its "
                "system"};
    }
    return placed(*shape);
}

}  // namespace

ShapeTable read_shapes(const ForeignFile& file, const std::string& layer_name,
                       const std::string& crs, const std::map<std::string, std::string>& mapping,
                       std::map<std::string, std::string>& chosen)
{
    const GdalQuiet quiet;
    const StayHome home;
    const auto data = open_foreign(file);
    auto& layer = foreign_layer(*data, layer_name, file.shown);
    ShapeTable table;
    table.layer = layer.GetName();
    table.grid.file = file.shown;
    const char* description = layer.GetMetadataItem("DESCRIPTION");
    table.generalised =
        description != nullptr && std::string_view{description}.find(kOurGrid) != std::string::npos;
    auto* fields = layer.GetLayerDefn();
    std::vector<std::string> header;
    for (int i = 0; i < fields->GetFieldCount(); ++i) {
        const std::string name = fields->GetFieldDefn(i)->GetNameRef();
        header.push_back(is_utf8(name) ? name : utf8_from_windows_1252(name));
    }
    const bool cut_names = std::string_view{data->GetDriverName()} == "ESRI Shapefile";
    const auto choice = choose_columns(header, cut_names ? 10 : 0, mapping, file.shown);
    chosen = choice.theirs;
    table.unused = choice.unused;
    table.grid.notes = choice.notes;
    std::vector<int> places;
    for (std::size_t i = 0; i < header.size(); ++i) {
        const bool read = std::any_of(chosen.begin(), chosen.end(),
                                      [&](const auto& one) { return one.second == header[i]; });
        if (read) {
            table.grid.header.push_back(header[i]);
            places.push_back(static_cast<int>(i));
        }
    }
    const auto way = way_of(layer, crs, file.shown, table);
    layer.ResetReading();
    std::size_t number = 0;
    while (const OGRFeatureUniquePtr feature{layer.GetNextFeature()}) {
        if (++number > kMostForeignRows) {
            refuse(file.shown, fmt::format("has more than {} rows; ask for the land of your crew "
                                           "alone",
                                           kMostForeignRows));
        }
        GridRow row;
        row.number = number;
        std::string too_long;
        for (const int place : places) {
            row.cells.push_back(cell_text(*feature, place));
            if (row.cells.back().size() > kLongestCell) {
                too_long = header[static_cast<std::size_t>(place)];
            }
        }
        if (!too_long.empty()) {
            table.grid.refused.push_back({number, shown(too_long),
                                          fmt::format("is longer than {} bytes", kLongestCell),
                                          "ask for the words of a nest alone"});
            continue;
        }
        table.grid.rows.push_back(std::move(row));
        table.shapes.push_back(shape_of(*feature, *way));
    }
    // This format says how many rows it has; GDAL is silent when they end too soon.
    const bool counted = std::string_view{data->GetDriverName()} == "FlatGeobuf" ||
                         std::string_view{data->GetDriverName()} == "ESRI Shapefile";
    const auto promised = counted ? layer.GetFeatureCount(FALSE) : -1;
    if (promised >= 0 && static_cast<std::size_t>(promised) != number) {
        refuse(file.shown, fmt::format("says that it has {} rows and holds {}; it is half "
                                       "written: ask for it again",
                                       promised, number));
    }
    if (!home.asked().empty() || quiet.failed()) {
        refuse(file.shown, "could not be read to its end (" +
                               quiet.text("it points to " + home.asked()) +
                               "); it is damaged or half written: ask for it again");
    }
    return table;
}

PlacedShape shape_of_wkt(const std::string& wkt)
{
    const GdalQuiet quiet;
    OGRGeometry* made = nullptr;
    const bool good = OGRGeometryFactory::createFromWkt(wkt.c_str(), nullptr, &made) == OGRERR_NONE;
    const Shape shape{made};
    if (!good || !shape) {
        return {std::nullopt, PlaceForm::Point, 0, "is no shape"};
    }
    return placed(*shape);
}

}  // namespace nestround::intake
