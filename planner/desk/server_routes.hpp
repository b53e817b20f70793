/// \file server_routes.hpp
/// \brief Routes of the desk that belong to no room: events, works, the interface's own document.
///
/// Purpose:  GET /api/events, GET and DELETE /api/work/{id}.
/// Units:    none.
/// Range:    not applicable.
/// Accuracy: not applicable.
/// Errors:   as routes.hpp.
/// Source:   own.
#pragma once

#include "planner/desk/routes.hpp"

namespace nestround::desk {

[[nodiscard]] std::span<const Route> server_routes();

}  // namespace nestround::desk
