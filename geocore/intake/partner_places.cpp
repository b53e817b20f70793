#include "geocore/intake/partner_places.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <set>

#include "geocore/base/error.hpp"
#include "geocore/intake/layer_grid.hpp"

namespace nestround::intake {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

[[noreturn]] void refuse(const std::string& file, std::string why)
{
    throw Failure{ErrorCode::InvalidInput, std::move(why), file};
}

/// "EPSG:4326" for what Darwin Core calls a datum; nothing when it is none that is known here.
std::optional<std::string> system_of_datum(const std::string& datum)
{
    const auto word = folded(datum);
    for (const auto* wgs : {"", "wgs84", "wgs_84", "epsg:4326", "unknown", "not_recorded"}) {
        if (word == wgs) {
            return "EPSG:4326";
        }
    }
    for (const auto& [name, code] :
         {std::pair{"nad83", "EPSG:4269"}, std::pair{"nad27", "EPSG:4267"},
          std::pair{"etrs89", "EPSG:4258"}}) {
        if (word == name) {
            return code;
        }
    }
    if (word.starts_with("epsg:") && word.size() <= 10 &&
        word.find_first_not_of("0123456789", 5) == std::string::npos) {
        return "EPSG:" + word.substr(5);
    }
    return std::nullopt;
}

/// Where the rows of a text table are.
class PlaceReader {
public:
    PlaceReader(const Grid& grid, const Columns& columns, const std::string& crs)
        : grid_{grid}, columns_{columns}, crs_{crs}
    {
        const bool degrees = columns.has("lon") && columns.has("lat");
        const bool plane = columns.has("x") && columns.has("y");
        if (!degrees && !plane && !columns.has("footprint")) {
            columns.require({"lon", "lat"});
        }
        if (!degrees && plane && crs.empty()) {
            refuse(grid.file, fmt::format("columns {} and {} do not say their coordinate system; "
                                          "ask which it is and say it, as --crs EPSG:32632",
                                          columns.shown_name("x"), columns.shown_name("y")));
        }
        x_ = degrees ? "lon" : "x";
        y_ = degrees ? "lat" : "y";
    }

    std::vector<PlacedShape> read()
    {
        std::vector<PlacedShape> out(grid_.rows.size());
        std::map<std::string, std::vector<std::size_t>> by_system;
        std::vector<RawPoint> raw(grid_.rows.size(), {kNone, kNone});
        for (std::size_t i = 0; i < grid_.rows.size(); ++i) {
            RowReader row{columns_, grid_.rows[i]};
            const auto x = row.number(x_);
            const auto y = row.number(y_);
            const auto footprint = row.text("footprint");
            if (!footprint.empty()) {
                out[i] = shape_of_wkt(footprint);
            }
            if (row.fault()) {
                out[i].place.reset();
                out[i].fault = row.fault()->reason;
            } else if (x && y) {
                raw[i] = {*x, *y};
                const auto datum = row.text("datum");
                const auto system = !crs_.empty() ? std::optional{crs_} : system_of_datum(datum);
                if (system) {
                    by_system[*system].push_back(i);
                } else {
                    out[i].place.reset();
                    out[i].fault = fmt::format(
                        "geodetic datum '{}' is not known here; --crs says "
                        "one for all rows",
                        shown(datum));
                }
            } else if (!out[i].place) {
                out[i].fault = "has no place";
            }
        }
        for (const auto& [system, rows] : by_system) {
            place(system, rows, raw, out);
        }
        return out;
    }

    [[nodiscard]] std::string field() const
    {
        return columns_.shown_name(x_) + ", " + columns_.shown_name(y_);
    }
    [[nodiscard]] const std::set<std::string>& systems() const { return systems_; }

private:
    void place(const std::string& system, const std::vector<std::size_t>& rows,
               const std::vector<RawPoint>& raw, std::vector<PlacedShape>& out)
    {
        systems_.insert(system);
        std::vector<RawPoint> points;
        for (const auto i : rows) {
            points.push_back(raw[i]);
        }
        std::vector<LonLat> places;
        if (system == "EPSG:4326") {
            if (grid_.rows.size() > 1) {
                require_degrees(points, grid_.file);
            }
            for (const auto& point : points) {
                places.push_back({Longitude{point.x}, Latitude{point.y}});
            }
        } else {
            places = to_wgs84(points, system, grid_.file);
        }
        for (std::size_t k = 0; k < rows.size(); ++k) {
            auto& shape = out[rows[k]];
            const auto at = places[k];
            if (std::isfinite(at.lon.value()) && std::isfinite(at.lat.value()) && is_on_earth(at)) {
                shape.place = at;
                shape.fault.clear();
            } else {
                shape.place.reset();
                shape.fault =
                    fmt::format("{}, {} is no place on Earth", raw[rows[k]].x, raw[rows[k]].y);
            }
        }
    }

    const Grid& grid_;
    const Columns& columns_;
    const std::string& crs_;
    std::string x_;
    std::string y_;
    std::set<std::string> systems_;
};

}  // namespace

TextPlaces read_places(const Grid& grid, const Columns& columns, const std::string& crs)
{
    PlaceReader reader{grid, columns, crs};
    TextPlaces out;
    out.shapes = reader.read();
    out.field = reader.field();
    out.systems = {reader.systems().begin(), reader.systems().end()};
    return out;
}

}  // namespace nestround::intake
