/// \file outline_file.hpp
/// \brief Outlines on a picture, from a JSON, GeoJSON or SVG file or as typed.
///
/// Purpose:  whatever a person drew a comb's edge with.
/// Units:    pixels from the picture's upper left corner, y downwards.
/// Range:    JSON: [[x, y], ...] or a list of such; GeoJSON: Polygon, MultiPolygon and what holds
///           them, without holes; SVG: polygon, polyline and paths of straight lines, without
///           transforms, scaled from the drawing's viewBox to the picture.
/// Accuracy: as drawn.
/// Errors:   Failure: NotFound, or InvalidInput naming file and fault.
/// Source:   RFC 7946; W3C Scalable Vector Graphics 1.1, chapters 7 to 9.
#pragma once

#include <filesystem>
#include <string_view>
#include <utility>
#include <vector>

namespace nestround::intake {

using PixelLine = std::vector<std::pair<double, double>>;

/// All outlines of the file; `width` and `height` of the picture scale an SVG drawing.
[[nodiscard]] std::vector<PixelLine> read_outlines(const std::filesystem::path& file, int width,
                                                   int height);
/// "120,80 400,95 380,300".
[[nodiscard]] PixelLine typed_outline(std::string_view text);

}  // namespace nestround::intake
