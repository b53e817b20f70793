#include "planner/sheets/morning_gpx.hpp"

#include <fmt/format.h>

#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

/// Attributes of a point. GPX wants longitude below 180 itself, so the meridian is written -180.
std::string at(LonLat place)
{
    std::string lon = fmt::format("{:.7f}", place.lon.value());
    if (lon == "180.0000000") {
        lon = "-180.0000000";
    }
    return fmt::format("lat=\"{:.7f}\" lon=\"{}\"", place.lat.value(), lon);
}

void element(std::string& out, int depth, std::string_view name, std::string_view words)
{
    if (!words.empty()) {
        out += fmt::format("{}<{}>{}</{}>\n", std::string(static_cast<std::size_t>(depth) * 2, ' '),
                           name, xml_text(words), name);
    }
}

std::string stop_words(const day::PlannedStop& stop, UnitStyle units)
{
    return fmt::format("{} to {}. Nest {}. {}. Gives {}. {}", clock(stop.arrive), clock(stop.leave),
                       nest_words(stop.call.sheet.nest, units), colony_words(stop.call.outlook),
                       yield_words(stop.call.outlook), clean(stop.access.words));
}

std::string stop_name(const day::PlannedStop& stop, const std::string& mark)
{
    return fmt::format("{} {} {}", mark, clock(stop.arrive), place_name(stop.call.sheet));
}

bool has_lines(const day::CrewDay& crew)
{
    for (const day::PlannedStop& stop : crew.stops) {
        if (stop.drive_line.size() > 1) {
            return true;
        }
    }
    return crew.drive_home_line.size() > 1;
}

void segment(std::string& out, const std::vector<LonLat>& line)
{
    if (line.size() < 2) {
        return;
    }
    out += "    <trkseg>\n";
    for (const LonLat place : line) {
        if (is_on_earth(place)) {
            out += fmt::format("      <trkpt {}/>\n", at(place));
        }
    }
    out += "    </trkseg>\n";
}

std::string crew_words(const day::CrewDay& crew, UnitStyle units)
{
    return fmt::format("{} to {}, {} driven in {}", clock(crew.depart), clock(crew.home),
                       distance(crew.driven, units), duration(crew.driving));
}

void track(std::string& out, const day::CrewDay& crew, std::size_t number, UnitStyle units)
{
    out += "  <trk>\n";
    element(out, 2, "name", crew_letter(number) + " " + clean(crew.crew.name));
    element(out, 2, "desc", crew_words(crew, units));
    element(out, 2, "number", std::to_string(number + 1));
    for (const day::PlannedStop& stop : crew.stops) {
        segment(out, stop.drive_line);
    }
    segment(out, crew.drive_home_line);
    out += "  </trk>\n";
}

void route_point(std::string& out, LonLat place, const std::string& name)
{
    if (is_on_earth(place)) {
        out += fmt::format("    <rtept {}>\n", at(place));
        element(out, 3, "name", name);
        out += "    </rtept>\n";
    }
}

void route(std::string& out, const day::CrewDay& crew, std::size_t number, UnitStyle units)
{
    out += "  <rte>\n";
    element(out, 2, "name", crew_letter(number) + " " + clean(crew.crew.name));
    element(out, 2, "desc", crew_words(crew, units));
    element(out, 2, "number", std::to_string(number + 1));
    route_point(out, crew.sets_off_from.value_or(crew.crew.depot),
                crew.sets_off_from ? "sets off" : "depot");
    for (std::size_t s = 0; s < crew.stops.size(); ++s) {
        route_point(out, crew.stops[s].call.sheet.site.place,
                    stop_name(crew.stops[s], crew_letter(number) + std::to_string(s + 1)));
    }
    route_point(out, crew.crew.depot, "depot");
    out += "  </rte>\n";
}

void waypoint(std::string& out, LonLat place, const std::string& name, const std::string& words,
              std::string_view type)
{
    if (!is_on_earth(place)) {
        return;
    }
    out += fmt::format("  <wpt {}>\n", at(place));
    element(out, 2, "name", name);
    element(out, 2, "desc", words);
    element(out, 2, "type", type);
    out += "  </wpt>\n";
}

}  // namespace

std::string xml_text(std::string_view text)
{
    std::string out;
    // clean() leaves valid UTF-8 without control characters: all of it is allowed in XML 1.0.
    for (const char c : clean(text)) {
        switch (c) {
            case '&':
                out += "&amp;";
                break;
            case '<':
                out += "&lt;";
                break;
            case '>':
                out += "&gt;";
                break;
            case '"':
                out += "&quot;";
                break;
            case '\'':
                out += "&apos;";
                break;
            default:
                out += c;
        }
    }
    return out;
}

std::string morning_gpx(const day::DayPlan& plan, UnitStyle units)
{
    std::string out =
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<gpx version=\"1.1\" creator=\"Nestround\" xmlns=\"http://www.topografix.com/GPX/1/1\"\n"
        "    xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\"\n"
        "    xsi:schemaLocation=\"http://www.topografix.com/GPX/1/1 "
        "http://www.topografix.com/GPX/1/1/gpx.xsd\">\n";
    out += "  <metadata>\n";
    element(out, 2, "name", "Morning of " + format_day_long(plan.day));
    element(out, 2, "desc", clean(plan.region));
    if (const std::string roads = xml_text(plan.road_attribution); !roads.empty()) {
        out += fmt::format("    <copyright author=\"{}\"/>\n", roads);
    }
    out += "  </metadata>\n";
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        const day::CrewDay& crew = plan.crews[c];
        waypoint(out, crew.crew.depot, crew_letter(c) + " depot", clean(crew.crew.name), "depot");
        for (std::size_t s = 0; s < crew.stops.size(); ++s) {
            waypoint(out, crew.stops[s].call.sheet.site.place,
                     stop_name(crew.stops[s], crew_letter(c) + std::to_string(s + 1)),
                     stop_words(crew.stops[s], units), "nest");
        }
    }
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        if (!plan.crews[c].stops.empty() && !has_lines(plan.crews[c])) {
            route(out, plan.crews[c], c, units);
        }
    }
    for (std::size_t c = 0; c < plan.crews.size(); ++c) {
        if (has_lines(plan.crews[c])) {
            track(out, plan.crews[c], c, units);
        }
    }
    return out + "</gpx>\n";
}

}  // namespace nestround::sheets
