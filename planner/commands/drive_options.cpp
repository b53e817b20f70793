#include "planner/commands/drive_options.hpp"

#include <fmt/format.h>

#include <cmath>

#include "geocore/base/error.hpp"
#include "geocore/intake/traffic_file.hpp"
#include "planner/app/drive.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {
namespace {

void replace(std::optional<double>& value, const std::optional<double>& typed)
{
    value = typed ? typed : value;
}

void replace(std::uint32_t& ms, const std::optional<double>& typed)
{
    ms = typed ? static_cast<std::uint32_t>(std::lround(*typed * 1000)) : ms;
}

}  // namespace

roads::Drive DriveWords::drive() const
{
    roads::Drive drive;
    std::string table = traffic;
    std::string zone = "UTC";
    if (!book.empty()) {
        const auto opened = book::Book::open(book, book::Mode::ReadOnly);
        const auto preferences = preferences_with(opened, {});
        drive.truck = preferences.drive.truck;
        drive.turns = preferences.drive.turns;
        zone = preferences.time_zone;
        table = traffic_path(opened, preferences, traffic);
    }
    replace(drive.truck.height_m, height_m);
    replace(drive.truck.width_m, width_m);
    replace(drive.truck.weight_t, weight_t);
    replace(drive.truck.axle_t, axle_t);
    replace(drive.turns.left_ms, left_s);
    replace(drive.turns.right_ms, right_s);
    replace(drive.turns.u_turn_ms, u_turn_s);
    if (depart.empty()) {
        if (!traffic.empty()) {
            throw Failure{ErrorCode::BadUsage, "--traffic needs an hour: --depart HH:MM"};
        }
        return drive;
    }
    const auto time = parse_clock(depart);
    if (!time) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--depart wants a clock time as 07:30, not '{}'", depart)};
    }
    drive.hours = app::driving_hours(day_option(on, zone), *time, *time);
    if (!table.empty()) {
        drive.slowed_by = roads::slowed_by(intake::read_traffic(table), drive.hours->weekday,
                                           drive.hours->from_min);
    }
    return drive;
}

void add_drive_options(CLI::App& command, const std::shared_ptr<DriveWords>& words)
{
    const auto size = [&](const char* name, std::optional<double>& value, const char* help) {
        command.add_option(name, value, help)->check(CLI::Range(0.01, 100.0));
    };
    command.add_option("--book", words->book,
                       "Book whose settings tell the truck, what turns cost, and traffic");
    size("--truck-height", words->height_m, "Of the truck, metres");
    size("--truck-width", words->width_m, "Of the truck, metres");
    size("--truck-weight", words->weight_t, "Of the laden truck, tonnes");
    size("--truck-axle", words->axle_t, "Load of its heaviest axle, tonnes");
    const auto turn = [&](const char* name, std::optional<double>& value, const char* help) {
        command.add_option(name, value, help)->check(CLI::Range(0.0, 600.0));
    };
    turn("--left-turn", words->left_s, "Seconds that a turn to the left costs");
    turn("--right-turn", words->right_s, "Seconds that a turn to the right costs");
    turn("--u-turn", words->u_turn_s, "Seconds that turning round costs");
    command.add_option("--depart", words->depart,
                       "Hour of leaving, HH:MM: signs by hour and traffic count as they are then");
    command.add_option("--on", words->on, "Day of leaving: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command.add_option("--traffic", words->traffic,
                       "Table of traffic by hour: CSV with days,from,to,class,factor");
}

}  // namespace nestround::commands
