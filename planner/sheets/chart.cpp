#include "planner/sheets/chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geocore/base/error.hpp"

namespace nestround::sheets {

namespace {

constexpr Colour kPaper{0xfdfcf9, 1};
constexpr Colour kGrid{0xdcd8cf, 1};
constexpr Colour kQuiet{0x6a665e, 1};
constexpr double kLeft = 15;   ///< of the axis, for its numbers
constexpr double kRight = 17;  ///< for names of lines
constexpr double kHead = 13;
constexpr double kFoot = 7;
constexpr double kMargin = 8;

/// Turns values into places on the page.
struct Scale {
    const PageBox area;
    const Chart& chart;

    [[nodiscard]] double x(double value) const
    {
        return area.x + (value - chart.x_low) / (chart.x_high - chart.x_low) * area.width;
    }
    [[nodiscard]] double y(double value) const
    {
        return area.y + area.height -
               (value - chart.y_low) / (chart.y_high - chart.y_low) * area.height;
    }
};

[[nodiscard]] bool is_drawn(double x, double y) { return std::isfinite(x) && std::isfinite(y); }

void draw_grid(Canvas& canvas, const Scale& scale)
{
    const auto& area = scale.area;
    const Font words{2.4, Weight::Normal, kQuiet, 0};
    for (const auto& tick : scale.chart.y_ticks) {
        const double y = scale.y(tick.at);
        canvas.move_to({area.x, y});
        canvas.line_to({area.x + area.width, y});
        canvas.stroke({kGrid, 0.15, {}});
        canvas.text({area.x - 1.5, y + 0.9}, tick.words, words, Align::Right);
    }
    for (const auto& tick : scale.chart.x_ticks) {
        const double x = scale.x(tick.at);
        canvas.move_to({x, area.y});
        canvas.line_to({x, area.y + area.height + 1});
        canvas.stroke({kGrid, 0.15, {}});
        canvas.text({x, area.y + area.height + 4}, tick.words, words, Align::Middle);
    }
    canvas.move_to({area.x, area.y});
    canvas.line_to({area.x, area.y + area.height});
    canvas.line_to({area.x + area.width, area.y + area.height});
    canvas.stroke({kQuiet, 0.25, {}});
}

void draw_band(Canvas& canvas, const Scale& scale, const ChartBand& band)
{
    bool begun = false;
    for (std::size_t i = 0; i < band.x.size(); ++i) {
        if (is_drawn(band.x[i], band.high[i])) {
            const PagePoint p{scale.x(band.x[i]), scale.y(band.high[i])};
            begun ? canvas.line_to(p) : canvas.move_to(p);
            begun = true;
        }
    }
    for (std::size_t i = band.x.size(); i-- > 0;) {
        if (is_drawn(band.x[i], band.low[i])) {
            canvas.line_to({scale.x(band.x[i]), scale.y(band.low[i])});
        }
    }
    if (begun) {
        canvas.close();
        canvas.fill(band.colour);
    }
}

void draw_line(Canvas& canvas, const Scale& scale, const ChartLine& line)
{
    if (line.points) {
        for (std::size_t i = 0; i < line.x.size(); ++i) {
            if (is_drawn(line.x[i], line.y[i])) {
                canvas.circle({scale.x(line.x[i]), scale.y(line.y[i])},
                              std::max(0.5, line.pen.width * 1.6));
                canvas.fill(line.pen.colour);
            }
        }
        return;
    }
    bool begun = false;
    for (std::size_t i = 0; i < line.x.size(); ++i) {
        if (is_drawn(line.x[i], line.y[i])) {
            const PagePoint p{scale.x(line.x[i]), scale.y(line.y[i])};
            begun ? canvas.line_to(p) : canvas.move_to(p);
            begun = true;
        }
    }
    if (begun) {
        canvas.stroke(line.pen);
    }
}

/// Names beside the ends of their lines, moved apart where they would overlap.
void name_lines(Canvas& canvas, const Scale& scale)
{
    struct Name {
        double y;
        const ChartLine* line;
    };
    std::vector<Name> names;
    for (const auto& line : scale.chart.lines) {
        for (std::size_t i = line.x.size(); i-- > 0 && !line.name.empty();) {
            if (is_drawn(line.x[i], line.y[i])) {
                names.push_back({scale.y(line.y[i]), &line});
                break;
            }
        }
    }
    std::sort(names.begin(), names.end(), [](const Name& a, const Name& b) { return a.y < b.y; });
    constexpr double kApart = 3.2;
    for (std::size_t i = 1; i < names.size(); ++i) {
        names[i].y = std::max(names[i].y, names[i - 1].y + kApart);
    }
    const double bottom = scale.area.y + scale.area.height;
    for (std::size_t i = names.size(); i-- > 0;) {
        const double most = i + 1 < names.size() ? names[i + 1].y - kApart : bottom;
        names[i].y = std::min(names[i].y, most);
    }
    for (const auto& name : names) {
        canvas.text({scale.area.x + scale.area.width + 1.2, name.y + 0.9}, name.line->name,
                    {2.5, Weight::Bold, name.line->pen.colour, 0}, Align::Left, kRight - 1.5);
    }
}

void draw_mark(Canvas& canvas, const Scale& scale, const ChartMark& mark)
{
    const PagePoint at{scale.x(mark.x), scale.y(mark.y)};
    canvas.move_to({at.x, scale.area.y + scale.area.height});
    canvas.line_to(at);
    canvas.stroke({mark.colour, 0.25, {0.8, 0.8}});
    canvas.circle(at, 1);
    canvas.fill(mark.colour);
    const bool is_right = at.x > scale.area.x + 0.65 * scale.area.width;
    canvas.text({at.x + (is_right ? -1.6 : 1.6), std::max(at.y - 1.4, scale.area.y + 2.5)},
                mark.words, {2.5, Weight::Bold, mark.colour, 0.6},
                is_right ? Align::Right : Align::Left);
}

}  // namespace

std::vector<ChartTick> round_ticks(double low, double high, int about)
{
    std::vector<ChartTick> ticks;
    if (!(high > low) || about < 1) {
        return ticks;
    }
    const double raw = (high - low) / about;
    const double power = std::pow(10, std::floor(std::log10(raw)));
    double step = 10 * power;
    for (const double nice : {1.0, 2.0, 2.5, 5.0}) {
        if (nice * power >= raw * (1 - 1e-9)) {
            step = nice * power;
            break;
        }
    }
    // As many decimals as tell the steps apart.
    int decimals = 0;
    while (decimals < 9 && std::abs(step * std::pow(10, decimals) -
                                    std::round(step * std::pow(10, decimals))) > 1e-6) {
        ++decimals;
    }
    for (double at = std::ceil(low / step - 1e-9) * step; at <= high + 1e-9 * step; at += step) {
        ticks.push_back({at, fmt::format("{:.{}f}", at + 0.0, decimals)});
    }
    return ticks;
}

std::vector<ChartTick> day_ticks(Day first, int days)
{
    std::vector<ChartTick> ticks;
    const bool by_month = days > 84;
    const int weeks = days > 42 ? 2 : 1;
    int mondays = 0;
    for (int d = 0; d <= days; ++d) {
        const Day day = first + std::chrono::days{d};
        const std::chrono::year_month_day date{day};
        const bool is_monday = std::chrono::weekday{day} == std::chrono::Monday;
        const bool shown =
            by_month ? unsigned{date.day()} == 1 : is_monday && mondays++ % weeks == 0;
        if (shown) {
            const std::string name = format_day_long(day);  // "Monday 3 August 2026"
            const auto space = name.find(' ') + 1;
            const auto month = name.find(' ', space) + 1;
            ticks.push_back({static_cast<double>(d),
                             by_month ? name.substr(month, 3)
                                      : name.substr(space, month - space) + name.substr(month, 3)});
        }
    }
    return ticks;
}

double axis_end(double most)
{
    if (!(most > 0)) {
        return 1;
    }
    const double power = std::pow(10, std::floor(std::log10(most)));
    for (const double nice : {1.0, 1.2, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0}) {
        if (nice * power >= most) {
            return nice * power;
        }
    }
    return 10 * power;
}

void draw_chart(Canvas& canvas, const PageBox& box, const Chart& chart)
{
    const Scale scale{
        {box.x + kLeft, box.y + kHead, box.width - kLeft - kRight, box.height - kHead - kFoot},
        chart};
    canvas.text({box.x, box.y + 3.4}, chart.title, {3.3, Weight::Bold, kChartInk, 0}, Align::Left,
                box.width);
    canvas.text({box.x, box.y + 7.2}, chart.note, {2.4, Weight::Normal, kQuiet, 0}, Align::Left,
                box.width);
    canvas.text({scale.area.x - 1.5, scale.area.y - 1.6}, chart.y_name,
                {2.3, Weight::Slanted, kQuiet, 0.6});
    draw_grid(canvas, scale);
    canvas.clip(scale.area);
    for (const auto& band : chart.bands) {
        draw_band(canvas, scale, band);
    }
    for (const auto& line : chart.lines) {
        draw_line(canvas, scale, line);
    }
    canvas.unclip();
    name_lines(canvas, scale);
    for (const auto& words : chart.words) {
        canvas.text({scale.x(words.x), scale.y(words.y) + 0.9}, words.words,
                    {2.3, Weight::Bold, words.colour, 0.5}, Align::Middle);
    }
    for (const auto& mark : chart.marks) {
        draw_mark(canvas, scale, mark);
    }
}

std::string draw_charts(const std::string& heading, const std::vector<Chart>& charts, int columns,
                        MapFormat format, double width_mm, double chart_height_mm,
                        const std::string& foot)
{
    const int across = std::max(1, columns);
    const int rows = (static_cast<int>(charts.size()) + across - 1) / across;
    const double top = heading.empty() ? kMargin : kMargin + 9;
    const double bottom = foot.empty() ? kMargin : kMargin + 6;
    const double height = top + rows * chart_height_mm + bottom;
    Canvas canvas{format, width_mm, height, 150};
    canvas.rectangle({0, 0, width_mm, height});
    canvas.fill(kPaper);
    canvas.text({kMargin, kMargin + 3.5}, heading, {4.4, Weight::Bold, kChartInk, 0}, Align::Left,
                width_mm - 2 * kMargin);
    const double width = (width_mm - 2 * kMargin) / across;
    for (std::size_t i = 0; i < charts.size(); ++i) {
        const int row = static_cast<int>(i) / across;
        const int column = static_cast<int>(i) % across;
        draw_chart(
            canvas,
            {kMargin + column * width, top + row * chart_height_mm, width - 4, chart_height_mm - 4},
            charts[i]);
    }
    if (!foot.empty()) {
        canvas.text({kMargin, height - kMargin + 2}, foot, {2.4, Weight::Normal, kQuiet, 0},
                    Align::Left, width_mm - 2 * kMargin);
    }
    return canvas.finish();
}

MapFormat picture_format(const std::string& path)
{
    if (path.ends_with(".svg")) {
        return MapFormat::Svg;
    }
    if (path.ends_with(".png")) {
        return MapFormat::Png;
    }
    if (path.ends_with(".pdf")) {
        return MapFormat::Pdf;
    }
    throw Failure{ErrorCode::BadUsage, "a picture wants a name ending in .png, .svg or .pdf", path};
}

}  // namespace nestround::sheets
