/// \file comb_area.hpp
/// \brief From a comb's outline or diameter to its area and its cells, with their doubt.
///
/// Purpose:  a comb that nobody counts: measured with a ruler, or outlined on a photograph on which
///           two points of known distance are seen.
/// Units:    pixels, square centimetres, millimetres across the flats of a cell.
/// Range:    outlines of 3 points or more that do not cross themselves; scales above zero.
/// Accuracy: doubt is the standard deviation of the logarithm: twice that of the lengths, with that
///           of the cells' width. A comb of even cells, flat and square to the camera, would be
///           exact.
/// Errors:   InvalidInput: too few points, outside the picture, crossing itself, no scale.
/// Source:   rows comb.read_error, comb.size_error, cells.per_cm2, cell.width of the taxa table;
///           Gauss's area formula.
#pragma once

#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/nature/taxa_table.hpp"

namespace nestround::brood {

struct PixelPoint {
    double x = 0;
    double y = 0;

    friend bool operator==(const PixelPoint&, const PixelPoint&) = default;
};
using Outline = std::vector<PixelPoint>;

struct PictureSize {
    int width = 0;
    int height = 0;
};

/// Two points of known distance.
struct PictureScale {
    PixelPoint from;
    PixelPoint to;
    double millimetres = 0;
};

/// Square pixels within an outline, whichever way round it runs.
[[nodiscard]] Result<double> outline_pixels(const Outline& outline,
                                            std::optional<PictureSize> picture = {});

struct CombArea {
    double cm2 = 0;
    double doubt = 0;  ///< standard deviation of the logarithm
};
/// All outlines together.
[[nodiscard]] Result<CombArea> area_of(std::span<const Outline> outlines, const PictureScale& scale,
                                       PictureSize picture, const nature::TaxaTable& table);
/// An ellipse; `across` 0: as wide as long. `combs` of that size.
[[nodiscard]] CombArea area_of(double along_cm, double across_cm, int combs,
                               const nature::TaxaTable& table);

struct CombCells {
    double cells = 0;
    double doubt = 0;
};
/// Cells on an area: by their width when it was measured, else by the wasp's own rows.
[[nodiscard]] CombCells cells_on(const CombArea& area, std::optional<double> cell_mm,
                                 const nature::TaxaTable& table, std::string_view taxon);

}  // namespace nestround::brood
