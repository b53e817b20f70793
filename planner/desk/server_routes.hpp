/// \file server_routes.hpp
/// \brief Routes of the desk that belong to no room: events, works, the interface's own document.
///
/// Purpose:  GET /api/events, GET and DELETE /api/works/{id},
///           GET /api/openapi.json, tiles and the OGC service.
/// Units:    none.
/// Range:    not applicable.
/// Accuracy: not applicable.
/// Errors:   as routes.hpp.
/// Source:   own.
#pragma once

#include "planner/desk/routes.hpp"

namespace nestround::desk {

[[nodiscard]] std::span<const Route> server_routes();
[[nodiscard]] std::span<const Route> tile_routes();  ///< GET /tiles/roads/{z}/{x}/{y}.mvt
[[nodiscard]] std::span<const Route> ogc_routes();   ///< GET /ogc and what lies below

}  // namespace nestround::desk
