#include "planner/commands/console.hpp"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <charconv>
#include <cstdlib>
#include <filesystem>
#include <iostream>

#include "geocore/base/error.hpp"
#include "geocore/intake/road_file.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::commands {

void show_refused(const std::string& file, const std::vector<intake::RefusedRow>& refused)
{
    for (const auto& row : refused) {
        std::cerr << fmt::format("nestround: {}: {}\n", file, row.text());
    }
}

void show_notes(const std::vector<std::string>& notes)
{
    for (const auto& note : notes) {
        std::cerr << "note: " << note << '\n';
    }
}

Day day_option(const std::string& text, const std::string& zone)
{
    if (text == "today" || text == "tomorrow") {
        const auto local = value_or_throw(intake::to_local(app::present(), zone));
        return local.day + std::chrono::days{text == "tomorrow" ? 1 : 0};
    }
    auto day = parse_day(text);
    if (!day) {
        throw Failure{ErrorCode::BadUsage, day.error().message + ", or 'today' or 'tomorrow'"};
    }
    return *day;
}

sheets::TextOptions text_options(const app::Preferences& preferences)
{
    sheets::TextOptions options;
    options.units = preferences.us_units ? sheets::UnitStyle::Us : sheets::UnitStyle::Metric;
    const bool is_terminal = isatty(STDOUT_FILENO) != 0;
    winsize size{};
    if (is_terminal && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
        options.width = std::min<int>(size.ws_col, 120);
    }
    // The convention of no-color.org: the variable, set to anything, turns colours off.
    options.colour = is_terminal && std::getenv("NO_COLOR") == nullptr;
    return options;
}

Celsius celsius_option(const std::string& option, const std::string& text)
{
    double value = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    const std::string_view unit{end, text.data() + text.size()};
    const bool is_us = unit == "F" || unit == "f";
    if (code != std::errc{} || !(unit.empty() || unit == "C" || unit == "c" || is_us)) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("{} wants a temperature, as 18C or 64F, not '{}'", option, text)};
    }
    return is_us ? celsius_from_fahrenheit(value) : Celsius{value};
}

Metres length_option(const std::string& option, const std::string& text)
{
    double value = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    const std::string unit{end, text.data() + text.size()};
    if (code == std::errc{}) {
        if (unit.empty() || unit == "m") {
            return Metres{value};
        }
        if (unit == "cm") {
            return Metres{value / 100};
        }
        if (unit == "mm") {
            return Metres{value / 1000};
        }
        if (unit == "ft") {
            return metres_from_feet(value);
        }
        if (unit == "in") {
            return metres_from_feet(value / 12);
        }
    }
    throw Failure{ErrorCode::BadUsage,
                  fmt::format("--{} wants a length such as 4.5m, 450cm, 15ft or 180in, not '{}'",
                              option, text)};
}

app::Preferences preferences_with(const book::Book& book, const std::string& taxa)
{
    auto preferences = app::preferences(book.settings());
    if (!taxa.empty()) {
        // What is typed is beside the person, what is set is beside the book.
        preferences.taxa_folder = std::filesystem::absolute(taxa).string();
    }
    return preferences;
}

namespace {

/// What was typed, else what is set; a relative path in the settings is beside the book.
std::string path_beside(const book::Book& book, const std::string& set, const std::string& option)
{
    if (!option.empty() || set.empty()) {
        return option;
    }
    const std::filesystem::path named{set};
    return named.is_absolute() ? named.string() : (book.path().parent_path() / named).string();
}

}  // namespace

std::string roads_path(const book::Book& book, const app::Preferences& preferences,
                       const std::string& option)
{
    return path_beside(book, preferences.roads, option);
}

std::string traffic_path(const book::Book& book, const app::Preferences& preferences,
                         const std::string& option)
{
    return path_beside(book, preferences.drive.traffic, option);
}

std::string places_path(const book::Book& book, const app::Preferences& preferences,
                        const std::string& option)
{
    return path_beside(book, preferences.places, option);
}

std::shared_ptr<const roads::RoadNetwork> open_roads(const book::Book& book,
                                                     const app::Preferences& preferences,
                                                     const std::string& option)
{
    const auto path = roads_path(book, preferences, option);
    if (path.empty()) {
        throw Failure{ErrorCode::NotFound,
                      "no road file; make one with 'nestround roads build EXTRACT --to ROADS' and "
                      "name it with --roads, or in the setting roads.file"};
    }
    return intake::load_roads(path);
}

}  // namespace nestround::commands
