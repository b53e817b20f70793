/// \file picture_size.hpp
/// \brief How large a photograph is, by opening it.
///
/// Purpose:  pixel coordinates mean something only on the picture that they were read from.
/// Units:    pixels.
/// Range:    whatever GDAL opens: JPEG, PNG, TIFF, WebP and others.
/// Accuracy: exact; a turn that a camera noted is not applied.
/// Errors:   Failure: NotFound, or InvalidInput when it is no picture.
/// Source:   GDAL.
#pragma once

#include <filesystem>
#include <utility>

namespace nestround::intake {

/// Width and height.
[[nodiscard]] std::pair<int, int> picture_size(const std::filesystem::path& file);

}  // namespace nestround::intake
