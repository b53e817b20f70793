#include "planner/sheets/stage_text.hpp"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "planner/sheets/show.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

using Json = nlohmann::ordered_json;

/// Two figures and a bit: a forecast is no count.
std::string rough(double value)
{
    if (value < 20) {
        return fmt::format("{:.0f}", value);
    }
    const double step = std::pow(10, std::floor(std::log10(value)) - 1);
    return fmt::format("{:.0f}", std::round(value / step) * step);
}

std::string rough(const Spread<double>& spread)
{
    return fmt::format("{:>7} {:>8} {:>8}", rough(spread.low), rough(spread.middle),
                       rough(spread.high));
}

std::string percent(double share) { return fmt::format("{:.0f} %", share * 100); }

std::string heeded(const nature::Weighed& done)
{
    switch (done.heeded) {
        case nature::Heeded::Told:
            return "";
        case nature::Heeded::ToldNothing:
            return "tells nothing: nothing changed";
        case nature::Heeded::Softened:
            return "counted softly, so that the forecast stays no narrower than is known";
        case nature::Heeded::Contradicts:
            return "contradicts: the forecast is widened to hold all that may be";
    }
    return "";
}

void write_steps(TextPage& page, const yield::StageReport& report)
{
    page.heading("Why", Ink::Strong);
    page.block("  ", "  ", Ink::Plain,
               fmt::format("Before anything is seen: {} at {:.1f} degrees on this day: {} ({}), "
                           "workers {} ({} to {}).",
                           report.taxon, report.latitude, text(report.prior.likeliest()),
                           percent(report.prior.chance(report.prior.likeliest())),
                           rough(report.prior.workers.middle), rough(report.prior.workers.low),
                           rough(report.prior.workers.high)));
    int number = 0;
    for (const auto& step : report.steps) {
        const auto gutter = fmt::format("  {}. ", ++number);
        page.block(gutter, "     ", Ink::Plain, clean(step.words) + ".");
        if (const auto words = heeded(step.done); !words.empty()) {
            page.block("     ", "     ", Ink::Plain, words, Ink::Faint);
        }
        if (step.done.heeded == nature::Heeded::Told ||
            step.done.heeded == nature::Heeded::Softened) {
            page.block(
                "     ", "     ", Ink::Plain,
                fmt::format("workers {} ({} to {}) -> {} ({} to {}); {} {} -> {} {}; worth {:.0f} "
                            "courses",
                            rough(step.workers_before.middle), rough(step.workers_before.low),
                            rough(step.workers_before.high), rough(step.workers_after.middle),
                            rough(step.workers_after.low), rough(step.workers_after.high),
                            text(step.stage_before), percent(step.chance_before),
                            text(step.stage_after), percent(step.chance_after),
                            step.done.effective));
        }
    }
    if (report.steps.empty()) {
        page.block("  ", "  ", Ink::Plain, "Nothing was seen beside place, wasp and day.");
    }
}

Json spread_of(const Spread<double>& spread)
{
    return {{"low", spread.low}, {"middle", spread.middle}, {"high", spread.high}};
}

}  // namespace

std::string stage_text(const yield::StageReport& report, const std::string& place, bool why,
                       const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    page.spread("Stage: " + clean(place), Ink::Strong, format_day_long(report.on), Ink::Plain);
    page.line(report.taxon);
    for (const auto& warning : report.warnings) {
        page.block("note    ", "        ", Ink::Warn, clean(warning));
    }
    for (const auto& words : report.rests_on) {
        page.block("rests on  ", "          ", Ink::Faint, clean(words));
    }
    if (why) {
        page.blank();
        write_steps(page, report);
    }
    page.blank();
    page.heading("Stage", Ink::Strong);
    for (std::size_t i = 0; i < nature::kStages; ++i) {
        if (report.now.stage[i] >= 0.005) {
            page.line_as_is(fmt::format("  {:>5}  {}", percent(report.now.stage[i]),
                                        text(static_cast<nature::Stage>(i))));
        }
    }
    page.blank();
    page.heading("In the nest      10 %     50 %     90 %", Ink::Strong);
    const auto row = [&](std::string_view name, const Spread<double>& spread) {
        page.line_as_is(fmt::format("  {:<13}{}", name, rough(spread)));
    };
    row("workers", report.now.workers);
    row("eggs", report.now.eggs);
    row("larvae", report.now.larvae);
    row("sealed small", report.now.sealed_small);
    row("sealed large", report.now.sealed_large);
    row("new queens", report.now.gynes);
    row("males", report.now.males);
    row("cells", report.now.cells);
    row("combs", report.now.combs);
    page.blank();
    const auto date = [&](std::string_view name, const Spread<double>& spread) {
        const auto day = [&](double at) {
            return format_day(nature::calendar_day(at, Latitude{report.latitude}, report.season));
        };
        page.line_as_is(fmt::format("  {:<22}{}  {}  {}", name, day(spread.low), day(spread.middle),
                                    day(spread.high)));
    };
    page.heading("Dates", Ink::Strong);
    date("first workers", report.dates.first_workers);
    date("first large cells", report.dates.large_cells);
    date("queens and males out", report.dates.sexuals);
    date("most workers", report.dates.peak);
    date("end", report.dates.end);
    return page.take();
}

std::string stage_json(const yield::StageReport& report)
{
    Json stages;
    for (std::size_t i = 0; i < nature::kStages; ++i) {
        stages[std::string{text(static_cast<nature::Stage>(i))}] = report.now.stage[i];
    }
    Json steps = Json::array();
    for (const auto& step : report.steps) {
        steps.push_back({{"seen", step.words},
                         {"changed", step.done.heeded == nature::Heeded::Told ||
                                         step.done.heeded == nature::Heeded::Softened},
                         {"contradicts", step.done.heeded == nature::Heeded::Contradicts},
                         {"workers_before", spread_of(step.workers_before)},
                         {"workers_after", spread_of(step.workers_after)},
                         {"worth_courses", step.done.effective}});
    }
    const auto& now = report.now;
    const Json out{{"day", format_day(report.on)},
                   {"taxon", report.taxon},
                   {"stages", stages},
                   {"workers", spread_of(now.workers)},
                   {"eggs", spread_of(now.eggs)},
                   {"larvae", spread_of(now.larvae)},
                   {"sealed_small", spread_of(now.sealed_small)},
                   {"sealed_large", spread_of(now.sealed_large)},
                   {"new_queens", spread_of(now.gynes)},
                   {"males", spread_of(now.males)},
                   {"cells", spread_of(now.cells)},
                   {"combs", spread_of(now.combs)},
                   {"steps", steps},
                   {"widened", report.widened},
                   {"rests_on", report.rests_on},
                   {"warnings", report.warnings}};
    return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace nestround::sheets
