// roads build | info | speeds | times | path | reach | detour: the road network and what is asked
// of it.
#include <fmt/format.h>
#include <unistd.h>

#include <CLI/CLI.hpp>
#include <array>
#include <charconv>
#include <chrono>
#include <iostream>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/roads/speed_table.hpp"
#include "planner/app/build_roads.hpp"
#include "planner/app/find_place.hpp"
#include "planner/app/look_at_roads.hpp"
#include "planner/app/reach_roads.hpp"
#include "planner/app/road_times.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/drive_options.hpp"

namespace nestround::commands {
namespace {

/// Steps on stderr: each once, and how far it is once a second.
class StepPrinter {
public:
    void operator()(std::string_view step, double share)
    {
        const auto now = std::chrono::steady_clock::now();
        const bool is_new = step != step_;
        if (!is_new && now - shown_ < std::chrono::seconds{1}) {
            return;
        }
        step_ = step;
        shown_ = now;
        const bool with_share = !is_new && share >= 0;
        std::cerr << (with_share ? fmt::format("{} ... {:.0f} %\n", step, share * 100)
                                 : fmt::format("{} ...\n", step));
    }

private:
    std::string step_;
    std::chrono::steady_clock::time_point shown_;
};

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

std::string core_words(std::size_t core)
{
    return core == 0 ? std::string{}
                     : fmt::format(", a core of {} states left to plain search", core);
}

void build(const app::RoadsToBuild& wish)
{
    StepPrinter printer;
    using Clock = std::chrono::steady_clock;
    constexpr std::string_view kPreparing = "preparing quick times";
    std::optional<Clock::time_point> begin;
    std::optional<Clock::time_point> end;
    app::PreparedRoads prepared;
    const auto report = app::build_roads(
        wish,
        [&](std::string_view step, double share) {
            if (step == kPreparing && !begin) {
                begin = Clock::now();
            } else if (step != kPreparing && begin && !end) {
                end = Clock::now();
            }
            printer(step, share);
        },
        &prepared);
    for (const auto& line : roads::text_lines(report)) {
        std::cout << line << '\n';
    }
    if (!prepared.prepared) {
        std::cout << "quick times: not prepared, ways may be too long; found by plain search\n";
    } else if (begin && end) {
        std::cout << fmt::format("quick times prepared in {:.2f} s: {} shortcuts{}\n",
                                 std::chrono::duration<double>(*end - *begin).count(),
                                 prepared.shortcuts, core_words(prepared.core));
    }
    std::cout << "written: " << wish.output << '\n';
}

void info(const std::string& path)
{
    const auto facts = app::look_at_roads(path);
    const auto& network = facts.network;
    std::array<double, roads::kRoadClasses> kilometres{};
    double sum = 0;
    for (const auto& edge : network->edges()) {
        kilometres[static_cast<std::size_t>(edge.road_class)] += edge.length_mm / 1e6;
        sum += edge.length_mm / 1e6;
    }
    const auto low = roads::lon_lat(network->box().low);
    const auto high = roads::lon_lat(network->box().high);
    std::cout << fmt::format("{}: {} junctions, {} stretches, {:.1f} km of road\n", path,
                             network->node_count(), network->edge_count(), sum)
              << fmt::format("from {:.5f},{:.5f} to {:.5f},{:.5f}\n", low.lon.value(),
                             low.lat.value(), high.lon.value(), high.lat.value())
              << fmt::format("built from {}\n", network->source())
              << fmt::format("attribution: {}\n", network->attribution().empty()
                                                      ? "none given"
                                                      : network->attribution());
    std::cout << fmt::format("opened in {:.1f} ms, looked through in {:.1f} ms\n", facts.opened_ms,
                             facts.checked_ms);
    if (facts.prepared.prepared) {
        std::cout << fmt::format(
            "quick times: {} states, {} arcs, {} of them shortcuts{}; {:.1f} us a time between "
            "two places, mean of {}\n",
            network->graph().state_count(), network->hierarchy().arcs.size(),
            facts.prepared.shortcuts, core_words(facts.prepared.core), facts.query_us,
            facts.queries);
    } else {
        std::cout << "quick times: none; times are found by plain search\n";
    }
    for (std::size_t i = 0; i < kilometres.size(); ++i) {
        if (kilometres[i] > 0) {
            std::cout << fmt::format("  {:<16}{:>10.1f} km\n",
                                     roads::text(static_cast<roads::RoadClass>(i)), kilometres[i]);
        }
    }
    std::cout << "when it was built:\n" << network->report();
}

void speeds()
{
    const auto named = [](std::span<const roads::NamedSpeed> rows) {
        for (const auto& row : rows) {
            std::cout << fmt::format("  {:<22}{:>6.1f}   [{}; {}]\n", row.name, row.kmh,
                                     text(row.mark), row.source);
        }
    };
    std::cout << "class of road, km/h: where no limit is told / never above\n";
    for (const auto& row : roads::class_speeds()) {
        std::cout << fmt::format("  {:<16}{:>6.0f}{:>6.0f}   [{}; {}]\n", text(row.road_class),
                                 row.usual_kmh, row.top_kmh, text(row.mark), row.source);
    }
    std::cout << "surface, smoothness, grade of a track, km/h: never above\n";
    named(roads::surface_speeds());
    std::cout << "limits by country and kind of road, km/h\n";
    named(roads::statutory_speeds());
    std::cout << fmt::format(
        "of a limit {:.0f} % is driven on average; by leave of the owner {:.0f} km/h; walking pace "
        "{:.0f} km/h; the truck itself {:.0f} km/h [assumption]\n",
        roads::kShareOfLimit * 100, roads::kPrivateSpeed, roads::kWalkingSpeed, roads::kTopSpeed);
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

    const auto wish = std::make_shared<app::RoadsToBuild>();
    auto* build_one = all->add_subcommand(
        "build", "Make a road file from an OpenStreetMap extract or a layer of lines");
    build_one->add_option("file", wish->input, ".osm.pbf, .osm, .osm.bz2, or any line layer")
        ->required();
    build_one->add_option("--to", wish->output, "Road file to write")->required();
    build_one->add_option("--layer", wish->columns.layer, "Layer with the lines");
    build_one->add_option("--speed-column", wish->columns.speed,
                          "Column with the speed driven: km/h, or with a unit as \"35 mph\"");
    build_one->add_option("--class-column", wish->columns.road_class,
                          "Column with the class: motorway, primary, residential, track, ...");
    build_one->add_option("--oneway-column", wish->columns.one_way,
                          "Column with yes, no or -1 (against the line's direction)");
    build_one->add_option("--name-column", wish->columns.name, "Column with the road's name");
    build_one->add_option("--crs", wish->columns.crs,
                          "Coordinate system of a layer that does not tell, as EPSG:4326");
    build_one->add_option("--attribution", wish->attribution,
                          "Words to print with every map, as the source's licence asks");
    build_one->callback([wish] { build(*wish); });

    const auto named = std::make_shared<std::string>();
    auto* info_one = all->add_subcommand("info", "What a road file holds");
    info_one->add_option("roads,--roads", *named, "Road file")->required();
    info_one->callback([named] { info(*named); });

    all->add_subcommand("speeds", "The table of speeds behind every time")->callback(speeds);

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
    path_one->add_option("--picture", way->picture, "Map with the way, .png or .svg");
    path_one->callback([way] { path(*way); });

    const auto area = std::make_shared<ReachWords>();
    auto* reach_one = all->add_subcommand("reach", "How far one comes within so many minutes");
    add_travel_options(*reach_one, {area, &area->travel});
    reach_one
        ->add_option("--from", area->travel.from, "Coordinates in any notation, or a plus code")
        ->required();
    reach_one->add_option("--minutes", area->minutes, "As 15,30,45")->delimiter(',')->required();
    reach_one->add_option("--to", area->travel.out, "New file with the areas, .gpkg or .geojson");
    reach_one->add_option("--picture", area->travel.picture, "Map with the areas, .png or .svg");
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
