#include "planner/season/hold.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <cmath>

namespace nestround::season {

namespace {

[[nodiscard]] std::string short_day(Day day)
{
    // "Wednesday 12 August 2026" without weekday and year.
    const std::string whole = format_day_long(day);
    const auto from = whole.find(' ') + 1;
    return whole.substr(from, whole.rfind(' ') - from);
}

[[nodiscard]] std::string days_text(long days)
{
    return days == 1 ? "1 day" : fmt::format("{} days", days);
}

[[nodiscard]] double worth_per_gram(const rank::RankSettings& settings, const std::string& taxon)
{
    const auto own = settings.worth_by_taxon.find(taxon);
    return own == settings.worth_by_taxon.end() ? settings.worth_per_gram : own->second;
}

/// What a nest near people is worth taking for.
[[nodiscard]] double people_worth(const Call& call, const rank::RankSettings& settings)
{
    return (call.near_door ? settings.near_door : 0) + (call.allergic ? settings.allergic : 0);
}

[[nodiscard]] bool is_allowed(const Call& call, Day day)
{
    return !(call.not_before && day < *call.not_before) &&
           !(call.not_after && day > *call.not_after);
}

void find_best(HoldCurve& curve)
{
    curve.best = curve.days.size();
    for (std::size_t d = 0; d < curve.days.size(); ++d) {
        if (curve.days[d].allowed && (curve.best == curve.days.size() ||
                                      curve.days[d].worth > curve.days[curve.best].worth)) {
            curve.best = d;
        }
    }
}

void explain_yield(HoldCurve& curve)
{
    const HoldDay& now = curve.days.front();
    const HoldDay& then = curve.days[curve.best];
    if (curve.best != 0) {
        curve.reasons.push_back(
            fmt::format("would give {:.0f} g ({:.0f} to {:.0f}) on {}, {:.0f} g ({:.0f} to {:.0f}) "
                        "now",
                        then.grams.middle.value(), then.grams.low.value(), then.grams.high.value(),
                        short_day(then.day), now.grams.middle.value(), now.grams.low.value(),
                        now.grams.high.value()));
        if (then.grams.low < now.grams.high) {
            curve.reasons.emplace_back("the two spreads overlap: a lean, not a law");
        }
    }
    const HoldDay& last = curve.days.back();
    if (last.grams.middle < 0.9 * then.grams.middle) {
        curve.reasons.push_back(fmt::format("declines after: {:.0f} g left by {}",
                                            last.grams.middle.value(), short_day(last.day)));
    }
}

void explain_risk(HoldCurve& curve, const Call& call)
{
    const HoldDay& last = curve.days.back();
    const HoldDay& then = curve.days[curve.best];
    const HoldDay& asked = curve.best == 0 ? last : then;
    if (call.second.due) {
        curve.reasons.emplace_back(
            "the nest is taken: those that were away scatter from day to day (assumption)");
    } else {
        curve.reasons.push_back(fmt::format(
            "one chance in {:.0f} that poison or someone else ends it before {} (assumption)",
            1 / std::max(1e-9, 1 - asked.still_there), short_day(asked.day)));
    }
    if (call.allergic) {
        curve.reasons.emplace_back("someone allergic lives or works there: each day counts");
    }
    if (call.near_door) {
        curve.reasons.emplace_back("near a door or window in use");
    }
    if (call.not_after && *call.not_after <= last.day) {
        curve.reasons.push_back("the client's last day is " + short_day(*call.not_after));
    }
    if (call.not_before && *call.not_before > curve.days.front().day) {
        curve.reasons.push_back("the client allows it from " + short_day(*call.not_before));
    }
}

void advise(HoldCurve& curve, const HoldSettings& settings)
{
    if (curve.best == curve.days.size()) {
        curve.best = 0;
        curve.advice = HoldAdvice::AskFirst;
        curve.verdict = "ask first: the client allows none of these days";
        return;
    }
    const HoldDay& best = curve.days[curve.best];
    if (!(best.workers >= 1)) {
        curve.advice = HoldAdvice::AskFirst;
        curve.verdict = "ask first: no living colony is expected on any of these days";
        return;
    }
    // The last day before the worth falls below what is not worth waiting for.
    const double enough = best.worth - settings.worth_waiting_for * std::abs(best.worth);
    curve.until = curve.best;
    while (curve.until + 1 < curve.days.size() && curve.days[curve.until + 1].allowed &&
           curve.days[curve.until + 1].worth >= enough) {
        ++curve.until;
    }
    std::size_t first = curve.best;
    while (first > 0 && curve.days[first - 1].allowed && curve.days[first - 1].worth >= enough) {
        --first;
    }
    const bool now_is_allowed = curve.days.front().allowed;
    if (first == 0 && curve.until == 0) {
        curve.advice = HoldAdvice::TakeNow;
        curve.verdict = "take it now";
    } else if (first == 0) {
        curve.advice = HoldAdvice::TakeWithin;
        curve.verdict = curve.until + 1 == curve.days.size()
                            ? fmt::format("now or later: {} lose little",
                                          days_text(static_cast<long>(curve.until)))
                            : fmt::format("take it by {}", short_day(curve.days[curve.until].day));
    } else {
        curve.advice = HoldAdvice::Hold;
        curve.verdict = now_is_allowed ? fmt::format("hold, best about {}", short_day(best.day))
                                       : fmt::format("wait for the client's day, best about {}",
                                                     short_day(best.day));
    }
}

}  // namespace

double people_cost(const Call& call, const HoldSettings& settings)
{
    return (call.near_door ? settings.near_door_per_day : 0) +
           (call.allergic ? settings.allergic_per_day : 0);
}

void weigh(HoldDay& day, int waited, double people_cost, const HoldSettings& settings)
{
    day.still_there = std::exp(-waited / settings.patience_days);
    const double lost = (1 - day.still_there) * settings.lost_nest;
    day.risk = people_cost * waited + lost;
    day.gram_worth = day.still_there * day.catch_points;
    day.worth = day.gram_worth + day.still_there * day.people_points - day.risk;
    day.saved = day.workers >= 1 ? settings.lost_nest : 0;
}

std::string_view text(HoldAdvice advice)
{
    switch (advice) {
        case HoldAdvice::TakeNow:
            return "take now";
        case HoldAdvice::TakeWithin:
            return "take soon";
        case HoldAdvice::Hold:
            return "hold";
        case HoldAdvice::AskFirst:
            return "ask first";
    }
    return "ask first";
}

HoldCurve hold_curve(const CallSheet& sheet, const OutlookOn& outlook, Day from, int days,
                     const rank::RankSettings& rank, const HoldSettings& settings)
{
    assert(days >= 1);
    HoldCurve curve;
    const double people = people_worth(sheet.call, rank);
    const double cost = people_cost(sheet.call, settings);
    HoldSettings own = settings;
    if (sheet.call.second.due) {
        own.lost_nest = 0;  // the nest itself is taken
    }
    for (int d = 0; d < days; ++d) {
        HoldDay entry;
        entry.day = from + std::chrono::days{d};
        const auto forecast = outlook(rank::forecast_day(sheet.call, entry.day));
        const double left = rank::share_left(sheet.call, entry.day, rank);
        entry.grams = forecast.venom
                          ? Spread<Grams>{forecast.grams.low * left, forecast.grams.middle * left,
                                          forecast.grams.high * left}
                          : Spread<Grams>{};
        entry.workers = forecast.workers.middle * left;
        entry.allowed = is_allowed(sheet.call, entry.day);
        // Nobody is stung by a colony that has died.
        const double alive = entry.workers >= 1 ? 1 : 0;
        entry.catch_points =
            alive * entry.grams.middle.value() * worth_per_gram(rank, forecast.taxon);
        entry.people_points = alive * people;
        weigh(entry, d, cost, own);
        curve.days.push_back(entry);
    }
    find_best(curve);
    advise(curve, settings);
    if (curve.advice != HoldAdvice::AskFirst) {
        explain_yield(curve);
        explain_risk(curve, sheet.call);
    }
    return curve;
}

}  // namespace nestround::season
