#include "planner/desk/rooms.hpp"

namespace nestround::desk {

Tables room_tables() { return {state_routes()}; }

}  // namespace nestround::desk
