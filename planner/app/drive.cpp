#include "planner/app/drive.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/roads/dijkstra_engine.hpp"

namespace nestround::app {
namespace {

unsigned weekday_of(Day on) { return std::chrono::weekday{on}.iso_encoding() - 1; }

/// Sum of the times from the depots to all stops that can be reached, in milliseconds.
double time_to_all(std::shared_ptr<const roads::RoadNetwork> network,
                   const std::vector<roads::RoadStop>& depots,
                   const std::vector<roads::RoadStop>& stops)
{
    const roads::DijkstraEngine engine{std::move(network)};
    double sum = 0;
    for (const auto& cost : engine.exact_costs(depots, stops)) {
        sum += cost < roads::kNever ? static_cast<double>(cost.ms) : 0;
    }
    return sum;
}

}  // namespace

roads::DrivingHours driving_hours(Day on, ClockTime begins, ClockTime ends)
{
    const auto minute = [](ClockTime t) {
        return static_cast<int>(t.since_midnight().count() / 60);
    };
    return {weekday_of(on), minute(begins), std::max(minute(begins), minute(ends))};
}

roads::SuitedRoads roads_for(std::shared_ptr<const roads::RoadNetwork> network,
                             const roads::Drive& drive)
{
    return value_or_throw(roads::suited_roads(std::move(network), drive));
}

std::vector<tour::TrafficSlot> traffic_slots(
    const std::shared_ptr<const roads::RoadNetwork>& network, const roads::TrafficTable& table,
    Day on, const roads::TurnCosts& turns, const std::vector<roads::RoadStop>& depots,
    const std::vector<roads::RoadStop>& stops)
{
    constexpr int kHours = 24;
    roads::SlowedBy usual;
    usual.fill(1);
    std::map<roads::SlowedBy, int> speed_of{{usual, 1000}};
    const double without = time_to_all(network, depots, stops);
    std::vector<tour::TrafficSlot> slots;
    bool uneven = false;
    for (int hour = 0; hour < kHours && without > 0; ++hour) {
        // The middle of the hour speaks for it.
        const auto factors = roads::slowed_by(table, weekday_of(on), hour * 60 + 30);
        const auto [entry, is_new] = speed_of.try_emplace(factors, 0);
        if (is_new) {
            roads::Drive drive;
            drive.turns = turns;
            drive.slowed_by = factors;
            const double with = time_to_all(roads_for(network, drive).network, depots, stops);
            entry->second = std::clamp(static_cast<int>(std::lround(1000 * without / with)),
                                       tour::Traffic::kSlowest, tour::Traffic::kFastest);
        }
        uneven = uneven || entry->second != 1000;
        if (slots.empty() || slots.back().speed_permille != entry->second) {
            slots.push_back({std::chrono::hours{hour}, entry->second});
        }
    }
    return uneven ? slots : std::vector<tour::TrafficSlot>{};
}

}  // namespace nestround::app
