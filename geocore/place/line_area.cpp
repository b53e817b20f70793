#include "geocore/place/line_area.hpp"

#include <geos_c.h>

#include <GeographicLib/AzimuthalEquidistant.hpp>
#include <GeographicLib/PolygonArea.hpp>
#include <algorithm>
#include <cmath>
#include <functional>

namespace nestround::place {
namespace {

constexpr double kGrid = 1e-7;     // degree
constexpr int kQuarter = 4;        // corners of a quarter circle
constexpr std::size_t kBunch = 4;  // lines that are buffered in one go: quickest by trial

/// GEOS with its own handle, so that threads and messages stay apart.
class Geos {
public:
    Geos() : handle_{GEOS_init_r()} {}
    ~Geos() { GEOS_finish_r(handle_); }
    Geos(const Geos&) = delete;
    Geos& operator=(const Geos&) = delete;
    operator GEOSContextHandle_t() const { return handle_; }

private:
    GEOSContextHandle_t handle_;
};

struct Broken {};  ///< thrown inside this file alone when GEOS gives nothing

/// Owns a geometry.
class Shape {
public:
    Shape() = default;
    Shape(const Geos& geos, GEOSGeometry* shape) : geos_{&geos}, shape_{shape}
    {
        if (shape == nullptr) {
            throw Broken{};
        }
    }
    ~Shape() { drop(); }
    Shape(Shape&& other) noexcept : geos_{other.geos_}, shape_{other.give()} {}
    Shape& operator=(Shape&& other) noexcept
    {
        if (this != &other) {
            drop();
            geos_ = other.geos_;
            shape_ = other.give();
        }
        return *this;
    }
    Shape(const Shape&) = delete;
    Shape& operator=(const Shape&) = delete;

