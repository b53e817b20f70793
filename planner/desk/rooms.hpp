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

}  // namespace nestround::desk
