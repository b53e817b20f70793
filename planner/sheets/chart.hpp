/// \file chart.hpp
/// \brief Curves over days: a band for the doubt, lines, marks, on plain axes.
///
/// Purpose:  one look for every curve that the program draws: growth, catch, emergence,
///           calibration.
/// Units:    millimetres of the page; x and y in the caller's units.
/// Range:    points that are not finite are left out; an empty chart is its axes.
/// Accuracy: that of the picture.
/// Errors:   Failure (OutputFailed) when the page is too large for Cairo.
/// Source:   own. Colours are told apart in print and by colour-blind readers, because lines also
///           differ in dashes and carry their names.
#pragma once

#include <string>
#include <vector>

#include "planner/sheets/map_canvas.hpp"
#include "planner/sheets/map_frame.hpp"

namespace nestround::sheets {

struct ChartBand {
    std::vector<double> x;
    std::vector<double> low;
    std::vector<double> high;
    Colour colour;
};

struct ChartLine {
    std::vector<double> x;
    std::vector<double> y;
    Pen pen;
    std::string name;     ///< beside its last point; may be empty
    bool points = false;  ///< dots instead of a line
};

/// A place on an axis with words.
struct ChartTick {
    double at = 0;
    std::string words;
};

struct ChartMark {
    double x = 0;
    double y = 0;
    std::string words;
    Colour colour;
};

struct Chart {
    std::string title;
    std::string note;  ///< under the title, small
    std::string y_name;
    double x_low = 0;
    double x_high = 1;
    double y_low = 0;
    double y_high = 1;
    std::vector<ChartTick> x_ticks;
    std::vector<ChartTick> y_ticks;
    std::vector<ChartBand> bands;
    std::vector<ChartLine> lines;
    std::vector<ChartMark> marks;
    std::vector<ChartMark> words;  ///< centred on their place, no dot
};

/// Round numbers between the limits, `about` of them or fewer.
[[nodiscard]] std::vector<ChartTick> round_ticks(double low, double high, int about);
/// Days as days from `first`: Mondays or firsts of months, whichever are fewer than a dozen.
[[nodiscard]] std::vector<ChartTick> day_ticks(Day first, int days);
/// A number at or above `most` that ends an axis well.
[[nodiscard]] double axis_end(double most);

void draw_chart(Canvas& canvas, const PageBox& box, const Chart& chart);

/// Charts in rows of `columns`, under a heading; the bytes of the picture.
[[nodiscard]] std::string draw_charts(const std::string& heading, const std::vector<Chart>& charts,
                                      int columns, MapFormat format, double width_mm = 240,
                                      double chart_height_mm = 70, const std::string& foot = {});

/// By the name's ending: Png or Svg; BadUsage naming the file for any other.
[[nodiscard]] MapFormat picture_format(const std::string& path);

// What charts are drawn with.
inline constexpr Colour kChartInk{0x2b2b2b, 1};
inline constexpr Colour kChartBlue{0x1f5f8b, 1};
inline constexpr Colour kChartAmber{0xb86a00, 1};
inline constexpr Colour kChartRed{0xa3273a, 1};
inline constexpr Colour kChartGreen{0x2f6b3c, 1};

}  // namespace nestround::sheets
