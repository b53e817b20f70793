#include "planner/sheets/hold_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

using season::HoldAdvice;
using season::HoldDay;

constexpr std::size_t kMostRibbons = 60;

/// "15 August".
[[nodiscard]] std::string short_day(Day day)
{
    const std::string whole = format_day_long(day);
    const auto from = whole.find(' ') + 1;
    return whole.substr(from, whole.rfind(' ') - from);
}

[[nodiscard]] Ink ink_of(HoldAdvice advice)
{
    return advice == HoldAdvice::TakeNow    ? Ink::Warn
           : advice == HoldAdvice::AskFirst ? Ink::Faint
                                            : Ink::Plain;
}

/// Worth of each week as a bar of blocks, the best one fullest.
[[nodiscard]] std::string spark(const season::HoldCurve& curve)
{
    static constexpr std::array<std::string_view, 9> kBlocks{" ", "▁", "▂", "▃", "▄",
                                                             "▅", "▆", "▇", "█"};
    double most = 0;
    for (const auto& day : curve.days) {
        most = std::max(most, day.worth);
    }
    std::string bar;
    constexpr std::size_t kCells = 28;
    for (std::size_t cell = 0; cell < kCells; ++cell) {
        const std::size_t at = cell * curve.days.size() / kCells;
        const HoldDay& day = curve.days[at];
        const double share = most > 0 ? std::clamp(day.worth / most, 0.0, 1.0) : 0;
        bar += day.allowed ? kBlocks[static_cast<std::size_t>(std::lround(share * 8))] : "·";
    }
    return bar;
}

[[nodiscard]] Chart yield_chart(const HoldEntry& entry, Day on)
{
    Chart chart;
    chart.title = "What it would give";
    chart.note = "grams of frozen workers, middle and 8 times in 10 between the edges";
    chart.y_name = "g";
    ChartBand band;
    ChartLine line;
    double most = 1;
    for (std::size_t d = 0; d < entry.curve.days.size(); ++d) {
        const auto& grams = entry.curve.days[d].grams;
        const auto x = static_cast<double>(d);
        band.x.push_back(x);
        band.low.push_back(grams.low.value());
        band.high.push_back(grams.high.value());
        line.x.push_back(x);
        line.y.push_back(grams.middle.value());
        most = std::max(most, grams.high.value());
    }
    band.colour = {kChartBlue.rgb, 0.18};
    line.pen = {kChartBlue, 0.6, {}};
    chart.x_high = std::max(1.0, static_cast<double>(entry.curve.days.size()) - 1);
    chart.y_high = axis_end(most);
    chart.x_ticks = day_ticks(on, static_cast<int>(chart.x_high));
    chart.y_ticks = round_ticks(0, chart.y_high, 5);
    chart.bands.push_back(std::move(band));
    chart.lines.push_back(std::move(line));
    return chart;
}

[[nodiscard]] Chart worth_chart(const HoldEntry& entry, Day on)
{
    const auto& curve = entry.curve;
    Chart chart;
    chart.title = "What it is worth on the day";
    chart.note =
        "points: the catch and the people near it, times the chance that it is still there, "
        "less what waiting costs";
    chart.y_name = "points";
    ChartLine worth;
    ChartLine catch_alone;
    ChartLine risk;
    double most = 1;
    double least = 0;
    for (std::size_t d = 0; d < curve.days.size(); ++d) {
        const auto& day = curve.days[d];
        const auto x = static_cast<double>(d);
        worth.x.push_back(x);
        worth.y.push_back(day.worth);
        risk.x.push_back(x);
        risk.y.push_back(day.worth + day.risk);
        most = std::max(most, day.worth + day.risk);
        least = std::min(least, day.worth);
    }
    worth.pen = {kChartGreen, 0.7, {}};
    worth.name = "worth";
    risk.pen = {kChartAmber, 0.35, {1.2, 0.9}};
    risk.name = "risk apart";
    chart.x_high = std::max(1.0, static_cast<double>(curve.days.size()) - 1);
    chart.y_low = least < 0 ? -axis_end(-least) : 0;
    chart.y_high = axis_end(most * 1.1);
    chart.x_ticks = day_ticks(on, static_cast<int>(chart.x_high));
    chart.y_ticks = round_ticks(chart.y_low, chart.y_high, 5);
    if (curve.days.back().risk > 0) {
        chart.lines.push_back(std::move(risk));
    }
    chart.lines.push_back(std::move(worth));
    if (curve.advice != HoldAdvice::AskFirst) {
        chart.marks.push_back({static_cast<double>(curve.best), curve.days[curve.best].worth,
                               "best " + short_day(curve.days[curve.best].day), kChartInk});
    }
    return chart;
}

