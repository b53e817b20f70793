/// \file tables.hpp
/// \brief The demo's call-outs, weather, crews, gear and settings as the files a crew would bring.
///
/// Purpose:  input for the import commands.
/// Units:    named in each column.
/// Range:    seasons of 2026 and, all worked, 2025; weather of 2024 to 2026.
/// Promise:  the same county gives the same bytes.
/// Errors:   throws Failure (OutputFailed) when a file cannot be written.
/// Source:   own, all invented; the mix of species and heights is a stage, no evidence.
#pragma once

#include <string>

#include "demo-region/county.hpp"

namespace nestround::demo {

/// calls.csv, past_calls.csv, past_catches.csv, weather.csv, crews.csv, gear.csv and settings.toml
/// in `folder`.
void write_tables(const County& county, const std::string& folder);

/// A season that is over: the calls of 2025 and what was caught at each.
struct PastSeason {
    std::string calls;
    std::string catches;
};
[[nodiscard]] PastSeason past_season(const County& county);

[[nodiscard]] std::string calls_csv(const County& county);
[[nodiscard]] std::string weather_csv(const County& county);
[[nodiscard]] std::string crews_csv(const County& county);
[[nodiscard]] std::string gear_csv();
[[nodiscard]] std::string settings_toml(const County& county);

}  // namespace nestround::demo
