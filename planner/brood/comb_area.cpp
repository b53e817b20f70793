#include "planner/brood/comb_area.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace nestround::brood {

namespace {

constexpr double kOuterTenth = 1.2816;

double turn(PixelPoint a, PixelPoint b, PixelPoint c)
{
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

bool is_between(PixelPoint a, PixelPoint b, PixelPoint p)
{
    return std::min(a.x, b.x) <= p.x && p.x <= std::max(a.x, b.x) && std::min(a.y, b.y) <= p.y &&
           p.y <= std::max(a.y, b.y);
}

/// Whether two stretches have a point in common.
bool meet(PixelPoint a, PixelPoint b, PixelPoint c, PixelPoint d)
{
    const double c_side = turn(a, b, c);
    const double d_side = turn(a, b, d);
    const double a_side = turn(c, d, a);
    const double b_side = turn(c, d, b);
    if (((c_side > 0) != (d_side > 0)) && ((a_side > 0) != (b_side > 0)) && c_side != 0 &&
        d_side != 0 && a_side != 0 && b_side != 0) {
        return true;
    }
    return (c_side == 0 && is_between(a, b, c)) || (d_side == 0 && is_between(a, b, d)) ||
           (a_side == 0 && is_between(c, d, a)) || (b_side == 0 && is_between(c, d, b));
}

/// Standard deviation of the logarithm of a length, from a row of its relative error.
double length_error(const nature::TaxaTable& table, std::string_view parameter)
{
    const auto* row = table.figure("all", parameter);
    return row == nullptr ? 0.1 : row->middle();
}

Error fault(std::string words) { return {ErrorCode::InvalidInput, std::move(words), "outline"}; }

}  // namespace

Result<double> outline_pixels(const Outline& given, std::optional<PictureSize> picture)
{
    Outline outline;  // without points that stand twice
    for (const auto& point : given) {
        if (!std::isfinite(point.x) || !std::isfinite(point.y)) {
            return tl::unexpected{fault("a point of the outline is no number")};
        }
        if (picture &&
            (point.x < 0 || point.y < 0 || point.x > picture->width || point.y > picture->height)) {
            return tl::unexpected{
                fault(fmt::format("the point {:g},{:g} lies outside the picture of {} by {} pixels",
                                  point.x, point.y, picture->width, picture->height))};
        }
        if (outline.empty() || !(outline.back() == point)) {
            outline.push_back(point);
        }
    }
    if (outline.size() > 1 && outline.front() == outline.back()) {
        outline.pop_back();
    }
    const std::size_t n = outline.size();
    if (n < 3) {
        return tl::unexpected{fault(fmt::format("an outline needs 3 points, not {}", n))};
    }
    for (std::size_t i = 0; i < n; ++i) {
        for (std::size_t j = i + 2; j < n; ++j) {
            if (i == 0 && j == n - 1) {
                continue;  // neighbours
            }
            if (meet(outline[i], outline[i + 1], outline[j], outline[(j + 1) % n])) {
                return tl::unexpected{fault(fmt::format(
                    "the outline crosses itself between its points {} and {}; draw it round the "
                    "comb once",
                    i + 1, j + 1))};
            }
        }
    }
    double twice = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const auto& a = outline[i];
        const auto& b = outline[(i + 1) % n];
        twice += a.x * b.y - b.x * a.y;
    }
    if (std::abs(twice) < 1e-9) {
        return tl::unexpected{fault("the outline has no area")};
    }
    return std::abs(twice) / 2;
}

Result<CombArea> area_of(std::span<const Outline> outlines, const PictureScale& scale,
                         PictureSize picture, const nature::TaxaTable& table)
{
    for (const auto& end : {scale.from, scale.to}) {
        if (!(end.x >= 0 && end.y >= 0 && end.x <= picture.width && end.y <= picture.height)) {
            return tl::unexpected{
                Error{ErrorCode::InvalidInput,
                      fmt::format("the point {:g},{:g} lies outside the picture of {} by {} pixels",
                                  end.x, end.y, picture.width, picture.height),
                      "scale"}};
        }
    }
    const double pixels = std::hypot(scale.to.x - scale.from.x, scale.to.y - scale.from.y);
    if (!(pixels > 0) || !(scale.millimetres > 0) || !std::isfinite(scale.millimetres)) {
        return tl::unexpected{
            Error{ErrorCode::InvalidInput,
                  "the two points of known distance must lie apart, and the distance be above zero",
                  "scale"}};
    }
    if (outlines.empty()) {
        return tl::unexpected{fault("there is no outline")};
    }
    double area = 0;
    for (const auto& outline : outlines) {
        const auto one = outline_pixels(outline, picture);
        if (!one) {
            return tl::unexpected{one.error()};
        }
        area += *one;
    }
    const double cm_a_pixel = scale.millimetres / 10 / pixels;
    // A pixel or two at each end of the scale, and lens and slant for the rest.
    const double scale_error = 1.5 / pixels;
    const double error = std::hypot(length_error(table, "comb.read_error"), scale_error);
    return CombArea{area * cm_a_pixel * cm_a_pixel, 2 * error};
}

CombArea area_of(double along_cm, double across_cm, int combs, const nature::TaxaTable& table)
{
    const double across = across_cm > 0 ? across_cm : along_cm;
    return {std::numbers::pi / 4 * along_cm * across * combs,
            length_error(table, "comb.size_error") * std::numbers::sqrt2};
}

CombCells cells_on(const CombArea& area, std::optional<double> cell_mm,
                   const nature::TaxaTable& table, std::string_view taxon)
{
    const double of_width = table.figure("all", "cells.per_cm2_of_width")->middle();
    if (cell_mm) {
        constexpr double kRuler = 0.02;  // of a width taken over ten cells
        return {area.cm2 * of_width / (*cell_mm * *cell_mm), std::hypot(area.doubt, 2 * kRuler)};
    }
    constexpr double kOtherNests = 0.15;  // the measured ratio on another nest of its genus
    if (const auto* ratio = table.figure(taxon, "cells.per_cm2")) {
        return {area.cm2 * ratio->middle(), std::hypot(area.doubt, kOtherNests)};
    }
    if (const auto* width = table.figure(taxon, "cell.width")) {
        const double error = std::log(width->highest() / width->lowest()) / 2 / kOuterTenth;
        return {area.cm2 * of_width / (width->middle() * width->middle()),
                std::hypot(area.doubt, std::max(kOtherNests, 2 * error))};
    }
    constexpr double kAnyWidth = 5.2;  // mm, when even the genus is unknown
    constexpr double kAnyDoubt = 0.4;
    return {area.cm2 * of_width / (kAnyWidth * kAnyWidth), std::hypot(area.doubt, kAnyDoubt)};
}

}  // namespace nestround::brood
