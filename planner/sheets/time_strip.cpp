#include "planner/sheets/time_strip.hpp"

#include <algorithm>
#include <vector>

namespace nestround::sheets {

namespace {

constexpr int kHour = 3600;

long count(ClockTime time) { return time.since_midnight().count(); }

const char* doing_at(const day::CrewDay& crew, ClockTime moment)
{
    if (moment < crew.depart || moment >= crew.home) {
        return " ";
    }
    if (crew.pause && moment >= crew.pause->begin &&
        moment < crew.pause->begin + crew.pause->length) {
        return kStripResting;
    }
    for (const day::PlannedStop& stop : crew.stops) {
        if (moment >= stop.begin && moment < stop.leave) {
            return kStripWorking;
        }
        if (moment >= stop.arrive && moment < stop.begin) {
            return kStripWaiting;
        }
    }
    return kStripDriving;
}

}  // namespace

StripScale strip_scale(std::span<const day::CrewDay> crews, int width)
{
    long first = 48L * kHour;
    long last = 0;
    for (const day::CrewDay& crew : crews) {
        if (!crew.stops.empty()) {
            first = std::min(first, count(crew.depart));
            last = std::max(last, count(crew.home));
        }
    }
    StripScale scale;
    if (first >= last) {
        return scale;
    }
    scale.first_hour = static_cast<int>(first / kHour);
    scale.hours = static_cast<int>((last + kHour - 1) / kHour) - scale.first_hour;
    scale.cells_per_hour = std::clamp(width / scale.hours, 1, 12);
    return scale;
}

std::string strip_hours(const StripScale& scale)
{
    std::string row;
    for (int hour = 0; hour < scale.hours; ++hour) {
        const std::string name = std::to_string((scale.first_hour + hour) % 24);
        const auto cell = static_cast<std::size_t>(hour * scale.cells_per_hour);
        // A name that would touch the one before it is left out.
        if (row.size() < cell || cell == 0) {
            row.resize(cell, ' ');
            row += name;
        }
    }
    return row;
}

std::string strip_row(const day::CrewDay& crew, const StripScale& scale)
{
    if (scale.cells() == 0 || crew.stops.empty()) {
        return crew.drive_home > seconds{0} ? "drives home" : "stays at the depot";
    }
    std::vector<std::string> cells;
    for (int cell = 0; cell < scale.cells(); ++cell) {
        const long middle = scale.first_hour * static_cast<long>(kHour) +
                            (2L * cell + 1) * kHour / (2L * scale.cells_per_hour);
        cells.emplace_back(doing_at(crew, ClockTime{seconds{middle}}));
    }
    for (std::size_t at = 0; at < crew.stops.size(); ++at) {
        // The number takes the first cells of the work.
        const long begun =
            count(crew.stops[at].begin) - scale.first_hour * static_cast<long>(kHour);
        auto cell = static_cast<std::size_t>(std::max(0L, begun * scale.cells_per_hour / kHour));
        for (const char digit : std::to_string(at + 1)) {
            if (cell < cells.size()) {
                cells[cell++] = std::string(1, digit);
            }
        }
    }
    std::string row;
    for (const std::string& cell : cells) {
        row += cell;
    }
    return row;
}

}  // namespace nestround::sheets
