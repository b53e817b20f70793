// GET /tiles/roads/{z}/{x}/{y}.mvt
#include <array>
#include <charconv>

#include "planner/desk/server_routes.hpp"
#include "planner/desk/tiles.hpp"

namespace nestround::desk {
namespace {

int whole(const Request& request, const std::string& name)
{
    const auto& text = request.parameter(name);
    int value = -1;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
    if (read.ec != std::errc{} || read.ptr != text.data() + text.size()) {
        throw Refusal{400, "bad_tile", "a tile is named by three whole numbers", name};
    }
    return value;
}

Answer road(Desk& desk, const Request& request)
{
    const TileKey key{whole(request, "z"), whole(request, "x"), whole(request, "y")};
    if (!is_tile(key)) {
        throw Refusal{404, "no_such_tile", "there is no tile of that number", {}};
    }
    if (!desk.network()) {
        throw Refusal{404, "no_roads", "the desk was opened without a road file", {}};
    }
    const auto tile = desk.tiles().road_tile(*desk.network(), key);
    Answer answer;
    answer.content_type = "application/vnd.mapbox-vector-tile";
    // The roads stay the same as long as the desk is open; another run may have others.
    answer.headers["Cache-Control"] = "private, no-cache";
    const std::string tag = '"' + std::to_string(tile->size()) + '-' +
                            std::to_string(std::hash<std::string>{}(*tile)) + '"';
    answer.headers["ETag"] = tag;
    if (request.header("If-None-Match").find(tag) != std::string::npos) {
        answer.status = 304;
    } else if (tile->empty()) {
        answer.status = 204;
    } else {
        answer.body = *tile;
    }
    return answer;
}

constexpr std::array kRoutes{
    Route{Method::Get, "/tiles/roads/{z}/{x}/{y}.mvt", road},
};

}  // namespace

std::span<const Route> tile_routes() { return kRoutes; }

}  // namespace nestround::desk
