/// \file rooms.hpp
/// \brief The tables of routes of the desk's rooms.
///
/// Purpose:  each room is a file rooms_*.cpp with its handlers and one table; this lists them.
/// Units:    none.
/// Range:    not applicable.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include "planner/desk/routes.hpp"

namespace nestround::desk {

[[nodiscard]] Tables room_tables();

[[nodiscard]] std::span<const Route> state_routes();
[[nodiscard]] std::span<const Route> morning_routes();
[[nodiscard]] std::span<const Route> nest_routes();
[[nodiscard]] std::span<const Route> call_routes();
[[nodiscard]] std::span<const Route> wasp_routes();
[[nodiscard]] std::span<const Route> photo_routes();
[[nodiscard]] std::span<const Route> visit_routes();
[[nodiscard]] std::span<const Route> brood_routes();
[[nodiscard]] std::span<const Route> freezer_routes();
[[nodiscard]] std::span<const Route> season_routes();

}  // namespace nestround::desk
