/// \file drive_options.hpp
/// \brief The options that say which truck drives, and when.
///
/// Purpose:  shared by the commands that ask for times and ways.
/// Units:    metres, tonnes, seconds, as the options say.
/// Range:    what is typed goes before what the settings of --book say.
/// Accuracy: not applicable.
/// Errors:   Failure{BadUsage} for an hour that is none, or traffic without an hour.
/// Source:   own.
#pragma once

#include <CLI/CLI.hpp>
#include <memory>
#include <optional>
#include <string>

#include "geocore/roads/suited_roads.hpp"

namespace nestround::commands {

struct DriveWords {
    std::string book;
    std::optional<double> height_m;
    std::optional<double> width_m;
    std::optional<double> weight_t;
    std::optional<double> axle_t;
    std::optional<double> left_s;
    std::optional<double> right_s;
    std::optional<double> u_turn_s;
    std::string depart;
    std::string on = "today";
    std::string traffic;

    [[nodiscard]] roads::Drive drive() const;
};

void add_drive_options(CLI::App& command, const std::shared_ptr<DriveWords>& words);

}  // namespace nestround::commands