/// One row a call: the darker a day, the nearer to the best; the best has a dot.
[[nodiscard]] std::string ribbons(const std::vector<HoldEntry>& calls, Day on, MapFormat format)
{
    constexpr double kWidth = 260;
    constexpr double kRow = 5.2;
    constexpr double kTop = 22;
    constexpr double kNames = 82;
    const std::size_t rows = std::min(calls.size(), kMostRibbons);
    const double height = kTop + kRow * static_cast<double>(rows) + 16;
    Canvas canvas{format, kWidth, height, 150};
    canvas.rectangle({0, 0, kWidth, height});
    canvas.fill({0xfdfcf9, 1});
    canvas.text({8, 11}, "Hold or take, from " + format_day_long(on),
                {4.4, Weight::Bold, kChartInk, 0});
    const std::size_t days = calls.empty() ? 1 : calls.front().curve.days.size();
    const double left = 8 + kNames;
    const double cell = (kWidth - left - 50) / static_cast<double>(days);
    const Font small{2.4, Weight::Normal, {0x6a665e, 1}, 0};
    for (const auto& tick : day_ticks(on, static_cast<int>(days) - 1)) {
        canvas.text({left + (tick.at + 0.5) * cell, kTop - 2}, tick.words, small, Align::Middle);
    }
    for (std::size_t row = 0; row < rows; ++row) {
        const auto& curve = calls[row].curve;
        const double y = kTop + kRow * static_cast<double>(row);
        canvas.text({8, y + 3.5}, place_name(calls[row].call.sheet),
                    {2.8, Weight::Normal, kChartInk, 0}, Align::Left, kNames - 18);
        canvas.text({left - 2, y + 3.5}, call_key(calls[row].call.sheet.call.id), small,
                    Align::Right);
        double most = 1e-9;
        for (const auto& day : curve.days) {
            most = std::max(most, day.worth);
        }
        for (std::size_t d = 0; d < days; ++d) {
            const auto& day = curve.days[d];
            const double share = std::clamp(day.worth / most, 0.0, 1.0);
            canvas.rectangle(
                {left + static_cast<double>(d) * cell + 0.1, y + 0.6, cell - 0.2, kRow - 1.2});
            // The upper half of the scale is what tells days apart.
            canvas.fill(day.allowed ? Colour{kChartBlue.rgb, 0.06 + 0.84 * std::pow(share, 3)}
                                    : Colour{0xdcd8cf, 0.45});
        }
        if (curve.advice != HoldAdvice::AskFirst) {
            canvas.circle({left + (static_cast<double>(curve.best) + 0.5) * cell, y + kRow / 2},
                          0.95);
            canvas.fill_keep({0xffffff, 1});
            canvas.stroke({kChartInk, 0.25, {}});
        }
        canvas.text({kWidth - 48, y + 3.5},
                    curve.advice == HoldAdvice::AskFirst ? "ask the client first" : curve.verdict,
                    {2.5, curve.advice == HoldAdvice::TakeNow ? Weight::Bold : Weight::Normal,
                     curve.advice == HoldAdvice::TakeNow ? kChartRed : kChartInk, 0},
                    Align::Left, 44);
    }
    std::string foot =
        "The darker a day, the nearer to the best of its row; the dot is the best day; pale grey: "
        "the "
        "client does not allow it. Weights are assumptions: see the settings.";
    if (rows < calls.size()) {
        foot += fmt::format(" The best {} of {} calls.", rows, calls.size());
    }
    canvas.text({8, height - 6}, foot, small, Align::Left, kWidth - 16);
    return canvas.finish();
}

}  // namespace

