#include "geocore/place/sun.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace nestround::place {

namespace {

constexpr double kDegree = std::numbers::pi / 180;

/// Declination in radians and equation of time in minutes.
struct Sun {
    double declination = 0;
    double equation = 0;
};

Sun sun_at(double unix_seconds)
{
    const double t = (unix_seconds / 86400 + 2440587.5 - 2451545) / 36525;  // Julian centuries
    const double mean = 280.46646 + t * (36000.76983 + 0.0003032 * t);
    const double anomaly = (357.52911 + t * (35999.05029 - 0.0001537 * t)) * kDegree;
    const double eccentric = 0.016708634 - 0.000042037 * t;
    const double centre = (1.914602 - 0.004817 * t) * std::sin(anomaly) +
                          (0.019993 - 0.000101 * t) * std::sin(2 * anomaly) +
                          0.000289 * std::sin(3 * anomaly);
    const double node = (125.04 - 1934.136 * t) * kDegree;
    const double longitude = (mean + centre - 0.00569 - 0.00478 * std::sin(node)) * kDegree;
    const double tilt =
        (23 + (26 + 21.448 / 60) / 60 - 46.815 / 3600 * t + 0.00256 * std::cos(node)) * kDegree;
    const double y = std::pow(std::tan(tilt / 2), 2);
    const double l = mean * kDegree;
    const double equation = y * std::sin(2 * l) - 2 * eccentric * std::sin(anomaly) +
                            4 * eccentric * y * std::sin(anomaly) * std::cos(2 * l) -
                            0.5 * y * y * std::sin(4 * l) -
                            1.25 * eccentric * eccentric * std::sin(2 * anomaly);
    return {std::asin(std::sin(tilt) * std::sin(longitude)), 4 * equation / kDegree};
}

double midnight(Day day) { return static_cast<double>(Instant{day}.time_since_epoch().count()); }

Instant instant(double unix_seconds) { return Instant{seconds{std::llround(unix_seconds)}}; }

double noon(LonLat place, Day day)
{
    const double mean = midnight(day) + 43200 - place.lon.value() * 240;
    double at = mean;
    for (int k = 0; k < 3; ++k) {
        at = mean - sun_at(at).equation * 60;
    }
    return at;
}

}  // namespace

Instant solar_noon(LonLat place, Day day) { return instant(noon(place, day)); }

SunSpan sun_span(LonLat place, Day day, double zenith_degrees)
{
    SunSpan span;
    if (!is_on_earth(place)) {
        return span;
    }
    const double middle = noon(place, day);
    const double mean = midnight(day) + 43200 - place.lon.value() * 240;
    // At the very poles the tangent is without bound.
    const double latitude = std::clamp(place.lat.value(), -89.9999, 89.9999) * kDegree;
    const auto crossing = [&](int side) -> std::optional<Instant> {
        double at = middle;
        for (int k = 0; k < 5; ++k) {
            const Sun sun = sun_at(at);
            const double cosine = std::cos(zenith_degrees * kDegree) /
                                      (std::cos(latitude) * std::cos(sun.declination)) -
                                  std::tan(latitude) * std::tan(sun.declination);
            if (std::abs(cosine) > 1) {
                span.polar = cosine > 1 ? Polar::AlwaysBelow : Polar::AlwaysAbove;
                return std::nullopt;
            }
            at = mean - sun.equation * 60 + side * std::acos(cosine) / kDegree * 240;
        }
        return instant(at);
    };
    span.begins = crossing(-1);
    span.ends = crossing(1);
    return span;
}

}  // namespace nestround::place
