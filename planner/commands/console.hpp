/// \file console.hpp
/// \brief What the commands share: showing refused rows, reading a day or a length as typed.
///
/// Purpose:  one wording and one form for all commands.
/// Units:    lengths as typed: "4.5", "4.5m", "45cm", "5mm", "15ft", "180in"; a bare number is m.
/// Range:    as the callers check.
/// Accuracy: not applicable.
/// Errors:   Failure{BadUsage} naming the option.
/// Source:   own.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/book/book.hpp"
#include "geocore/intake/refused_row.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/units/units.hpp"
#include "planner/app/preferences.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::commands {

/// On standard error, one line each.
void show_refused(const std::string& file, const std::vector<intake::RefusedRow>& refused);
void show_notes(const std::vector<std::string>& notes);

/// "2026-08-04", "today" or "tomorrow" in the given zone.
[[nodiscard]] Day day_option(const std::string& text, const std::string& zone);
/// Units of the settings, the terminal's width and colours.
[[nodiscard]] sheets::TextOptions text_options(const app::Preferences& preferences);
/// "18", "18C" or "64F".
[[nodiscard]] Celsius celsius_option(const std::string& option, const std::string& text);
[[nodiscard]] Metres length_option(const std::string& option, const std::string& text);
/// The settings of a book, with the folder of taxa that was typed, when one was.
[[nodiscard]] app::Preferences preferences_with(const book::Book& book, const std::string& taxa);

/// The road file named on the command line or in the book's settings; a relative path in the
/// settings is beside the book. Empty when neither names one.
[[nodiscard]] std::string traffic_path(const book::Book& book, const app::Preferences& preferences,
                                       const std::string& option);
[[nodiscard]] std::string roads_path(const book::Book& book, const app::Preferences& preferences,
                                     const std::string& option);
/// The file of places, likewise.
[[nodiscard]] std::string places_path(const book::Book& book, const app::Preferences& preferences,
                                      const std::string& option);
/// The road file, opened; NotFound with the way out when none is named.
[[nodiscard]] std::shared_ptr<const roads::RoadNetwork> open_roads(
    const book::Book& book, const app::Preferences& preferences, const std::string& option);

}  // namespace nestround::commands
