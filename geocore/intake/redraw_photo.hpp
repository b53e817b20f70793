/// \file redraw_photo.hpp
/// \brief A photo drawn anew from its pixels, so that nothing but what is seen is left of it.
///
/// Purpose:  a photo that leaves the book carries no position, no time, no camera, no thumbnail and
///           no words: what is not drawn is not there. It also stands upright, as the camera
///           noted, and is no larger than it needs to be.
/// Units:    pixels.
/// Range:    JPEG, PNG and WebP, as read_photo knows them. What is transparent becomes white.
/// Accuracy: JPEG at quality 88; larger pictures are averaged down.
/// Errors:   Failure{InvalidInput} for a picture that cannot be opened.
/// Source:   GDAL's raster drivers; the turns of Exif 2.32 (CIPA DC-008), tag 0x0112.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

namespace nestround::intake {

struct RedrawnPhoto {
    std::vector<std::uint8_t> jpeg;
    int width = 0;
    int height = 0;
};

/// The longer side has at most `most` pixels. The same bytes give the same bytes.
[[nodiscard]] RedrawnPhoto redraw_photo(std::span<const std::uint8_t> bytes, int most = 2048);

}  // namespace nestround::intake
