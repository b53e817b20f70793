#include "planner/access/cold.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "planner/access/figures.hpp"

namespace nestround::access {

namespace {

double cold(std::string_view parameter) { return figure("cold", parameter).middle(); }

double hours_of(seconds time) { return static_cast<double>(time.count()) / 3600; }

std::optional<seconds> time_to(double ppm, double steady, double grown_per_hour, double air_changes)
{
    const double rise = ppm - cold("outside_ppm");
    if (grown_per_hour <= 0 || (air_changes > 0 && steady <= ppm)) {
        return std::nullopt;
    }
    const double hours = air_changes > 0
                             ? -std::log(1 - rise / (steady - cold("outside_ppm"))) / air_changes
                             : rise / grown_per_hour;
    return seconds{std::llround(hours * 3600)};
}

bool is_loss(Fraction loss) { return loss.value() >= 0 && loss.value() < 0.2; }

}  // namespace

FreezingHeat freezing_heat(Grams catch_mass, Celsius from, Celsius to)
{
    const double kilograms = catch_mass.value() / 1000;
    const Celsius freezing{0};
    FreezingHeat heat;
    heat.above = kilograms * cold("water_heat") * std::max(0.0, (from - freezing).value());
    heat.latent = from > freezing && to < freezing ? kilograms * cold("water_latent") : 0;
    heat.below =
        kilograms * cold("ice_heat") * std::max(0.0, (std::min(from, freezing) - to).value());
    return heat;
}

double default_loss_per_hour() { return cold("box_loss_per_hour") / 100; }

Result<IceNeed> ice_needed(Grams catch_mass, seconds out, Fraction loss_per_hour,
                           std::optional<Celsius> from)
{
    if (!(catch_mass.value() >= 0 && catch_mass.value() <= 1e5)) {
        return fail(ErrorCode::InvalidInput, "the catch lies between 0 and 100 kg");
    }
    if (out < seconds{0} || out > std::chrono::hours{72}) {
        return fail(ErrorCode::InvalidInput, "the hours lie between 0 and 72");
    }
    if (!is_loss(loss_per_hour)) {
        return fail(ErrorCode::InvalidInput, "a box loses between 0 and 20 % an hour");
    }
    IceNeed need;
    const double heat = freezing_heat(catch_mass, from.value_or(Celsius{cold("catch_at")}),
                                      Celsius{cold("frozen_to")})
                            .all();
    need.for_freezing = Grams{heat / cold("sublimation") * 1000};
    // What has to be put in so that the freezing share is still there at the end of the day.
    const double kept = std::pow(1 - loss_per_hour.value(), hours_of(out));
    const Grams floor = std::max(need.for_freezing, Grams{cold("least_left") * 1000});
    need.for_box = floor / kept - need.for_freezing;
    need.reserve = (need.for_freezing + need.for_box) * cold("reserve");
    return need;
}

Grams ice_left(Grams mass, Fraction loss_per_hour, seconds time)
{
    return mass * std::pow(1 - loss_per_hour.value(), hours_of(time));
}

std::optional<seconds> ice_lasts(Grams mass, Fraction loss_per_hour, Grams least)
{
    if (!(mass > least) || !(least.value() > 0) || !is_loss(loss_per_hour) ||
        loss_per_hour.value() == 0) {
        return std::nullopt;
    }
    return seconds{
        std::llround(3600 * std::log(least / mass) / std::log(1 - loss_per_hour.value()))};
}

double gas_per_kilogram()
{
    constexpr double kGas = 8.314462618;      // J/(mol K)
    constexpr double kMolar = 0.04401;        // kg/mol
    constexpr double kAtmosphere = 101325.0;  // Pa
    return kGas * 293.15 / (kMolar * kAtmosphere);
}

double cab_ppm(Grams lost_per_hour, double cab, double air_changes, seconds time)
{
    const double grown = 1e6 * lost_per_hour.value() / 1000 * gas_per_kilogram() / cab;
    const double outside = cold("outside_ppm");
    if (air_changes <= 0) {
        return outside + grown * hours_of(time);
    }
    return outside + grown / air_changes * (1 - std::exp(-air_changes * hours_of(time)));
}

Result<CabAir> cab_air(Grams ice, Fraction loss_per_hour, double cab, double air_changes)
{
    if (!(ice.value() >= 0 && ice.value() <= 1e6) || !is_loss(loss_per_hour)) {
        return fail(ErrorCode::InvalidInput,
                    "dry ice lies between 0 and 1000 kg, its loss between 0 and 20 % an hour");
    }
    if (!(cab >= 0.5 && cab <= 50)) {
        return fail(ErrorCode::InvalidInput, "a cab holds between 0.5 and 50 cubic metres");
    }
    if (!(air_changes >= 0 && air_changes <= 500)) {
        return fail(ErrorCode::InvalidInput, "air changes lie between 0 and 500 an hour");
    }
    const double gas = ice.value() / 1000 * loss_per_hour.value() * gas_per_kilogram();
    const double grown = 1e6 * gas / cab;
    const double outside = cold("outside_ppm");
    CabAir air;
    air.steady_ppm = air_changes > 0 ? outside + grown / air_changes
                     : grown > 0     ? std::numeric_limits<double>::infinity()
                                     : outside;
    air.until_warning = time_to(cold("warn_ppm"), air.steady_ppm, grown, air_changes);
    air.until_limit = time_to(cold("limit_ppm"), air.steady_ppm, grown, air_changes);
    air.least_air = gas / ((cold("warn_ppm") - outside) * 1e-6);
    const std::string tell =
        "; keep the ice out of the cab or the windows open, ventilate before getting in";
    if (air.until_limit) {
        air.words = fmt::format("OVER {:.0f} ppm after {} min{}", cold("limit_ppm"),
                                air.until_limit->count() / 60, tell);
    } else if (air.until_warning) {
        air.words = fmt::format("over half the limit ({:.0f} ppm) after {} min{}", cold("warn_ppm"),
                                air.until_warning->count() / 60, tell);
    } else {
        air.words = fmt::format(
            "settles at about {:.0f} ppm, under half the limit, while the air "
            "changes{}",
            air.steady_ppm, tell);
    }
    return air;
}

}  // namespace nestround::access
