#include "planner/app/carry_comb.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "planner/app/settings_reader.hpp"

namespace nestround::app {

namespace {

constexpr std::array kNames{"limits.cargo", "limits.comb_g", "limits.box_w_per_k",
                            "limits.cab_adds_k"};

}  // namespace

bool is_cargo_setting(const std::string& name)
{
    return std::find(kNames.begin(), kNames.end(), name) != kNames.end();
}

CargoSettings cargo_settings(const std::map<std::string, std::string>& settings)
{
    const Reader read{settings};
    CargoSettings result;
    read.on_off("limits.cargo", result.on);
    double comb = result.box.comb.value();
    read.number("limits.comb_g", comb, 1);
    result.box.comb = Grams{comb};
    read.number("limits.box_w_per_k", result.box.watts_per_kelvin, 0.05);
    double adds = access::moving_cab_adds().value();
    read.number("limits.cab_adds_k", adds, 0);
    result.cab_adds = CelsiusDelta{adds};
    return result;
}

std::vector<access::CargoAir> cab_by_hour(const day::DayConditions& conditions, CelsiusDelta adds)
{
    std::vector<access::CargoAir> air;
    for (const auto& hour : conditions.hours) {
        if (hour.air) {
            air.push_back({hour.from, hour.to, *hour.air + adds});
        }
    }
    return air;
}

std::vector<access::CargoAir> parked_cab(const day::DayConditions& conditions, seconds from)
{
    constexpr seconds kStep{300};
    std::vector<access::CargoAir> air;
    for (const auto& hour : conditions.hours) {
        for (seconds at = std::max(hour.from, from); hour.air && at < hour.to; at += kStep) {
            const seconds to = std::min(at + kStep, hour.to);
            air.push_back({at, to, *hour.air + access::parked_cab_adds(to - from)});
        }
    }
    return air;
}

day::DayConditions steady_air(Celsius air)
{
    day::DayConditions conditions;
    conditions.hours.push_back({seconds{0}, std::chrono::hours{48}, air, {}, {}, {}, {}});
    conditions.source = "one temperature all day, as given";
    return conditions;
}

RideLimit ride_limit(const CargoSettings& settings, const day::DayConditions& conditions,
                     seconds shift_begins, seconds shift_ends)
{
    RideLimit result;
    const auto air = cab_by_hour(conditions, settings.cab_adds);
    if (air.empty()) {
        result.words = "the ride of live comb: no temperature of this day is known";
        return result;
    }
    const auto longest =
        value_or_throw(access::longest_ride(settings.box, air, shift_begins, shift_ends));
    result.known = true;
    result.limit = longest;
    const std::string basis = fmt::format(
        "{:.0f} g of comb, a box that gives off {:g} W a degree and a cab {:.0f} K over "
        "the air outside: most of it assumptions",
        settings.box.comb.value(), settings.box.watts_per_kelvin, settings.cab_adds.value());
    result.words = longest
                       ? fmt::format(
                             "live comb rides at most {} min from its nest to home, before its box "
                             "passes {:.0f} \u00b0C ({})",
                             longest->count() / 60, settings.box.warm.value(), basis)
                       : fmt::format(
                             "the box of live comb stays below {:.0f} \u00b0C all shift by the "
                             "reckoning ({}); put a thermometer in it",
                             settings.box.warm.value(), basis);
    return result;
}

}  // namespace nestround::app
