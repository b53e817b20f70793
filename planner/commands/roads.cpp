// roads times | path | reach | detour: what is asked of a road network; the rest in road_files.cpp.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <string_view>

#include "geocore/base/error.hpp"
#include "planner/app/find_place.hpp"
#include "planner/app/reach_roads.hpp"
#include "planner/app/road_times.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/drive_options.hpp"

namespace nestround::commands {
namespace {

std::optional<double> number(std::string_view text)
{
    while (!text.empty() && text.front() == ' ') {
        text.remove_prefix(1);
    }
    double value = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    const bool good = problem == std::errc{} && end == text.data() + text.size();
    return good ? std::optional{value} : std::nullopt;
}

/// Longitude first, as in every file of coordinates.
LonLat place_of(const std::string& text)
{
    const auto comma = text.find(',');
    if (comma != std::string::npos) {
        const auto lon = number(std::string_view{text}.substr(0, comma));
        const auto lat = number(std::string_view{text}.substr(comma + 1));
        if (lon && lat) {
            const LonLat at{Longitude{*lon}, Latitude{*lat}};
            if (!is_on_earth(at)) {
                throw Failure{ErrorCode::BadUsage,
                              fmt::format("'{}' is not on Earth; write LON,LAT in degrees", text)};
            }
            return at;
        }
    }
    throw Failure{ErrorCode::BadUsage,
                  fmt::format("'{}' is no place; write LON,LAT in degrees, as 9.521,47.141", text)};
}

struct TravelWords {
    std::string roads;
    std::string points;
    std::string out;
    std::string from;
    std::string to;
    std::string picture;
    bool own_side = false;
    bool keep_left = false;
    double limit = roads::kSnapLimit.value();
    std::shared_ptr<DriveWords> drive = std::make_shared<DriveWords>();

