#include "planner/desk/rooms.hpp"

namespace nestround::desk {

Tables room_tables()
{
    return {state_routes(), morning_routes(), nest_routes(),  call_routes(),    wasp_routes(),
            photo_routes(), visit_routes(),   brood_routes(), freezer_routes(), season_routes()};
}

}  // namespace nestround::desk