    [[nodiscard]] const GEOSGeometry* get() const { return shape_; }
    [[nodiscard]] GEOSGeometry* give()
    {
        auto* shape = shape_;
        shape_ = nullptr;
        return shape;
    }
    explicit operator bool() const { return shape_ != nullptr; }

private:
    void drop()
    {
        if (shape_ != nullptr) {
            GEOSGeom_destroy_r(*geos_, shape_);
        }
    }
    const Geos* geos_ = nullptr;
    GEOSGeometry* shape_ = nullptr;
};

using Turn = std::function<std::pair<double, double>(double, double)>;

GEOSCoordSequence* turned(const Geos& geos, const GEOSCoordSequence* from, const Turn& turn)
{
    unsigned size = 0;
    GEOSCoordSeq_getSize_r(geos, from, &size);
    auto* to = GEOSCoordSeq_create_r(geos, size, 2);
    for (unsigned i = 0; i < size; ++i) {
        double x = 0;
        double y = 0;
        GEOSCoordSeq_getXY_r(geos, from, i, &x, &y);
        const auto [u, v] = turn(x, y);
        GEOSCoordSeq_setXY_r(geos, to, i, u, v);
    }
    return to;
}

Shape ring_of(const Geos& geos, const GEOSGeometry* ring, const Turn& turn)
{
    return {geos, GEOSGeom_createLinearRing_r(
                      geos, turned(geos, GEOSGeom_getCoordSeq_r(geos, ring), turn))};
}

Shape collected(const Geos& geos, int type, std::vector<Shape>& parts)
{
    std::vector<GEOSGeometry*> raw;
    for (auto& part : parts) {
        raw.push_back(part.give());
    }
    return {geos,
            GEOSGeom_createCollection_r(geos, type, raw.data(), static_cast<unsigned>(raw.size()))};
}

/// Each polygon of a shape, its rings turned, its holes kept where `keep` says so.
Shape polygons_of(const Geos& geos, const GEOSGeometry* shape, const Turn& turn,
                  const std::function<bool(const GEOSGeometry*)>& keep)
{
    std::vector<Shape> polygons;
    const int count = GEOSGetNumGeometries_r(geos, shape);
    for (int i = 0; i < count; ++i) {
        const auto* polygon = GEOSGetGeometryN_r(geos, shape, i);
        if (GEOSGeomTypeId_r(geos, polygon) != GEOS_POLYGON || GEOSisEmpty_r(geos, polygon) == 1) {
            continue;
        }
        auto outer = ring_of(geos, GEOSGetExteriorRing_r(geos, polygon), turn);
        std::vector<Shape> holes;
        const int rings = GEOSGetNumInteriorRings_r(geos, polygon);
        for (int k = 0; k < rings; ++k) {
            const auto* hole = GEOSGetInteriorRingN_r(geos, polygon, k);
            if (keep(hole)) {
                holes.push_back(ring_of(geos, hole, turn));
            }
        }
        std::vector<GEOSGeometry*> raw;
        for (auto& hole : holes) {
            raw.push_back(hole.give());
        }
        polygons.emplace_back(geos, GEOSGeom_createPolygon_r(geos, outer.give(), raw.data(),
                                                             static_cast<unsigned>(raw.size())));
    }
    return collected(geos, GEOS_MULTIPOLYGON, polygons);
}

double area_of_ring(const Geos& geos, const GEOSGeometry* ring)
{
    const auto* points = GEOSGeom_getCoordSeq_r(geos, ring);
    unsigned size = 0;
    GEOSCoordSeq_getSize_r(geos, points, &size);
    double twice = 0;
    double x0 = 0;
    double y0 = 0;
    GEOSCoordSeq_getXY_r(geos, points, 0, &x0, &y0);
    for (unsigned i = 1; i < size; ++i) {
        double x1 = 0;
        double y1 = 0;
        GEOSCoordSeq_getXY_r(geos, points, i, &x1, &y1);
        twice += x0 * y1 - x1 * y0;
        x0 = x1;
        y0 = y1;
    }
    return std::abs(twice) / 2;
}

double on_grid(double degrees) { return std::round(degrees / kGrid) / 1e7; }

/// A ring in the direction that RFC 7946 asks for.
Ring read_ring(const Geos& geos, const GEOSGeometry* ring, bool outer)
{
    const auto* points = GEOSGeom_getCoordSeq_r(geos, ring);
    unsigned size = 0;
    GEOSCoordSeq_getSize_r(geos, points, &size);
    Ring out;
    for (unsigned i = 0; i < size; ++i) {
        double x = 0;
        double y = 0;
        GEOSCoordSeq_getXY_r(geos, points, i, &x, &y);
        out.push_back({Longitude{on_grid(x)}, Latitude{on_grid(y)}});
    }
    char counterclockwise = 0;
    GEOSCoordSeq_isCCW_r(geos, points, &counterclockwise);
    if ((counterclockwise == 1) != outer) {
        std::reverse(out.begin(), out.end());
    }
    return out;
}

Shape shape_of(const Geos& geos, const Area& area)
{
    const auto ring = [&](const Ring& places) {
        auto* points = GEOSCoordSeq_create_r(geos, static_cast<unsigned>(places.size()), 2);
        for (unsigned i = 0; i < places.size(); ++i) {
            GEOSCoordSeq_setXY_r(geos, points, i, places[i].lon.value(), places[i].lat.value());
        }
        return Shape{geos, GEOSGeom_createLinearRing_r(geos, points)};
    };
    std::vector<Shape> polygons;
    for (const auto& rings : area.polygons) {
        auto outer = ring(rings.front());
        std::vector<GEOSGeometry*> holes;
        for (std::size_t i = 1; i < rings.size(); ++i) {
            holes.push_back(ring(rings[i]).give());
        }
        polygons.emplace_back(geos, GEOSGeom_createPolygon_r(geos, outer.give(), holes.data(),
                                                             static_cast<unsigned>(holes.size())));
    }
    return collected(geos, GEOS_MULTIPOLYGON, polygons);
}

bool any_hole(const GEOSGeometry* /*hole*/) { return true; }

}  // namespace

struct LineArea::Plane {
    Geos geos;
    LonLat middle;
    AreaOptions options;
    GeographicLib::AzimuthalEquidistant projection{GeographicLib::Geodesic::WGS84()};
    Shape grown;  ///< in the plane

    [[nodiscard]] std::pair<double, double> to_plane(LonLat place) const
    {
        double x = 0;
        double y = 0;
        projection.Forward(middle.lat.value(), middle.lon.value(), place.lat.value(),
                           place.lon.value(), x, y);
        return {x, y};
    }

    [[nodiscard]] Shape line(const std::vector<LonLat>& places) const
    {
        auto* points = GEOSCoordSeq_create_r(geos, static_cast<unsigned>(places.size()), 2);
        for (unsigned i = 0; i < places.size(); ++i) {
            const auto [x, y] = to_plane(places[i]);
            GEOSCoordSeq_setXY_r(geos, points, i, x, y);
        }
        return {geos, GEOSGeom_createLineString_r(geos, points)};
    }

