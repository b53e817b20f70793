// Roads: building, opening, snapping and a matrix, with the ratio to Boost.Graph's search on an
// adjacency list in the same run. Prints a table; asserts nothing but that both agree.
//
//   bench_roads [extract...]      default: the extracts of tests/data and ../shared/data/roads
#include <fmt/format.h>
#include <sys/resource.h>

#include <chrono>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "geocore/intake/road_file.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/roads/build_network.hpp"
#include "geocore/roads/dijkstra_engine.hpp"
#include "geocore/roads/snapper.hpp"
#include "tests/support/road_nets.hpp"
#include "tests/support/road_oracle.hpp"

using namespace nestround;

namespace {

double seconds_of(const std::function<void()>& action)
{
    const auto begin = std::chrono::steady_clock::now();
    action();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

double peak_megabytes()
{
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024;
}

/// A stop on each of `count` random edges.
std::vector<roads::RoadStop> some_stops(const roads::RoadNetwork& network, std::size_t count)
{
    Random random{1};
    std::vector<roads::RoadStop> stops;
    while (stops.size() < count) {
        stops.push_back(test::random_stop(random, network));
    }
    return stops;
}

/// False when the two searches disagree.
bool measure_matrix(const std::string& what, std::shared_ptr<const roads::RoadNetwork> network,
                    std::size_t count)
{
    const auto stops = some_stops(*network, count);
    std::unique_ptr<roads::DijkstraEngine> engine;
    const double made =
        seconds_of([&] { engine = std::make_unique<roads::DijkstraEngine>(network); });
    std::vector<roads::TravelCost> costs;
    const double ours = seconds_of([&] { costs = engine->exact_costs(stops, stops); });
    const test::RoadOracle oracle{*network, stops};
    std::size_t different = 0;
    const double theirs = seconds_of([&] {
        for (std::size_t i = 0; i < count; ++i) {
            const auto row = oracle.from(i);
            for (std::size_t k = 0; k < count; ++k) {
                different += costs[i * count + k].ms != row[k] ? 1 : 0;
            }
        }
    });
    fmt::print(
        "{:<34} {:>8} junctions  {}x{} matrix {:.3f} s  adjacency list {:.3f} s  ratio "
        "{:.2f}  engine made in {:.3f} s  {} of {} differ\n",
        what, network->node_count(), count, count, ours, theirs, theirs / ours, made, different,
        count * count);
    return different == 0;
}

bool measure_extract(const std::string& path)
{
    const auto name = std::filesystem::path{path}.filename().string();
    if (!std::filesystem::exists(path)) {
        fmt::print("{:<34} not there, left out\n", name);
        return true;
    }
    const double megabytes = static_cast<double>(std::filesystem::file_size(path)) / 1e6;
    roads::RawRoads raw;
    std::shared_ptr<const roads::RoadNetwork> network;
    const double read = seconds_of([&] { raw = intake::read_osm_roads(path); });
    const double built = seconds_of([&] { network = test::built(raw); });
    const auto file = std::filesystem::temp_directory_path() / "nestround-bench.roads";
    const double saved = seconds_of([&] { intake::save_roads(file.string(), *network); });
    const double opened = seconds_of([&] { network = intake::load_roads(file.string()); });
    const auto size = static_cast<double>(std::filesystem::file_size(file)) / 1e6;
    std::filesystem::remove(file);
    std::unique_ptr<roads::Snapper> snapper;
    const double indexed = seconds_of([&] { snapper = std::make_unique<roads::Snapper>(network); });
    constexpr int kPlaces = 2000;
    Random random{2};
    const auto low = lon_lat(network->box().low);
    const auto high = lon_lat(network->box().high);
    const double snapped = seconds_of([&] {
        for (int i = 0; i < kPlaces; ++i) {
            (void)snapper->snap({Longitude{random.uniform(low.lon.value(), high.lon.value())},
                                 Latitude{random.uniform(low.lat.value(), high.lat.value())}});
        }
    });
    fmt::print(
        "{:<34} {:.2f} MB: read {:.3f} s, build {:.3f} s, together {:.2f} s a MB; save "
        "{:.3f} s ({:.2f} MB), open {:.4f} s; index {:.3f} s, snap {:.1f} us a place; peak memory "
        "so far {:.0f} MB\n",
        name, megabytes, read, built, (read + built) / megabytes, saved, size, opened, indexed,
        snapped / kPlaces * 1e6, peak_megabytes());
    return measure_matrix(name, network, 150);
}

}  // namespace

int main(int argc, char** argv)
{
    std::vector<std::string> extracts{argv + 1, argv + argc};
    if (extracts.empty()) {
        extracts = {NESTROUND_SOURCE_DIR "/tests/data/liechtenstein-2013-08-03.osm.pbf",
                    NESTROUND_SOURCE_DIR "/../shared/data/roads/neubrandenburg.osm.bz2"};
    }
    bool agree = true;
    for (const auto& path : extracts) {
        agree = measure_extract(path) && agree;
    }
    Random random{3};
    std::shared_ptr<const roads::RoadNetwork> grid;
    const auto raw = test::random_roads(random, 230);
    const double built = seconds_of([&] { grid = test::built(raw); });
    fmt::print("{:<34} built in {:.3f} s\n", "random grid of 230 x 230", built);
    agree = measure_matrix("random grid of 230 x 230", grid, 150) && agree;
    fmt::print("peak memory {:.0f} MB\n", peak_megabytes());
    return agree ? 0 : 1;
}
