#include "planner/rank/rank.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

namespace nestround::rank {

namespace {

/// A part of the score with its words; parts of no points are still worth saying.
struct Part {
    double points = 0;
    std::string words;
};

/// Below this share a change within a week is no reason to speak of.
constexpr double kWorthSaying = 0.05;

/// "1,850" to two figures: more would be more than is known.
std::string about(double value)
{
    if (value < 10) {
        return fmt::format("{:.0f}", value);
    }
    const double step = std::pow(10, std::floor(std::log10(value)) - 1);
    auto digits = fmt::format("{:.0f}", std::round(value / step) * step);
    for (int at = static_cast<int>(digits.size()) - 3; at > 0; at -= 3) {
        digits.insert(static_cast<std::size_t>(at), ",");
    }
    return digits;
}

std::string days_text(long days) { return days == 1 ? "1 day" : fmt::format("{} days", days); }

double worth_of(const RankSettings& settings, const std::string& taxon)
{
    const auto own = settings.worth_by_taxon.find(taxon);
    return own == settings.worth_by_taxon.end() ? settings.worth_per_gram : own->second;
}

void add_yield(std::vector<Part>& parts, const yield::NestOutlook& outlook, double worth)
{
    const double grams = outlook.grams.middle.value();
    if (!outlook.venom) {
        parts.push_back({0, "insecticide was used: nothing for laboratories"});
    }
    if (!(outlook.workers.high >= 1)) {
        parts.push_back({0, fmt::format("no workers expected on this day ({})", outlook.stage)});
        return;
    }
    parts.push_back(
        {grams * worth,
         fmt::format("about {} workers ({} to {}), {}; {} g ({} to {})",
                     about(outlook.workers.middle), about(outlook.workers.low),
                     about(outlook.workers.high), outlook.stage, about(grams),
                     about(outlook.grams.low.value()), about(outlook.grams.high.value()))});
}

void add_trend(std::vector<Part>& parts, const yield::NestOutlook& outlook, double worth,
               const RankSettings& settings)
{
    const double now = outlook.grams.middle.value();
    const double change = outlook.in_7_days.value() - now;
    const double scale = std::max(now, outlook.in_7_days.value());
    if (!(std::abs(change) > kWorthSaying * scale)) {
        return;
    }
    if (change > 0) {
        parts.push_back(
            {-settings.gain_weight * worth * change,
             fmt::format("may wait: would give {} g in a week and {} g in two",
                         about(outlook.in_7_days.value()), about(outlook.in_14_days.value()))});
    } else {
        parts.push_back(
            {-settings.loss_weight * worth * change,
             fmt::format("take it soon: only {} g left in a week and {} g in two",
                         about(outlook.in_7_days.value()), about(outlook.in_14_days.value()))});
    }
}

void add_people(std::vector<Part>& parts, const Call& call, const RankSettings& settings)
{
    if (call.allergic) {
        parts.push_back({settings.allergic, "someone allergic lives or works there"});
    }
    if (call.near_door) {
        parts.push_back({settings.near_door, "near a door or window in use"});
    }
}

void add_time(std::vector<Part>& parts, const Call& call, Day on, const RankSettings& settings)
{
    // After a first visit only the second one is waited for.
    const Day since =
        call.second.due ? std::chrono::floor<std::chrono::days>(*call.second.due) : call.received;
    const long waited = (on - since).count();
    if (waited > 0) {
        const auto counted = std::min<long>(waited, std::max(0, settings.waiting_most));
        parts.push_back({settings.waiting_per_day * static_cast<double>(counted),
                         fmt::format("waiting {}", days_text(waited))});
    }
    if (call.not_before && on < *call.not_before) {
        parts.push_back(
            {0, fmt::format("the client allows it from {}", format_day(*call.not_before))});
    }
    if (call.not_after) {
        const long left = (*call.not_after - on).count();
        if (left < 0) {
            parts.push_back({0, fmt::format("the client's last day, {}, is past",
                                            format_day(*call.not_after))});
        } else if (left <= settings.deadline_days) {
            parts.push_back({settings.deadline,
                             left == 0
                                 ? std::string{"the client's last day is today"}
                                 : fmt::format("the client's last day is in {}", days_text(left))});
        }
    }
}

/// What is left for a second visit: those that were away, and no brood.
yield::NestOutlook left_for_second(yield::NestOutlook outlook, double share,
                                   const RankSettings& settings)
{
    for (auto* spread : {&outlook.workers, &outlook.gynes, &outlook.males}) {
        *spread = {spread->low * share, spread->middle * share, spread->high * share};
    }
    outlook.grams = {outlook.grams.low * share, outlook.grams.middle * share,
                     outlook.grams.high * share};
    outlook.sealed_workers = outlook.sealed_sexuals = {};
    const double week = std::exp(-7 / settings.second_fade_days);
    outlook.in_7_days = outlook.grams.middle * week;
    outlook.in_14_days = outlook.grams.middle * (week * week);
    outlook.notes.push_back(
        fmt::format("second visit: {:.0f} % of the wasps are taken to have been away at the first "
                    "and to be still there (assumption)",
                    100 * share));
    return outlook;
}

}  // namespace

Day forecast_day(const Call& call, Day on)
{
    return call.second.due ? std::min(on, std::chrono::floor<std::chrono::days>(*call.second.due))
                           : on;
}

double share_left(const Call& call, Day on, const RankSettings& settings)
{
    if (!call.second.due) {
        return 1;
    }
    const auto waited = static_cast<double>((on - forecast_day(call, on)).count());
    return settings.second_share * std::exp(-waited / settings.second_fade_days);
}

RankedCall rank_call(const CallSheet& sheet, yield::NestOutlook outlook, Day on,
                     const RankSettings& settings)
{
    const double worth = worth_of(settings, outlook.taxon);
    const SecondVisit& second = sheet.call.second;
    if (second.due) {
        outlook =
            left_for_second(std::move(outlook), share_left(sheet.call, on, settings), settings);
    }
    std::vector<Part> parts;
    add_yield(parts, outlook, worth);
    add_trend(parts, outlook, worth, settings);
    add_people(parts, sheet.call, settings);
    add_time(parts, sheet.call, on, settings);
    if (!(outlook.workers.middle >= 1)) {
        // Nobody is stung by a nest that has died: it would outrank living ones by its wait alone.
        for (auto& part : parts) {
            part.points = 0;
        }
        parts.insert(parts.begin(), {0, fmt::format("by the calendar the colony is {}: ask the "
                                                    "client before driving there",
                                                    outlook.stage)});
    }

    RankedCall ranked;
    ranked.sheet = sheet;
    ranked.outlook = std::move(outlook);
    if (second.due) {
        ranked.reasons.emplace_back("second visit: for the wasps that were away at the first");
    } else if (second.after) {
        ranked.second_share = settings.second_share;
        ranked.second_score =
            settings.second_share * worth * std::max(0.0, ranked.outlook.grams.middle.value());
        ranked.reasons.push_back(
            fmt::format("a second visit the same day is asked for, {} min after the first or later",
                        second.after->count()));
    }
    if (sheet.call.must_take) {
        ranked.reasons.emplace_back("promised: it is taken on its day");
    }
    double sum = 0;
    for (const auto& part : parts) {
        sum += part.points;
    }
    ranked.score = std::max(0.0, sum);
    std::stable_sort(parts.begin(), parts.end(), [](const Part& a, const Part& b) {
        return std::abs(a.points) > std::abs(b.points);
    });
    for (auto& part : parts) {
        ranked.reasons.push_back(std::move(part.words));
    }
    return ranked;
}

std::vector<RankedCall> rank_calls(std::span<const CallSheet> sheets, yield::Forecaster& forecaster,
                                   Day on, const RankSettings& settings)
{
    std::vector<RankedCall> ranked;
    ranked.reserve(sheets.size());
    for (const auto& sheet : sheets) {
        const Day day = forecast_day(sheet.call, on);
        ranked.push_back(
            rank_call(sheet, forecaster.outlook(sheet.nest, sheet.site.place, day), on, settings));
    }
    // A ranked call is large: sort their places, then move each once.
    std::vector<std::size_t> places(ranked.size());
    std::iota(places.begin(), places.end(), std::size_t{0});
    std::sort(places.begin(), places.end(), [&](std::size_t a, std::size_t b) {
        if (ranked[a].score != ranked[b].score) {
            return ranked[a].score > ranked[b].score;
        }
        // Keys are new with each import; the file's own key keeps the order the same.
        const Call& one = ranked[a].sheet.call;
        const Call& other = ranked[b].sheet.call;
        return one.source_key != other.source_key ? one.source_key < other.source_key
                                                  : one.id < other.id;
    });
    std::vector<RankedCall> sorted;
    sorted.reserve(ranked.size());
    for (const auto place : places) {
        sorted.push_back(std::move(ranked[place]));
    }
    return sorted;
}

}  // namespace nestround::rank