    void add(std::span<const std::vector<LonLat>> lines)
    {
        std::vector<Shape> parts;
        if (grown) {
            parts.push_back(std::move(grown));
        }
        for (std::size_t first = 0; first < lines.size(); first += kBunch) {
            std::vector<Shape> bunch;
            for (std::size_t i = first; i < std::min(lines.size(), first + kBunch); ++i) {
                if (lines[i].size() > 1) {
                    bunch.push_back(line(lines[i]));
                }
            }
            // Joined first: each end of a line costs a round end.
            const auto together = collected(geos, GEOS_MULTILINESTRING, bunch);
            const Shape joined{geos, GEOSLineMerge_r(geos, together.get())};
            const Shape simple{geos,
                               GEOSSimplify_r(geos, joined.get(), options.width.value() / 20)};
            parts.emplace_back(geos,
                               GEOSBuffer_r(geos, simple.get(), options.width.value(), kQuarter));
        }
        const auto all = collected(geos, GEOS_GEOMETRYCOLLECTION, parts);
        const Shape united{geos, GEOSUnaryUnion_r(geos, all.get())};
        grown = polygons_of(
            geos, united.get(),
            [](double x, double y) {
                return std::pair{x, y};
            },
            [&](const GEOSGeometry* hole) { return area_of_ring(geos, hole) >= options.hole_m2; });
        // What lay in a filled hole is part of it now.
        grown = Shape{geos, GEOSUnaryUnion_r(geos, grown.get())};
    }

    [[nodiscard]] Area area() const
    {
        const auto degrees = polygons_of(
            geos, grown.get(),
            [&](double x, double y) {
                double lat = 0;
                double lon = 0;
                projection.Reverse(middle.lat.value(), middle.lon.value(), x, y, lat, lon);
                return std::pair{lon, lat};
            },
            any_hole);
        const Shape rounded{geos, GEOSGeom_setPrecision_r(geos, degrees.get(), kGrid, 0)};
        Area area;
        const int count = GEOSGetNumGeometries_r(geos, rounded.get());
        for (int i = 0; i < count; ++i) {
            const auto* polygon = GEOSGetGeometryN_r(geos, rounded.get(), i);
            if (GEOSGeomTypeId_r(geos, polygon) != GEOS_POLYGON ||
                GEOSisEmpty_r(geos, polygon) == 1) {
                continue;
            }
            auto& rings = area.polygons.emplace_back();
            rings.push_back(read_ring(geos, GEOSGetExteriorRing_r(geos, polygon), true));
            const int holes = GEOSGetNumInteriorRings_r(geos, polygon);
            for (int k = 0; k < holes; ++k) {
                rings.push_back(read_ring(geos, GEOSGetInteriorRingN_r(geos, polygon, k), false));
            }
        }
        area.square_metres = square_metres(area);
        return area;
    }
};

LineArea::LineArea(LonLat middle, AreaOptions options) : plane_{std::make_unique<Plane>()}
{
    plane_->middle = middle;
    plane_->options = options;
}

LineArea::~LineArea() = default;

Result<Area> LineArea::grow(std::span<const std::vector<LonLat>> lines)
{
    try {
        plane_->add(lines);
        auto area = plane_->area();
        if (auto fault = fault_of(area); !fault.empty()) {
            return fail(ErrorCode::Internal, "the area around the roads is not valid: " + fault);
        }
        return area;
    } catch (const Broken&) {
        return fail(ErrorCode::Internal, "the area around the roads cannot be made");
    }
}

double square_metres(const Area& area)
{
    double sum = 0;
    for (const auto& rings : area.polygons) {
        for (const auto& ring : rings) {
            GeographicLib::PolygonArea polygon{GeographicLib::Geodesic::WGS84()};
            for (std::size_t i = 0; i + 1 < ring.size(); ++i) {
                polygon.AddPoint(ring[i].lat.value(), ring[i].lon.value());
            }
            double around = 0;
            double inside = 0;
            // Counterclockwise counts up, so holes count down.
            polygon.Compute(false, true, around, inside);
            sum += inside;
        }
    }
    return sum;
}

std::string fault_of(const Area& area)
{
    const Geos geos;
    try {
        const auto shape = shape_of(geos, area);
        if (GEOSisValid_r(geos, shape.get()) == 1) {
            return {};
        }
        char* reason = GEOSisValidReason_r(geos, shape.get());
        std::string words = reason == nullptr ? "not told why" : reason;
        GEOSFree_r(geos, reason);
        return words;
    } catch (const Broken&) {
        return "a ring is not closed";
    }
}

double uncovered(const Area& inner, const Area& outer)
{
    const Geos geos;
    try {
        const auto a = shape_of(geos, inner);
        const auto b = shape_of(geos, outer);
        const Shape rest{geos, GEOSDifference_r(geos, a.get(), b.get())};
        double area = 0;
        GEOSArea_r(geos, rest.get(), &area);
        return area;
    } catch (const Broken&) {
        return std::nan("");
    }
}

}  // namespace nestround::place
