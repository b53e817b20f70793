#include "planner/app/tour_travel.hpp"

#include <fmt/format.h>

#include <cmath>
#include <utility>
#include <vector>

#include "planner/tour/problem.hpp"

namespace nestround::app {

namespace {

/// Products of two 64-bit numbers; GCC and Clang have it on every 64-bit machine.
__extension__ typedef __int128 Wide;

constexpr int kPlaceDecimals = 6;
constexpr double kFarthest = 1e9;  ///< of a coordinate

[[nodiscard]] roads::TravelMatrix read_points(const TourField& field, int decimals)
{
    std::vector<std::pair<std::int64_t, std::int64_t>> at;
    for (const auto& point : field.list()) {
        const auto xy = point.list();
        if (xy.size() != 2) {
            point.refuse("a point is [x, y]");
        }
        if (std::abs(xy[0].number()) > kFarthest || std::abs(xy[1].number()) > kFarthest) {
            point.refuse("a coordinate lies beyond a thousand million");
        }
        at.emplace_back(xy[0].scaled(kPlaceDecimals), xy[1].scaled(kPlaceDecimals));
    }
    roads::TravelMatrix travel;
    travel.rows = travel.columns = at.size();
    const std::int64_t unit = power_of_ten(kPlaceDecimals - decimals);
    for (std::size_t a = 0; a < at.size(); ++a) {
        for (std::size_t b = 0; b < at.size(); ++b) {
            const auto dx = static_cast<Wide>(at[a].first - at[b].first);
            const auto dy = static_cast<Wide>(at[a].second - at[b].second);
            const Wide square = dx * dx + dy * dy;
            // The largest whole t with (t unit)^2 <= square; the root is only a first guess.
            auto t = static_cast<std::int64_t>(std::sqrt(static_cast<long double>(square)) /
                                               static_cast<long double>(unit));
            const auto reaches = [&](std::int64_t value) {
                const auto length = static_cast<Wide>(value) * unit;
                return length * length <= square;
            };
            while (!reaches(t)) {
                --t;
            }
            while (reaches(t + 1)) {
                ++t;
            }
            if (t >= tour::kLatestTime.count()) {
                field.refuse(fmt::format("points {} and {} are too far apart", a, b));
            }
            travel.duration_s.push_back(static_cast<std::uint32_t>(t));
            travel.length_m.push_back(static_cast<std::uint32_t>(t));
        }
    }
    return travel;
}

[[nodiscard]] std::vector<std::uint32_t> read_rows(const TourField& field, std::size_t size,
                                                   int decimals, bool is_time)
{
    std::vector<std::uint32_t> values;
    const auto rows = field.list();
    if (rows.size() != size) {
        field.refuse(fmt::format("{} rows for {} places", rows.size(), size));
    }
    for (const auto& row : rows) {
        const auto cells = row.list();
        if (cells.size() != size) {
            row.refuse(
                fmt::format("the matrix has a hole: {} values for {} places", cells.size(), size));
        }
        for (const auto& cell : cells) {
            if (cell.is_hole()) {
                values.push_back(roads::kUnreachable);
                continue;
            }
            const std::int64_t value = is_time ? tour_time(cell, decimals).count() : cell.scaled(0);
            if (value < 0 || value >= static_cast<std::int64_t>(roads::kUnreachable)) {
                cell.refuse("a length must be a whole number from 0 on; null where no road is");
            }
            values.push_back(static_cast<std::uint32_t>(value));
        }
    }
    return values;
}

[[nodiscard]] roads::TravelMatrix read_matrix(const TourField& field, int decimals)
{
    roads::TravelMatrix travel;
    const auto rows = field.need("times").list();
    travel.rows = travel.columns = rows.size();
    travel.duration_s = read_rows(field.need("times"), rows.size(), decimals, true);
    travel.length_m = field.find("lengths")
                          ? read_rows(field.need("lengths"), rows.size(), 0, false)
                          : travel.duration_s;
    return travel;
}

}  // namespace

seconds tour_time(const TourField& field, int decimals)
{
    const std::int64_t value = field.scaled(decimals);
    if (value < 0 || value >= tour::kLatestTime.count()) {
        field.refuse(fmt::format("a time must lie between 0 and {} with {} decimals",
                                 tour::kLatestTime.count() / power_of_ten(decimals), decimals));
    }
    return seconds{value};
}

roads::TravelMatrix read_tour_travel(const TourField& field, int decimals)
{
    field.only({"times", "lengths", "points"});
    if (field.find("points").has_value() == field.find("times").has_value()) {
        field.refuse("either 'times' or 'points' is needed, not both");
    }
    return field.find("points") ? read_points(field.need("points"), decimals)
                                : read_matrix(field, decimals);
}

}  // namespace nestround::app
