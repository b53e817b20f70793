/// \file suited_roads.hpp
/// \brief The roads as one truck meets them: its size, the hour, what turns cost, and traffic.
///
/// Purpose:  a road file is made for a light truck at no known hour; this makes of it the network
/// of
///           a certain truck at a certain hour. Engines then need not know of any of it.
/// Units:    metres, tonnes, whole milliseconds, minutes.
/// Range:    a road is closed where the truck exceeds a limit of height, width, weight or axle
///           load; above 3.5 t the signs for lorries count. With hours, what forbids at any minute
///           of them forbids, and what allows must do so throughout. Without, restrictions by hour
///           bind always and roads closed by hour are open.
/// Accuracy: exact. A direction that opens by hour is driven as quickly as the other one.
/// Cost:     nothing when nothing changes: the same network comes back with its hierarchy. Else as
///           making the network, and the hierarchy is gone.
/// Errors:   Infeasible when no roads are left that can be driven there and back.
/// Source:   own.
#pragma once

#include <array>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/roads/by_hour.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/turn_graph.hpp"
#include "geocore/roads/vehicle_limits.hpp"

namespace nestround::roads {

/// Times of each class of road are multiplied by these.
using SlowedBy = std::array<double, kRoadClasses>;

struct Drive {
    Truck truck;
    TurnCosts turns;
    std::optional<DrivingHours> hours;
    std::optional<SlowedBy> slowed_by;
};

struct SuitedRoads {
    std::shared_ptr<const RoadNetwork> network;
    std::size_t closed_by_size = 0;  ///< stretches, in one direction or both
    std::size_t closed_by_hour = 0;
    std::size_t opened_by_hour = 0;
    std::size_t cut_off = 0;            ///< open stretches that can no longer be reached and left
    std::size_t turns_spared = 0;       ///< restrictions that do not bind this truck at this hour
    std::size_t not_understood = 0;     ///< conditions that cannot be read: as without hours
    std::string example;                ///< one of them
    std::vector<std::uint32_t> closed;  ///< stretches of the network given, rising

    /// What changed, in words; empty when nothing did.
    [[nodiscard]] std::vector<std::string> words() const;
};

[[nodiscard]] Result<SuitedRoads> suited_roads(std::shared_ptr<const RoadNetwork> network,
                                               const Drive& drive);

}  // namespace nestround::roads
