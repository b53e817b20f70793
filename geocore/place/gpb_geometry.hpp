/// \file gpb_geometry.hpp
/// \brief The GeoPackage form of a geometry, read and written.
///
/// Purpose:  the book's points, and enough of everything else to check and index it: what it is,
///           whether it is empty, where it lies. Reads any bytes without fault.
/// Units:    those of the reference system that the blob names; degrees for 4326.
/// Range:    reads the seven simple types in 2D, Z, M and ZM, either byte order, every envelope,
///           nested collections to 32 deep; writes 2D points.
/// Accuracy: coordinates are kept bit for bit.
/// Errors:   InvalidInput saying what is wrong with the blob.
/// Source:   OGC GeoPackage 1.3 (12-128r17) clause 2.1.3, table 5, and requirements 19 and 33; well
///           known binary of OGC 06-103r4 clause 8.2.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>

#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::place {

/// The box around a geometry's coordinates.
struct Box {
    double min_x = 0;
    double max_x = 0;
    double min_y = 0;
    double max_y = 0;

    friend constexpr bool operator==(const Box&, const Box&) = default;
};

/// What a blob holds.
struct GpbGeometry {
    std::int32_t srs_id = 0;
    std::uint32_t kind = 0;  ///< 1 point, 2 line, 3 polygon, 4 to 6 the multis, 7 collection
    bool has_z = false;
    bool has_m = false;
    bool empty = false;              ///< no coordinates, or a point of NaN
    std::optional<Box> box;          ///< of the coordinates themselves; none when empty
    std::optional<Box> written_box;  ///< as the header claims
    std::optional<LonLat> point;     ///< when it is a point that is not empty
};

/// Header and body, all of it: bytes left over are a fault.
[[nodiscard]] Result<GpbGeometry> read_gpb(std::span<const std::uint8_t> blob);

/// A point without envelope, little-endian: 29 bytes.
[[nodiscard]] std::array<std::uint8_t, 29> write_gpb_point(LonLat place,
                                                           std::int32_t srs_id = 4326);

}  // namespace nestround::place
