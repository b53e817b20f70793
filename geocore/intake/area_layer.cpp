#include "geocore/intake/area_layer.hpp"

#include <fmt/format.h>
#include <ogrsf_frmts.h>

#include <filesystem>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/foreign_file.hpp"
#include "geocore/intake/gdal_quiet.hpp"

namespace nestround::intake {
namespace {

struct DropGeometry {
    void operator()(OGRGeometry* shape) const { OGRGeometryFactory::destroyGeometry(shape); }
};
using Shape = std::unique_ptr<OGRGeometry, DropGeometry>;

[[noreturn]] void refuse(const std::string& path, std::string why)
{
    throw Failure{ErrorCode::InvalidInput, std::move(why), path};
}

void add_ring(std::vector<std::vector<LonLat>>& rings, const OGRLinearRing& ring, bool outer)
{
    std::vector<LonLat> points;
    for (int i = 0; i + 1 < ring.getNumPoints(); ++i) {
        points.push_back({Longitude{ring.getX(i)}, Latitude{ring.getY(i)}});
    }
    if ((ring.isClockwise() == 0) != outer) {
        std::reverse(points.begin(), points.end());
    }
    for (const auto& point : points) {
        if (!is_on_earth(point)) {
            throw Failure{ErrorCode::InvalidInput, "a corner is not on Earth"};
        }
    }
    rings.push_back(std::move(points));
}

}  // namespace

std::vector<std::vector<LonLat>> read_area(const std::string& path)
{
    std::error_code ignored;
    if (!std::filesystem::exists(path, ignored)) {
        throw Failure{ErrorCode::NotFound, "is not there", path};
    }
    const GdalQuiet quiet;
    const StayHome home;
    const std::unique_ptr<GDALDataset> file{
        GDALDataset::Open(path.c_str(), GDAL_OF_VECTOR | GDAL_OF_READONLY)};
    if (!file) {
        refuse(path, fmt::format("holds no layer of polygons ({})", quiet.text("not a map file")));
    }
    OGRSpatialReference wgs84;
    wgs84.importFromEPSG(4326);
    wgs84.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    OGRMultiPolygon all;
    for (auto* layer : file->GetLayers()) {
        for (auto& feature : *layer) {
            const auto* geometry = feature->GetGeometryRef();
            if (geometry == nullptr || geometry->getDimension() != 2) {
                continue;
            }
            const auto* system = layer->GetSpatialRef();
            if (system == nullptr) {
                refuse(path, fmt::format("layer {} does not say its system of coordinates; save it "
                                         "with one",
                                         layer->GetName()));
            }
            Shape shape{geometry->clone()};
            if (shape->transformTo(&wgs84) != OGRERR_NONE) {
                refuse(path, fmt::format("feature {} of layer {} cannot be placed on Earth ({})",
                                         feature->GetFID(), layer->GetName(),
                                         quiet.text("unknown system")));
            }
            shape.reset(OGRGeometryFactory::forceToMultiPolygon(shape.release()));
            if (shape->IsValid() == 0) {
                shape.reset(shape->MakeValid());
                if (!shape) {
                    refuse(path,
                           fmt::format("feature {} of layer {} is broken and cannot be mended",
                                       feature->GetFID(), layer->GetName()));
                }
                shape.reset(OGRGeometryFactory::forceToMultiPolygon(shape.release()));
            }
            if (wkbFlatten(shape->getGeometryType()) == wkbMultiPolygon) {
                for (const auto* polygon : *shape->toMultiPolygon()) {
                    all.addGeometry(polygon);
                }
            }
        }
    }
    if (all.IsEmpty() != 0) {
        refuse(path, "holds no polygon; draw the land as one");
    }
    const Shape joined{OGRGeometryFactory::forceToMultiPolygon(all.UnionCascaded())};
    std::vector<std::vector<LonLat>> rings;
    if (joined) {
        try {
            for (const auto* polygon : *joined->toMultiPolygon()) {
                add_ring(rings, *polygon->getExteriorRing(), true);
                for (int i = 0; i < polygon->getNumInteriorRings(); ++i) {
                    add_ring(rings, *polygon->getInteriorRing(i), false);
                }
            }
        } catch (const Failure& failure) {
            refuse(path, failure.error().message);
        }
    }
    if (rings.empty()) {
        refuse(path, "holds no polygon with an area");
    }
    return rings;
}

}  // namespace nestround::intake
