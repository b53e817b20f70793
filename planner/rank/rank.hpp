/// \file rank.hpp
/// \brief Which waiting calls are worth most today, and why.
///
/// Purpose:  one number a call, so that calls can be compared, and every part of it in plain words.
/// Units:    points. One point is what one gram of frozen workers is worth by default.
/// Range:    score >= 0.
/// Accuracy: as the outlook; every weight is an assumption that the settings can replace.
/// Errors:   none.
/// Source:   own; docs/science/season-and-yield.md.
///
/// score = max(0, grams * worth                                what it is expected to give
///                + loss_weight * worth * max(0, lost)         what waiting a week would lose
///                - gain_weight * worth * max(0, gained)       what waiting a week would add
///                + near_door + allergic                       people close by
///                + waiting_per_day * min(days, waiting_most)  patience of the client
///                + deadline)                                  last days that the client allows
/// with grams the median of the outlook. A colony whose median is below one worker scores nothing.
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "planner/rank/ranked_call.hpp"

namespace nestround::rank {

/// Every value is marked assumption: a start for a crew to move to its own liking.
struct RankSettings {
    double worth_per_gram = 1.0;                   ///< points; assumption
    std::map<std::string, double> worth_by_taxon;  ///< points per gram, in place of the above
    double near_door = 25;                         ///< points; assumption
    double allergic = 60;                          ///< points; assumption
    double waiting_per_day = 2;                    ///< points a day; assumption
    int waiting_most = 30;                         ///< days that count; assumption
    double loss_weight = 0.5;                      ///< of what a week would lose; assumption
    double gain_weight = 0.5;                      ///< of what a week would add; assumption
    double deadline = 30;                          ///< points when the client's last day is near
    int deadline_days = 3;                         ///< how near; assumption
    double second_share = 0.25;  ///< of the workers, away at a first visit; assumption
    /// In so many days those that were away become 1/e of what they were: without queen and comb
    /// they scatter and die. Assumption: no figure was found; an adult's life is the most.
    double second_fade_days = 3;
};

/// The day on which a call would be forecast: `on`, and once its second visit is due, the day
/// from which it was, for after the first the colony grows no more.
[[nodiscard]] Day forecast_day(const Call& call, Day on);

/// What of a whole colony a due second visit still finds on `on`; 1 for any other call.
[[nodiscard]] double share_left(const Call& call, Day on, const RankSettings& settings);

/// One call. `on` is the day on which it would be taken; `outlook` that of forecast_day(call, on).
[[nodiscard]] RankedCall rank_call(const CallSheet& sheet, yield::NestOutlook outlook, Day on,
                                   const RankSettings& settings = {});

/// Best score first, ties by key of the call. Calls in any state are ranked as they are given.
[[nodiscard]] std::vector<RankedCall> rank_calls(std::span<const CallSheet> sheets,
                                                 yield::Forecaster& forecaster, Day on,
                                                 const RankSettings& settings = {});

}  // namespace nestround::rank
