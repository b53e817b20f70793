/// \file photo_file.hpp
/// \brief What a photo's own bytes say: its form, its size, where and when it was taken.
///
/// Purpose:  a picture is known by its content, never by its name or by what a browser says of it.
/// Units:    pixels; degrees on WGS 84; the camera's clock, with its offset where it wrote one.
/// Range:    JPEG, PNG and WebP up to kLargestPhoto bytes and 65,535 pixels a side.
/// Accuracy: as the camera wrote; a turn that it noted is not applied to the size. A position of
///           exactly 0, 0 is taken as none.
/// Errors:   InvalidInput for another form, for a file that breaks off, and for one too large. Exif
///           that cannot be read is no error: place and time are then empty.
/// Source:   ITU-T T.81, W3C PNG (third edition), RFC 9649; Exif 2.32 (CIPA DC-008), TIFF 6.0.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "geocore/base/calendar.hpp"
#include "geocore/base/error.hpp"
#include "geocore/units/units.hpp"

namespace nestround::intake {

inline constexpr std::size_t kLargestPhoto = 12'000'000;

struct PhotoFacts {
    std::string content_type;  ///< "image/jpeg", "image/png" or "image/webp"
    int width = 0;
    int height = 0;
    std::optional<LonLat> place;
    std::optional<Instant> taken;  ///< by the camera's clock, as if it were UTC
    std::optional<seconds> ahead;  ///< of UTC, where the camera says
    int turn = 1;                  ///< Exif's orientation, 1 (upright) to 8
};

[[nodiscard]] Result<PhotoFacts> read_photo(std::span<const std::uint8_t> bytes);

/// The instant in UTC; a camera that tells no offset shows the clock of `zone`.
[[nodiscard]] std::optional<Instant> taken_at(const PhotoFacts& facts, const std::string& zone);

}  // namespace nestround::intake
