/// \file show.hpp
/// \brief Numbers in words that claim no more than is known, and text made fit to be shown.
///
/// Purpose:  every sheet says the same thing the same way. A forecast is rounded to two figures, a
///           distance to what a driver can use.
/// Units:    arguments carry theirs; text is metric or US customary. Masses stay in grams in both:
///           laboratories weigh in grams.
/// Range:    NaN and infinities are shown as "not known"; negative counts as zero.
/// Accuracy: a shown figure is within 5 % or half a unit of the real one.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/identifier.hpp"
#include "geocore/base/spread.hpp"
#include "geocore/records/call.hpp"
#include "geocore/units/units.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::sheets {

enum class UnitStyle { Metric, Us };

/// "1,873", "0.5", "-12": `value` to the nearest `step`, with commas between thousands.
[[nodiscard]] std::string number(double value, double step = 1);

/// The middle alone, two figures: "about 1,900"; whole numbers below ten: "7"; "none" for zero.
[[nodiscard]] std::string about(double value);

/// "about 1,900 workers (1,100 to 3,000)", each to two figures; "none" when nothing is expected.
[[nodiscard]] std::string about(const Spread<double>& spread, std::string_view unit);
/// "about 42 g (25 to 70)".
[[nodiscard]] std::string about(const Spread<Grams>& spread);
/// "42", as in `about(spread)`.
[[nodiscard]] std::string middle_of(const Spread<Grams>& spread);
/// "25-70", as in `about(spread)`.
[[nodiscard]] std::string bounds_of(const Spread<Grams>& spread);

/// "45 min", "1 h 05", "under 1 min", "none" for zero or less; rounded to the minute.
[[nodiscard]] std::string duration(seconds length);
/// "450 m", "4.3 km", "14 km"; or "250 ft", "2.7 mi", "9 mi".
[[nodiscard]] std::string distance(Metres length, UnitStyle units);
/// "4.5 m up", "15 ft up", "at ground level", "0.3 m below the surface".
[[nodiscard]] std::string height(Metres above_ground, UnitStyle units);
/// "30 cm", "12 in".
[[nodiscard]] std::string nest_size(Metres size, UnitStyle units);

/// "07:30"; after midnight "02:10 next day".
[[nodiscard]] std::string clock(ClockTime time);

/// The last six characters of a key: enough to tell calls apart, and nothing about anybody.
[[nodiscard]] std::string call_key(const CallId& id);

/// How the crew names the place; a call without one is named by its key.
[[nodiscard]] std::string place_name(const CallSheet& sheet);

/// "hung free, 4.5 m up, about 30 cm across": what is known of the nest, nothing guessed.
[[nodiscard]] std::string nest_words(const Nest& nest, UnitStyle units);
/// "Dolichovespula maculata, raising queens and males".
[[nodiscard]] std::string colony_words(const yield::NestOutlook& outlook);
/// "64 % that stage; about 300 sealed workers (120 to 610); queens or males out: 35 %"; empty where
/// there is nothing to say.
[[nodiscard]] std::string brood_words(const yield::NestOutlook& outlook);
/// "about 42 g (25 to 70) from about 420 workers (250 to 600)", or that laboratories get nothing.
[[nodiscard]] std::string yield_words(const yield::NestOutlook& outlook);

/// `text` as valid UTF-8 on one line: control characters (which could steer a terminal) become
/// spaces, broken bytes U+FFFD, spaces run together and are trimmed at both ends.
[[nodiscard]] std::string clean(std::string_view text);

/// Columns that `text` takes on a terminal: wide characters two, combining ones none.
[[nodiscard]] int columns(std::string_view text);
/// `text` cut or filled with spaces to exactly `width` columns; a cut ends in an ellipsis.
[[nodiscard]] std::string fit(std::string_view text, int width);
/// `text` broken at spaces into lines of at most `width` columns; a longer word is broken inside.
[[nodiscard]] std::vector<std::string> wrap(std::string_view text, int width);

}  // namespace nestround::sheets