    [[nodiscard]] app::TravelOptions options() const
    {
        app::TravelOptions options;
        options.engine.stop_side = own_side ? roads::StopSide::OwnOnly : roads::StopSide::Either;
        options.engine.traffic = keep_left ? roads::Traffic::KeepsLeft : roads::Traffic::KeepsRight;
        options.snap_limit = Metres{limit};
        options.drive = drive->drive();
        return options;
    }
};

void tell(const std::vector<std::string>& notes)
{
    for (const auto& note : notes) {
        std::cerr << "nestround: roads: " << note << '\n';
    }
}

void times(const TravelWords& words)
{
    const auto table = app::road_times(words.roads, words.points, words.options());
    for (const auto& problem : table.unreached) {
        std::cerr << "nestround: left without times: " << problem.text() << '\n';
    }
    tell(table.notes);
    app::write_times(table, words.out);
    std::cout << fmt::format("{} of {} places reached, {} pairs: {}\n",
                             table.places.size() - table.unreached.size(), table.places.size(),
                             table.places.size() * table.places.size(), words.out);
}

void path(const TravelWords& words)
{
    const auto answer =
        app::road_path(words.roads, place_of(words.from), place_of(words.to), words.options());
    tell(answer.notes);
    const auto whole = answer.route.duration.count();
    std::cout << fmt::format(
        "{} s ({} h {:02} min), {:.0f} m; {:.0f} m from the start to the "
        "road, {:.0f} m from the road to the end\n",
        whole, (whole + 30) / 3600, (whole + 30) % 3600 / 60, answer.route.length.value(),
        answer.from.off_road.value(), answer.to.off_road.value());
    if (!words.out.empty()) {
        app::write_path(answer, words.out);
        std::cout << "written: " << words.out << '\n';
    }
    if (!words.picture.empty()) {
        app::draw_path(answer, words.roads, words.picture);
        std::cout << "written: " << words.picture << '\n';
    }
}

struct ReachWords {
    TravelWords travel;
    std::vector<int> minutes;
    double width = place::AreaOptions{}.width.value();
    double hole = place::AreaOptions{}.hole_m2 / 1e6;
};

/// Coordinates in any notation, or a whole plus code.
LonLat any_place(const std::string& text) { return value_or_throw(app::place_of(text, {})).at; }

void reach(const ReachWords& words)
{
    if (!words.travel.out.empty()) {
        sheets::check_area_name(words.travel.out);
    }
    app::ReachWish wish;
    wish.roads = words.travel.roads;
    wish.start = words.travel.from;
    wish.from = any_place(words.travel.from);
    wish.minutes = words.minutes;
    wish.travel = words.travel.options();
    wish.area = {Metres{words.width}, words.hole * 1e6};
    const auto answer = app::reach_roads(wish);
    if (!answer.warning.empty()) {
        tell({answer.warning});
    }
    std::cout << fmt::format("from {}, {:.0f} m from the road\n", words.travel.from,
                             answer.start.off_road.value());
    for (const auto& band : answer.reached.areas) {
        std::cout << fmt::format("{:>5} min {:>11.1f} km2 {:>11.1f} km of road\n", band.minutes,
                                 band.area.square_metres / 1e6, band.road_km);
    }
    if (!words.travel.out.empty()) {
        sheets::write_areas(answer.reached, words.travel.out);
        std::cout << "written: " << words.travel.out << '\n';
    }
    if (!words.travel.picture.empty()) {
        app::draw_reach(answer, words.travel.picture);
        std::cout << "written: " << words.travel.picture << '\n';
    }
}

struct DetourWords {
    TravelWords travel;
    std::string added;
    std::size_t limit = 10;
};

void detour(const DetourWords& words)
{
    const auto answer =
        app::road_detours(words.travel.roads, words.travel.points, any_place(words.added),
                          words.added, words.travel.options());
    tell(answer.notes);
    std::size_t shown = 0;
    for (const auto& way : answer.ways) {
        if (shown++ == words.limit) {
            break;
        }
        std::cout << fmt::format("{:>+7} s {:>+8} m  after {}, before {}\n", way.seconds,
                                 way.metres, answer.places[way.after].name,
                                 answer.places[way.after + 1].name);
    }
}

void add_travel_options(CLI::App& command, const std::shared_ptr<TravelWords>& words)
{
    command.add_option("roads,--roads", words->roads, "Road file, see roads build")->required();
    command.add_flag("--own-side", words->own_side,
                     "Reach a stop only with it on the near side of the road");
    command.add_flag("--keep-left", words->keep_left, "Traffic keeps left");
    command.add_option("--limit", words->limit, "Metres from a road within which a place counts")
        ->check(CLI::Range(1.0, 100000.0))
        ->capture_default_str();
    add_drive_options(command, words->drive);
}

}  // namespace

void add_roads(CLI::App& app)
{
    auto* all =
        app.add_subcommand("roads", "The road network: build it, ask it for times and ways");
    all->require_subcommand(1);
    add_road_files(*all);

    const auto table = std::make_shared<TravelWords>();
    auto* times_one = all->add_subcommand("times", "Seconds and metres between all places");
    add_travel_options(*times_one, table);
    times_one->add_option("--points", table->points, "CSV with name,lon,lat, or any point layer")
        ->required();
    times_one->add_option("--out", table->out, "Table to write, .csv or .json")->required();
    times_one->callback([table] { times(*table); });

    const auto way = std::make_shared<TravelWords>();
    auto* path_one = all->add_subcommand("path", "The way from one place to another");
    add_travel_options(*path_one, way);
    path_one->add_option("--from", way->from, "LON,LAT")->required();
    path_one->add_option("--to", way->to, "LON,LAT")->required();
    path_one->add_option("--out", way->out, "GeoJSON file with the line");
    path_one->add_option("--picture", way->picture, "Map with the way, .png, .svg or .pdf");
    path_one->callback([way] { path(*way); });

    const auto area = std::make_shared<ReachWords>();
    auto* reach_one = all->add_subcommand("reach", "How far one comes within so many minutes");
    add_travel_options(*reach_one, {area, &area->travel});
    reach_one
        ->add_option("--from", area->travel.from, "Coordinates in any notation, or a plus code")
        ->required();
    reach_one->add_option("--minutes", area->minutes, "As 15,30,45")->delimiter(',')->required();
    reach_one->add_option("--to", area->travel.out, "New file with the areas, .gpkg or .geojson");
    reach_one->add_option("--picture", area->travel.picture,
                          "Map with the areas, .png, .svg or .pdf");
    reach_one->add_option("--width", area->width, "Metres to each side of a reached road")
        ->check(CLI::Range(10.0, 5000.0))
        ->capture_default_str();
    reach_one->add_option("--fill", area->hole, "Holes smaller than so many km2 are filled")
        ->check(CLI::Range(0.0, 10000.0))
        ->capture_default_str();
    reach_one->callback([area] { reach(*area); });

    const auto more = std::make_shared<DetourWords>();
    auto* detour_one = all->add_subcommand("detour", "What one more stop costs a tour");
    add_travel_options(*detour_one, {more, &more->travel});
    detour_one
        ->add_option("--tour", more->travel.points,
                     "Stops in order, the first and the last fixed: CSV with name,lon,lat, or any "
                     "point layer")
        ->required();
    detour_one->add_option("--new", more->added, "Coordinates in any notation, or a plus code")
        ->required();
    detour_one->add_option("--limit-rows", more->limit, "Most answers")
        ->check(CLI::PositiveNumber)
        ->capture_default_str();
    detour_one->callback([more] { detour(*more); });
}

}  // namespace nestround::commands
