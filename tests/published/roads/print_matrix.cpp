// Writes a road network and our quickest times between some of its junctions as text, for another
// program to check: FOLDER/edges.csv (id, source, target, cost, reverse_cost; milliseconds, -1
// where closed), FOLDER/places.txt (junctions, comma-separated) and FOLDER/times.csv (from, to,
// milliseconds). Prints the seconds of processor time that preparing and the table took.
//
//   print_matrix FOLDER PLACES EXTRACT
//   print_matrix FOLDER PLACES --side N      a made network (tests/support/made_network.hpp)
#include <fmt/format.h>
#include <fmt/os.h>

#include <ctime>
#include <set>
#include <string>
#include <vector>

#include "geocore/base/random.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/many_to_many.hpp"
#include "tests/support/made_network.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;

namespace {

double processor_seconds()
{
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) * 1e-9;
}

void write_edges(const std::string& path, const RoadNetwork& network)
{
    auto file = fmt::output_file(path);
    for (std::uint32_t i = 0; i < network.edge_count(); ++i) {
        const auto& edge = network.edge(i);
        const auto cost = [](std::uint32_t ms) {
            return ms == kClosed ? std::int64_t{-1} : std::int64_t{ms};
        };
        file.print("{},{},{},{},{}\n", i, edge.from, edge.to, cost(edge.forward_ms),
                   cost(edge.backward_ms));
    }
}

/// Different junctions, by chance.
std::vector<std::uint32_t> some_junctions(std::uint32_t all, std::size_t count)
{
    Random random{5};
    std::set<std::uint32_t> chosen;
    while (chosen.size() < count) {
        chosen.insert(static_cast<std::uint32_t>(random.below(all)));
    }
    return {chosen.begin(), chosen.end()};
}

void run(const std::string& folder, std::size_t count, const RoadNetwork& network)
{
    write_edges(folder + "/edges.csv", network);
    // Turns are free here: the other program knows junctions only.
    const auto graph = plain_graph(network.node_count(), network.edges());
    const auto begin = processor_seconds();
    const auto hierarchy = contract_graph(graph);
    if (!hierarchy) {
        throw Failure{ErrorCode::Internal, "the roads cannot be prepared"};
    }
    const auto prepared = processor_seconds();
    const auto places = some_junctions(network.node_count(), count);
    std::vector<StopLinks> stops;
    for (const auto place : places) {
        auto& stop = stops.emplace_back();
        stop.link[0].state = place;
        stop.count = 1;
    }
    const ManyToMany many{*hierarchy};
    (void)many.table(stops, stops);
    double best = 1e9;
    std::vector<TravelWeight> table;
    for (int i = 0; i < 5; ++i) {
        const auto before = processor_seconds();
        table = many.table(stops, stops);
        best = std::min(best, processor_seconds() - before);
    }
    fmt::output_file(folder + "/places.txt").print("{}\n", fmt::join(places, ","));
    auto times = fmt::output_file(folder + "/times.csv");
    for (std::size_t i = 0; i < count; ++i) {
        for (std::size_t k = 0; k < count; ++k) {
            if (i != k && table[i * count + k] != kNoWeight) {
                times.print("{},{},{}\n", places[i], places[k], ms_of(table[i * count + k]));
            }
        }
    }
    fmt::print("{:.4f} {:.6f}\n", prepared - begin, best);
}

}  // namespace

int main(int argc, char** argv)
{
    const std::vector<std::string> words{argv + 1, argv + argc};
    if (words.size() == 4 && words[2] == "--side") {
        run(words[0], std::stoul(words[1]),
            test::made_network(static_cast<std::uint32_t>(std::stoul(words[3]))));
    } else if (words.size() == 3) {
        run(words[0], std::stoul(words[1]), *test::built(intake::read_osm_roads(words[2])));
    } else {
        fmt::print(stderr, "print_matrix: see the head of its source\n");
        return 2;
    }
    return 0;
}
