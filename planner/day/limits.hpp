/// \file limits.hpp
/// \brief What daylight, wind, thunder, heat, ears, people and boxes allow of a day's work.
///
/// Purpose:  the limits cut the hours in which a stop may begin and what a crew may take on, before
///           the day is solved. Decision support: nothing is declared safe.
/// Units:    seconds since local midnight; metres a second; dB(A); shares of a day's noise dose in
///           hundredths of a per cent.
/// Range:    any day; a reading that is missing bars nothing and is said by `not_in_plan`.
/// Accuracy: exact for the hours given; a reading stands for its whole hour. The stages of a stop
///           take their table share of its whole time.
/// Errors:   none.
/// Source:   rows `limit` of planner/access/access.csv; heat and noise as planner/access.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/crew.hpp"
#include "geocore/units/units.hpp"
#include "planner/access/access_plan.hpp"
#include "planner/access/heat.hpp"
#include "planner/access/noise.hpp"
#include "planner/tour/problem.hpp"

namespace nestround::day {

enum class LimitRule {
    Daylight,
    Wind,
    Thunder,
    Heat,
    Noise,
    TwoPeople,
    Bottles,
    ColdBox,
    CombBoxes,
    SecondVisit  ///< only so long after the first
};

[[nodiscard]] std::string_view text(LimitRule rule);  ///< "daylight", "wind limit", ...

/// Between which events ladder work may be done.
enum class Light { Sun, CivilTwilight, Off };

/// A fresh one holds the values of the table; a crew chooses its own.
struct LimitSettings {
    LimitSettings();

    Light light = Light::Sun;
    std::optional<MetresPerSecond> wind;  ///< most, gusts too, for ladders; empty: off
    bool thunder = true;                  ///< no pole and no ladder in and after thunder
    seconds thunder_wait{};               ///< after an hour with thunder
    /// The hottest class in which suits are worn; Unknown: off.
    access::HeatClass heat = access::HeatClass::ExtremeCaution;
    std::optional<Fraction> humidity;  ///< taken for hours without a reading of it
    access::NoiseCriterion criterion = access::NoiseCriterion::Niosh;
    std::optional<double> vacuum_level;  ///< dB(A) at the ear, behind the protector; measured
    double dose_percent = 100;           ///< most of a day's dose a person may take
    bool two_people = true;
    std::optional<int> bottles;  ///< vacuum containers on a truck, one a nest; empty: not counted
    std::optional<Grams> cold_box;  ///< catch that one box takes; empty: not counted
    int nests_per_comb_box = 0;
};

/// One reading: it stands from `from` until before `to`.
struct HourOfWeather {
    seconds from{};
    seconds to{};
    std::optional<Celsius> air;
    std::optional<Fraction> humidity;
    std::optional<MetresPerSecond> wind;
    std::optional<MetresPerSecond> gust;
    std::optional<bool> thunder;
};

/// From and to, in the settings' sense of daylight; empty: not worked out.
struct Daylight {
    seconds from{};
    seconds to{};  ///< before `from`: dark all day
};

struct DayConditions {
    std::optional<Daylight> light;
    std::vector<HourOfWeather> hours;  ///< rising
    std::string source;                ///< in words: readings, or a curve, and of which station
};

/// Which work a rule bars.
enum class Work { Ladder, PoleOrLadder, Suit };

struct Barred {
    LimitRule rule = LimitRule::Wind;
    Work work = Work::Ladder;
    seconds from{};
    seconds to{};
    std::string words;  ///< "gusts to 12.0 m/s (27 mph) from 14:00 to 16:00; the limit is ..."
};

/// Rising by rule, then by time.
[[nodiscard]] std::vector<Barred> barred_hours(const DayConditions& conditions,
                                               const LimitSettings& settings);

/// A stage of a stop, from the beginning of work.
struct WorkSpan {
    seconds begins{};
    seconds ends{};
    bool on_ladder = false;
    bool with_pole = false;
    bool in_suit = false;
    bool vacuum_runs = false;
};

/// The stages of the chosen way, stretched to `service`; without stages the whole of it.
[[nodiscard]] std::vector<WorkSpan> work_spans(const access::AccessPlan& access, seconds service);

/// The parts of `hours` in which work may begin; `bites` names the bars that took something away.
[[nodiscard]] std::vector<tour::Window> cut_hours(const std::vector<tour::Window>& hours,
                                                  const std::vector<WorkSpan>& spans,
                                                  const std::vector<Barred>& barred,
                                                  std::vector<const Barred*>* bites = nullptr);

/// When `bar` meets this work, from the first to the last second of the part it bars; empty: it
/// bars nothing of this stop.
[[nodiscard]] std::optional<tour::Window> barred_part(const std::vector<WorkSpan>& spans,
                                                      const Barred& bar);

/// Of a person who stands by the vacuum, in hundredths of a per cent, rounded up; empty: unknown.
[[nodiscard]] std::optional<std::int64_t> noise_share(const std::vector<WorkSpan>& spans,
                                                      const LimitSettings& settings);

/// How many people the chosen way asks for.
[[nodiscard]] int people_needed(const access::AccessPlan& access);

/// What a truck takes of each thing that is counted.
struct LoadLimit {
    LimitRule rule = LimitRule::Noise;
    std::int64_t most = 0;
};
/// In the order Noise, Bottles, ColdBox, CombBoxes; only those that some crew is held to.
[[nodiscard]] std::vector<LimitRule> counted(const std::vector<Crew>& crews,
                                             const LimitSettings& settings);
/// Most of a counted thing; empty: this crew is not held to it.
[[nodiscard]] std::optional<std::int64_t> most_of(LimitRule rule, const Crew& crew,
                                                  const LimitSettings& settings);

/// "12.0 m/s (27 mph)".
[[nodiscard]] std::string speed_words(MetresPerSecond speed);

/// What no rule of this day could be held to, and why: said on every sheet.
[[nodiscard]] std::vector<std::string> not_in_plan(const DayConditions& conditions,
                                                   const std::vector<Crew>& crews,
                                                   const LimitSettings& settings);
/// What it was held to, in a line.
[[nodiscard]] std::string in_plan(const DayConditions& conditions, const LimitSettings& settings);

}  // namespace nestround::day
