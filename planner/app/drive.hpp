/// \file drive.hpp
/// \brief The crew's truck on the roads: settings and hours become the roads that it meets.
///
/// Purpose:  what a morning, a season and `nestround roads` share.
/// Units:    metres, tonnes, seconds; in the names of settings.
/// Range:    settings truck.*, roads.*_turn_seconds, traffic.file; all may be absent.
/// Accuracy: see roads/suited_roads.hpp. Traffic is one factor an hour for the whole day: how much
///           longer the ways from the depots to all stops take together.
/// Errors:   Failure: what reading the table of traffic throws; Infeasible when no road is left.
/// Source:   own; docs/reference/roads.md.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/roads/suited_roads.hpp"
#include "geocore/roads/traffic_table.hpp"
#include "geocore/roads/travel.hpp"
#include "planner/tour/problem.hpp"

namespace nestround::app {

struct DriveSettings {
    roads::Truck truck;
    roads::TurnCosts turns;
    std::string traffic;  ///< path of the table, empty when none is set
};

/// From the first of `begins` to the last of `ends`.
[[nodiscard]] roads::DrivingHours driving_hours(Day on, ClockTime begins, ClockTime ends);

[[nodiscard]] roads::SuitedRoads roads_for(std::shared_ptr<const roads::RoadNetwork> network,
                                           const roads::Drive& drive);

/// One slot an hour of the day for the tour, as `drive` goes through `network`; empty when no hour
/// differs from the roads as they are.
[[nodiscard]] std::vector<tour::TrafficSlot> traffic_slots(
    const std::shared_ptr<const roads::RoadNetwork>& network, const roads::TrafficTable& table,
    Day on, const roads::TurnCosts& turns, const std::vector<roads::RoadStop>& depots,
    const std::vector<roads::RoadStop>& stops);

}  // namespace nestround::app