std::string hold_text(const std::vector<HoldEntry>& calls, Day on, const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    page.spread("Hold or take", Ink::Strong, format_day_long(on), Ink::Strong);
    if (calls.empty()) {
        page.line("No call is waiting on this day.");
        return page.take();
    }
    page.line(fmt::format("{} days ahead; the bar is the worth of each day against the best one.",
                          calls.front().curve.days.size()),
              Ink::Faint);
    page.blank();
    for (const auto& entry : calls) {
        const auto& sheet = entry.call.sheet;
        page.spread(" " + place_name(sheet), Ink::Strong, "call " + call_key(sheet.call.id),
                    Ink::Faint);
        page.line_as_is("   " + spark(entry.curve) + "  " +
                        page.in(ink_of(entry.curve.advice), entry.curve.verdict));
        std::string why;
        for (const auto& reason : entry.curve.reasons) {
            why += (why.empty() ? "" : "; ") + reason;
        }
        page.block("   ", "   ", Ink::Plain, clean(why), Ink::Faint);
    }
    page.blank();
    page.line("Weights of waiting are assumptions; a danger to people is never worth waiting with.",
              Ink::Faint);
    return page.take();
}

std::string hold_json(const std::vector<HoldEntry>& calls, Day on)
{
    using Json = nlohmann::ordered_json;
    Json out;
    out["form"] = "nestround-hold";
    out["form_version"] = 1;
    out["day"] = format_day(on);
    out["calls"] = Json::array();
    for (const auto& entry : calls) {
        const auto& curve = entry.curve;
        Json call;
        call["call_id"] = entry.call.sheet.call.id.text();
        call["call_key"] = call_key(entry.call.sheet.call.id);
        call["label"] = clean(entry.call.sheet.site.label);
        call["taxon"] = entry.call.outlook.taxon.empty() ? Json(nullptr)
                                                         : Json(clean(entry.call.outlook.taxon));
        call["advice"] = season::text(curve.advice);
        call["verdict"] = clean(curve.verdict);
        call["best_day"] = format_day(curve.days[curve.best].day);
        call["reasons"] = Json::array();
        for (const auto& reason : curve.reasons) {
            call["reasons"].push_back(clean(reason));
        }
        call["days"] = Json::array();
        for (const auto& day : curve.days) {
            call["days"].push_back({{"day", format_day(day.day)},
                                    {"allowed", day.allowed},
                                    {"workers_p50", day.workers},
                                    {"grams_p10", day.grams.low.value()},
                                    {"grams_p50", day.grams.middle.value()},
                                    {"grams_p90", day.grams.high.value()},
                                    {"still_there", day.still_there},
                                    {"risk", day.risk},
                                    {"worth", day.worth}});
        }
        out["calls"].push_back(std::move(call));
    }
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string hold_picture(const std::vector<HoldEntry>& calls, Day on, MapFormat format)
{
    if (calls.size() != 1) {
        return ribbons(calls, on, format);
    }
    const auto& entry = calls.front();
    return draw_charts(
        fmt::format("{}: {}", place_name(entry.call.sheet), entry.curve.verdict),
        {yield_chart(entry, on), worth_chart(entry, on)}, 1, format, 200, 72,
        "Weights of waiting are assumptions; a danger to people is never worth waiting with.");
}

}  // namespace nestround::sheets
