// Invented weather: a yearly wave, days that hang together, three heights.
#include <fmt/core.h>

#include <array>
#include <cmath>
#include <numbers>

#include "demo-region/tables.hpp"
#include "geocore/base/calendar.hpp"

namespace nestround::demo {
namespace {

struct Station {
    const char* code;
    Vec at;
    double height_m;
};

constexpr std::array<Station, 3> kStations{{
    {"W1", {-4000, 1500}, 162},
    {"W2", {15500, 11000}, 318},
    {"W3", {-16500, -12500}, 241},
}};

/// Memory of yesterday, and noise that is wider in winter.
class DailyNoise {
public:
    explicit DailyNoise(std::uint64_t seed) : random_{seed} {}
    double next(double deviation)
    {
        constexpr double kMemory = 0.72;
        state_ = kMemory * state_ + std::sqrt(1 - kMemory * kMemory) * random_.normal(0, deviation);
        return state_;
    }
    Random& random() { return random_; }

private:
    Random random_;
    double state_ = 0;
};

}  // namespace

std::string weather_csv(const County& county)
{
    NameMaker names{county.seed ^ 0x77657468U};
    std::string out = "station,name,lon,lat,height_m,date,tmin_c,tmax_c\n";
    for (std::size_t s = 0; s < kStations.size(); ++s) {
        const Station& station = kStations[s];
        const std::string name = names.place();
        const LonLat at = on_earth(station.at);
        DailyNoise region{county.seed ^ 0x616972U};  // the same for all stations
        DailyNoise own{county.seed ^ (0x6c6f63U + s)};
        const Day first{std::chrono::year{2024} / 1 / 1};
        const Day end{std::chrono::year{2027} / 1 / 1};
        for (Day day = first; day < end; day += std::chrono::days{1}) {
            // Coldest near 20 January; a mean of 10 degrees and a swing of 12.5 suit 41 degrees
            // north far from the sea. A stage, no climate record.
            const double wave = std::cos(2 * std::numbers::pi * (day_of_year(day) - 20) / 365.25);
            const double mean = 10.4 - 12.6 * wave - 0.0062 * (station.height_m - 160) +
                                region.next(3.6 + 1.3 * wave) + own.next(0.7);
            const double half = std::max(
                1.5, region.random().normal(5.6 - 0.9 * wave, 1.5) + own.random().normal(0, 0.4));
            out += fmt::format("{},{},{:.5f},{:.5f},{:.0f},{},{:.1f},{:.1f}\n", station.code, name,
                               at.lon.value(), at.lat.value(), station.height_m, format_day(day),
                               mean - half, mean + half);
        }
    }
    return out;
}

}  // namespace nestround::demo
