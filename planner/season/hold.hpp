/// \file hold.hpp
/// \brief Hold or take: what a waiting call is worth on each of the coming days, and what waiting
/// risks.
///
/// Purpose:  a colony that grows may be worth waiting for; decline, poison used by someone else and
///           people near it speak against. One curve a call, and a verdict with its reasons.
/// Units:    points, as in rank.hpp; grams; probabilities from 0 to 1.
/// Range:    the first day of a curve is the day asked about; worth may be negative.
/// Accuracy: as the forecasts; the weights are assumptions that the settings can replace. The
///           verdict rests on medians: where the spreads of two days overlap it is a lean, not a
///           law.
/// Cost:     the curve is sums over its days.
/// Errors:   none.
/// Source:   own; docs/science/hold-or-take.md.
///
/// With d days waited:
///   worth(d) = still_there(d) (grams(d) worth_per_gram + people)
///              - people_cost d - (1 - still_there(d)) lost_nest
///   still_there(d) = exp(-d / patience)
/// where people is what a nest near a door or an allergic person is worth taking for, people_cost
/// what each day costs that it stays, patience the mean time until somebody else ends it, and
/// lost_nest what is lost then beside the catch: a client who was not served, and poison used.
#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "planner/rank/rank.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::season {

/// Every value is marked assumption: a start for a crew to move to its own liking.
struct HoldSettings {
    double patience_days = 40;     ///< mean days until poison or the client ends it; assumption
    double near_door_per_day = 2;  ///< points that each day costs; assumption
    double allergic_per_day = 8;   ///< points that each day costs; assumption
    double lost_nest = 25;         ///< points that a nest ended by someone else costs; assumption
    double worth_waiting_for = 0.10;  ///< share that waiting must add to be advised; assumption
};

struct HoldDay {
    Day day{};
    Spread<Grams> grams;
    double workers = 0;        ///< median
    double catch_points = 0;   ///< of the catch, when it is still there
    double people_points = 0;  ///< of the people helped, when it is still there
    double still_there = 1;    ///< chance that nobody has ended it
    double risk = 0;           ///< points that the days until then cost
    double gram_worth = 0;     ///< points of the catch alone, times still_there
    double worth = 0;
    /// What taking it saves beside: a living nest that no crew takes is lost sooner or later.
    double saved = 0;
    bool allowed = true;  ///< by the client's first and last day
};

enum class HoldAdvice { TakeNow, TakeWithin, Hold, AskFirst };

struct HoldCurve {
    std::vector<HoldDay> days;
    std::size_t best = 0;  ///< of the allowed days, the earlier on a tie
    HoldAdvice advice = HoldAdvice::TakeNow;
    /// For TakeWithin: the last day that loses no more than worth_waiting_for of the best.
    std::size_t until = 0;
    std::string verdict;               ///< "take it now", "hold until 12 August", ...
    std::vector<std::string> reasons;  ///< what waiting brings and what it risks
};

/// Sets what waiting `waited` days makes of the points of a day: still_there, risk, gram_worth,
/// worth and saved. `people_cost`: points a day.
void weigh(HoldDay& day, int waited, double people_cost, const HoldSettings& settings);

/// Points that each day costs that people live beside it.
[[nodiscard]] double people_cost(const Call& call, const HoldSettings& settings);

/// "take now", "take soon", "hold", "ask first".
[[nodiscard]] std::string_view text(HoldAdvice advice);

/// Forecast of the nest on a day.
using OutlookOn = std::function<yield::NestOutlook(Day)>;

[[nodiscard]] HoldCurve hold_curve(const CallSheet& sheet, const OutlookOn& outlook, Day from,
                                   int days, const rank::RankSettings& rank = {},
                                   const HoldSettings& settings = {});

}  // namespace nestround::season
