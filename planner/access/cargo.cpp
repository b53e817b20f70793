#include "planner/access/cargo.hpp"

#include <algorithm>
#include <cmath>

#include "planner/access/figures.hpp"

namespace nestround::access {

namespace {

double cargo(std::string_view parameter) { return figure("cargo", parameter).middle(); }

double seconds_of(seconds time) { return static_cast<double>(time.count()); }

/// One lump: approaches `settles` with the time constant `tau` seconds.
struct Lump {
    double settles = 0;
    double tau = 0;

    [[nodiscard]] double after(double start, double time) const
    {
        return settles + (start - settles) * std::exp(-time / tau);
    }
    /// Until `limit` is passed on the way up; empty: never, or it is over it already.
    [[nodiscard]] std::optional<double> until(double start, double limit) const
    {
        if (start >= limit || settles <= limit) {
            return std::nullopt;
        }
        return -tau * std::log((settles - limit) / (settles - start));
    }
};

Lump lump_of(const CargoBox& box, Celsius air)
{
    const double mass = (box.comb + box.adults).value() / 1000;
    return {air.value() + cargo_watts(box) / box.watts_per_kelvin,
            mass * cargo("heat_capacity") * 1000 / box.watts_per_kelvin};
}

std::string fault_of(const CargoBox& box, const std::vector<CargoAir>& air)
{
    if (!(box.comb.value() > 0 && box.comb.value() <= 20000 && box.adults.value() >= 0 &&
          box.adults.value() <= 20000)) {
        return "the comb lies between 0 and 20 kg, adults likewise";
    }
    if (!(box.watts_per_kelvin >= 0.05 && box.watts_per_kelvin <= 100)) {
        return "a box gives off between 0.05 and 100 watts a degree";
    }
    if (!(box.start.value() >= -40 && box.start.value() <= 80 && box.warm.value() >= 0 &&
          box.warm.value() <= 60)) {
        return "the comb starts between -40 and 80 C, its limit lies between 0 and 60 C";
    }
    for (const auto& hour : air) {
        if (!(hour.air.value() >= -40 && hour.air.value() <= 90) || hour.to < hour.from) {
            return "the air about the box lies between -40 and 90 C";
        }
    }
    return {};
}

}  // namespace

CargoBox::CargoBox()
    : comb{cargo("comb")},
      watts_per_kelvin{cargo("box_loss")},
      start{cargo("start")},
      warm{cargo("warm")}
{
}

double cargo_watts(const CargoBox& box)
{
    return (box.comb.value() * cargo("brood_heat") + box.adults.value() * cargo("colony_heat")) /
           1000;
}

double emergence_rate(Celsius box, Celsius warm)
{
    const double zero = cargo("rate_zero");
    if (box >= warm || box.value() <= zero) {
        return 0;
    }
    return (box.value() - zero) / (cargo("rate_reference") - zero);
}

Result<CargoRide> cargo_ride(const CargoBox& box, const std::vector<CargoAir>& air, seconds leaves,
                             seconds home, int sealed_cells, std::optional<double> pupal_days)
{
    if (auto fault = fault_of(box, air); !fault.empty()) {
        return fail(ErrorCode::InvalidInput, std::move(fault));
    }
    const double days = pupal_days.value_or(cargo("pupal_days"));
    if (home < leaves || sealed_cells < 0 || !(days > 0)) {
        return fail(
            ErrorCode::InvalidInput,
            "a ride ends after it begins, cells are not negative, and pupae take some days");
    }
    CargoRide ride;
    double now = box.start.value();
    ride.hottest = box.start;
    ride.moments.push_back({leaves, box.start});
    if (box.start >= box.warm) {
        ride.warm_after = seconds{0};
    }
    seconds at = leaves;
    for (const auto& hour : air) {
        if (hour.to <= at || at >= home) {
            continue;
        }
        if (hour.from > at) {
            break;  // a gap: nothing is known from here on
        }
        const seconds until = std::min(hour.to, home);
        const Lump lump = lump_of(box, hour.air);
        if (const auto crossing = lump.until(now, box.warm.value());
            !ride.warm_after && crossing && *crossing <= seconds_of(until - at)) {
            ride.warm_after = at - leaves + seconds{static_cast<std::int64_t>(*crossing)};
        }
        // Steps of a minute are fine enough for a rate that is straight in temperature.
        for (seconds step = at; step < until; step += std::chrono::minutes{1}) {
            const double length = std::min(60.0, seconds_of(until - step));
            const Celsius middle{lump.after(now, seconds_of(step - at) + length / 2)};
            ride.emerged += sealed_cells / days * emergence_rate(middle, box.warm) * length / 86400;
        }
        now = lump.after(now, seconds_of(until - at));
        at = until;
        ride.moments.push_back({at, Celsius{now}});
        ride.hottest = std::max(ride.hottest, Celsius{now});
    }
    ride.emerged = std::min(ride.emerged, static_cast<double>(sealed_cells));
    if (at < home) {
        ride.unknown_from = at;
    }
    return ride;
}

Result<std::optional<seconds>> longest_ride(const CargoBox& box, const std::vector<CargoAir>& air,
                                            seconds first_leave, seconds last_leave)
{
    std::optional<seconds> shortest;
    const seconds end = air.empty() ? first_leave : air.back().to;
    for (seconds leaves = first_leave; leaves <= last_leave; leaves += std::chrono::minutes{10}) {
        const auto ride = cargo_ride(box, air, leaves, std::max(end, leaves));
        if (!ride) {
            return tl::unexpected{ride.error()};
        }
        if (ride->warm_after && (!shortest || *ride->warm_after < *shortest)) {
            shortest = ride->warm_after;
        }
    }
    return shortest;
}

CelsiusDelta parked_cab_adds(seconds standing)
{
    // An exponential that has done its share of the rise after 30 minutes.
    const double tau = -1800 / std::log(1 - cargo("parked_share") / 100);
    const double whole = cargo("parked_adds");
    return CelsiusDelta{whole * (1 - std::exp(-std::max(0.0, seconds_of(standing)) / tau))};
}

CelsiusDelta moving_cab_adds() { return CelsiusDelta{cargo("moving_adds")}; }

}  // namespace nestround::access
