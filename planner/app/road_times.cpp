#include "planner/app/road_times.hpp"

#include <fmt/core.h>

#include <cerrno>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <memory>
#include <nlohmann/json.hpp>
#include <string_view>
#include <utility>

#include "geocore/intake/road_file.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "geocore/roads/cut_off_roads.hpp"
#include "planner/app/drive.hpp"

namespace nestround::app {
namespace {

using nlohmann::ordered_json;

/// Whole or not at all, as far as a plain file goes.
void write_text(const std::string& path, std::string_view text)
{
    std::error_code ignored;
    const bool replace =
        !std::filesystem::exists(path, ignored) || std::filesystem::is_regular_file(path, ignored);
    const auto target = replace ? path + ".part" : path;
    const auto failed = [&] {
        const int problem = errno;
        if (replace) {
            std::remove(target.c_str());
        }
        throw Failure{ErrorCode::OutputFailed,
                      fmt::format("cannot be written: {}", std::strerror(problem)), path};
    };
    std::FILE* file = std::fopen(target.c_str(), "wb");
    if (file == nullptr) {
        failed();
    }
    const bool written =
        std::fwrite(text.data(), 1, text.size(), file) == text.size() && std::fflush(file) == 0;
    if (std::fclose(file) != 0 || !written) {
        failed();
    }
    if (replace && std::rename(target.c_str(), path.c_str()) != 0) {
        failed();
    }
}

std::string quoted(const std::string& cell)
{
    if (cell.find_first_of(",\"\r\n") == std::string::npos) {
        return cell;
    }
    std::string out{'"'};
    for (const char c : cell) {
        out.append(c == '"' ? 2 : 1, c);
    }
    return out + '"';
}

std::string csv_of(const TimesTable& table)
{
    std::string out{"from,to,seconds,metres\n"};
    for (std::size_t i = 0; i < table.places.size(); ++i) {
        for (std::size_t k = 0; k < table.places.size(); ++k) {
            out += quoted(table.places[i].name) + ',' + quoted(table.places[k].name) + ',';
            const auto seconds = table.matrix.seconds_between(i, k);
            out += seconds == roads::kUnreachable
                       ? std::string{",\n"}
                       : fmt::format("{},{}\n", seconds, table.matrix.metres_between(i, k));
        }
    }
    return out;
}

std::string json_of(const TimesTable& table)
{
    auto rows = ordered_json::array();
    for (std::size_t i = 0; i < table.places.size(); ++i) {
        for (std::size_t k = 0; k < table.places.size(); ++k) {
            ordered_json row{{"from", table.places[i].name}, {"to", table.places[k].name}};
            const auto seconds = table.matrix.seconds_between(i, k);
            if (seconds == roads::kUnreachable) {
                row["seconds"] = nullptr;
                row["metres"] = nullptr;
            } else {
                row["seconds"] = seconds;
                row["metres"] = table.matrix.metres_between(i, k);
            }
            rows.push_back(std::move(row));
        }
    }
    return ordered_json{{"attribution", table.attribution}, {"times", std::move(rows)}}.dump(1) +
           '\n';
}

/// Adds a line for a stop that is not on its nearest road.
void warn(std::vector<std::string>& to, const roads::CutOffRoads& cut_off, LonLat place,
          const roads::RoadStop& stop, std::string_view what)
{
    if (auto words = cut_off.warning(place, stop, what)) {
        to.push_back(std::move(*words));
    }
}

/// Seven decimals, as many as the roads have.
double rounded(double degrees) { return std::round(degrees * 1e7) / 1e7; }

}  // namespace

TimesTable road_times(const std::string& roads_path, const std::string& points_path,
                      const TravelOptions& options)
{
    const auto suited = roads_for(intake::load_roads(roads_path), options.drive);
    const auto& network = suited.network;
    TimesTable table;
    table.notes = suited.words();
    table.attribution = network->attribution();
    table.places = intake::read_points(points_path);
    const roads::Snapper snapper{network};
    const roads::CutOffRoads cut_off{network};
    std::vector<roads::RoadStop> near;
    std::vector<std::size_t> number;
    for (std::size_t i = 0; i < table.places.size(); ++i) {
        auto stop = snapper.snap(table.places[i].at, table.places[i].name, options.snap_limit);
        if (stop) {
            near.push_back(*stop);
            number.push_back(i);
            table.stops.emplace_back(*stop);
            warn(table.notes, cut_off, table.places[i].at, *stop, table.places[i].name);
        } else {
            table.unreached.push_back(stop.error());
            table.stops.emplace_back(std::nullopt);
        }
    }
    if (near.empty()) {
        throw Failure{ErrorCode::Infeasible,
                      fmt::format("none of its {} places lies near a road of {}; the first: {}",
                                  table.places.size(), roads_path, table.unreached.front().text()),
                      points_path};
    }
    auto engine_options = options.engine;
    engine_options.workers = intake::worker_threads();
    const auto engine = roads::make_engine(network, engine_options);
    const auto found = engine->matrix(near, near);
    const auto size = table.places.size();
    table.matrix = {size, size, std::vector<std::uint32_t>(size * size, roads::kUnreachable),
                    std::vector<std::uint32_t>(size * size, roads::kUnreachable)};
    for (std::size_t i = 0; i < near.size(); ++i) {
        for (std::size_t k = 0; k < near.size(); ++k) {
            const auto at = number[i] * size + number[k];
            table.matrix.duration_s[at] = found.seconds_between(i, k);
            table.matrix.length_m[at] = found.metres_between(i, k);
        }
    }
    return table;
}

void write_times(const TimesTable& table, const std::string& path)
{
    write_text(path, path.ends_with(".json") ? json_of(table) : csv_of(table));
}

PathAnswer road_path(const std::string& roads_path, LonLat from, LonLat to,
                     const TravelOptions& options)
{
    const auto suited = roads_for(intake::load_roads(roads_path), options.drive);
    const auto& network = suited.network;
    const roads::Snapper snapper{network};
    const auto start = value_or_throw(snapper.snap(from, "start", options.snap_limit));
    const auto end = value_or_throw(snapper.snap(to, "end", options.snap_limit));
    auto route = roads::make_engine(network, options.engine)->route(start, end);
    if (!route) {
        throw Failure{ErrorCode::Infeasible, "no way leads from the start to the end", roads_path};
    }
    PathAnswer answer{start, end, std::move(*route), network->attribution(), suited.words()};
    const roads::CutOffRoads cut_off{network};
    warn(answer.notes, cut_off, from, start, "start");
    warn(answer.notes, cut_off, to, end, "end");
    return answer;
}

void write_path(const PathAnswer& answer, const std::string& path)
{
    auto line = ordered_json::array();
    for (const auto& at : answer.route.line) {
        line.push_back({rounded(at.lon.value()), rounded(at.lat.value())});
    }
    const ordered_json feature{
        {"type", "Feature"},
        {"properties",
         {{"seconds", answer.route.duration.count()},
          {"metres", std::llround(answer.route.length.value())},
          {"attribution", answer.attribution}}},
        {"geometry", {{"type", "LineString"}, {"coordinates", std::move(line)}}}};
    const ordered_json all{{"type", "FeatureCollection"},
                           {"features", ordered_json::array({feature})}};
    write_text(path, all.dump(1) + '\n');
}

DetourAnswer road_detours(const std::string& roads_path, const std::string& tour_path, LonLat added,
                          const std::string& name, const TravelOptions& options)
{
    const auto suited = roads_for(intake::load_roads(roads_path), options.drive);
    const auto& network = suited.network;
    DetourAnswer answer;
    answer.notes = suited.words();
    answer.places = intake::read_points(tour_path);
    if (answer.places.size() < 2) {
        throw Failure{ErrorCode::InvalidInput,
                      "a tour has two stops or more; add where it begins and where it ends",
                      tour_path};
    }
    const roads::Snapper snapper{network};
    const roads::CutOffRoads cut_off{network};
    std::vector<roads::RoadStop> stops;
    std::vector<std::size_t> order;
    for (const auto& place : answer.places) {
        order.push_back(stops.size());
        stops.push_back(value_or_throw(snapper.snap(place.at, place.name, options.snap_limit)));
        warn(answer.notes, cut_off, place.at, stops.back(), place.name);
    }
    const auto what = fmt::format("new stop '{}'", name);
    stops.push_back(value_or_throw(snapper.snap(added, what, options.snap_limit)));
    warn(answer.notes, cut_off, added, stops.back(), what);
    auto engine_options = options.engine;
    engine_options.workers = intake::worker_threads();
    const auto matrix = roads::make_engine(network, engine_options)->matrix(stops, stops);
    answer.ways = tour::detours(matrix, order, stops.size() - 1);
    if (answer.ways.empty()) {
        throw Failure{ErrorCode::Infeasible, "no way leads from the tour to the new stop and back",
                      roads_path};
    }
    return answer;
}

}  // namespace nestround::app
