#include "planner/sheets/morning_geojson.hpp"

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>

#include "planner/sheets/show.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

using Json = nlohmann::ordered_json;
using Line = std::vector<LonLat>;

double to_1e7(double degrees) { return std::round(degrees * 1e7) / 1e7; }

Json position(LonLat place)
{
    return Json::array({to_1e7(place.lon.value()), to_1e7(place.lat.value())});
}

Json point(LonLat place)
{
    if (!is_on_earth(place)) {
        return nullptr;
    }
    return {{"type", "Point"}, {"coordinates", position(place)}};
}

/// RFC 7946, 3.1.9: a line that crosses the 180th meridian should be cut there.
std::vector<Line> cut_at_180(const Line& line)
{
    std::vector<Line> parts(1);
    for (const LonLat place : line) {
        if (!is_on_earth(place)) {
            continue;
        }
        if (!parts.back().empty()) {
            const LonLat last = parts.back().back();
            const double step = place.lon.value() - last.lon.value();
            if (std::abs(step) > 180) {
                const double edge = step < 0 ? 180 : -180;
                const double whole = step < 0 ? step + 360 : step - 360;
                const double share = whole == 0 ? 0 : (edge - last.lon.value()) / whole;
                const Latitude at{last.lat.value() +
                                  share * (place.lat.value() - last.lat.value())};
                parts.back().push_back({Longitude{edge}, at});
                parts.emplace_back().push_back({Longitude{-edge}, at});
            }
        }
        parts.back().push_back(place);
    }
    std::erase_if(parts, [](const Line& part) { return part.size() < 2; });
    return parts;
}

Json line_geometry(const Line& line)
{
    Json parts = Json::array();
    for (const Line& part : cut_at_180(line)) {
        Json positions = Json::array();
        for (const LonLat place : part) {
            positions.push_back(position(place));
        }
        parts.push_back(std::move(positions));
    }
    if (parts.empty()) {
        return nullptr;
    }
    if (parts.size() == 1) {
        return {{"type", "LineString"}, {"coordinates", parts[0]}};
    }
    return {{"type", "MultiLineString"}, {"coordinates", parts}};
}

class Collection {
public:
    void add(std::string id, Json geometry, Json properties)
    {
        Json feature;
        feature["type"] = "Feature";
        feature["id"] = std::move(id);
        feature["geometry"] = std::move(geometry);
        feature["properties"] = std::move(properties);
        features_.push_back(std::move(feature));
    }
    [[nodiscard]] std::string text() const
    {
        // One feature a line: small, and two days can be compared line by line.
        std::string out = "{\"type\":\"FeatureCollection\",\"features\":[";
        const char* before = "\n";
        for (const Json& feature : features_) {
            out += before + feature.dump(-1, ' ', false, Json::error_handler_t::replace);
            before = ",\n";
        }
        return out + "\n]}\n";
    }

private:
    std::vector<Json> features_;
};

double or_zero(double value) { return std::isfinite(value) ? value : 0; }

Json leg_of(const std::string& crew, std::size_t number, seconds drive, Metres length)
{
    return {{"feature", "leg"},
            {"crew", crew},
            {"stop", number},
            {"drive_s", drive.count()},
            {"road_m", or_zero(length.value())}};
}

Json stop_of(const day::PlannedStop& stop, const std::string& crew, std::size_t number)
{
    const yield::NestOutlook& outlook = stop.call.outlook;
    const Nest& nest = stop.call.sheet.nest;
    Json out{{"feature", "stop"},
             {"crew", crew},
             {"stop", number},
             {"label", place_name(stop.call.sheet)},
             {"call_key", call_key(stop.call.sheet.call.id)},
             {"arrive", format_clock(stop.arrive)},
             {"begin", format_clock(stop.begin)},
             {"leave", format_clock(stop.leave)},
             {"service_s", (stop.leave - stop.begin).count()},
             {"kind", text(nest.kind)}};
    out["height_m"] = nest.height ? Json(or_zero(nest.height->value())) : Json(nullptr);
    out["taxon"] = clean(outlook.taxon);
    out["taxon_name"] = clean(outlook.taxon_name);
    out["stage"] = clean(outlook.stage);
    out["workers_p10"] = or_zero(outlook.workers.low);
    out["workers_p50"] = or_zero(outlook.workers.middle);
    out["workers_p90"] = or_zero(outlook.workers.high);
    out["grams_p10"] = or_zero(outlook.grams.low.value());
    out["grams_p50"] = or_zero(outlook.grams.middle.value());
    out["grams_p90"] = or_zero(outlook.grams.high.value());
    out["method"] = text(stop.access.method);
    return out;
}

}  // namespace

std::string morning_geojson(const day::DayPlan& plan)
{
    Collection collection;
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        const day::CrewDay& crew = plan.crews[c];
        const std::string name = clean(crew.crew.name);
        const std::string letter = crew_letter(c);
        collection.add("depot-" + letter, point(crew.crew.depot),
                       {{"feature", "depot"},
                        {"crew", name},
                        {"depart", format_clock(crew.depart)},
                        {"home", format_clock(crew.home)}});
        for (std::size_t s = 0; s < crew.stops.size(); ++s) {
            const day::PlannedStop& stop = crew.stops[s];
            const std::string mark = letter + std::to_string(s + 1);
            collection.add("leg-" + mark, line_geometry(stop.drive_line),
                           leg_of(name, s + 1, stop.drive, stop.drive_length));
            collection.add("stop-" + mark, point(stop.call.sheet.site.place),
                           stop_of(stop, name, s + 1));
        }
        if (!crew.stops.empty()) {
            // The leg that leads home bears the number after the last stop's.
            collection.add(
                "leg-" + letter + "-home", line_geometry(crew.drive_home_line),
                leg_of(name, crew.stops.size() + 1, crew.drive_home, crew.drive_home_length));
        }
    }
    return collection.text();
}

}  // namespace nestround::sheets
