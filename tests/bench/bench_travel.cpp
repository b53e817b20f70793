// Travel times by the hierarchy against Boost.Graph's Dijkstra on compressed sparse rows, side by
// side on the same graph in one run. Every entry is compared where Boost runs all sources, else
// those of the sources it runs. Asserts nothing but that both agree.
//
//   bench_travel [--graph FILE]... [--side N]... [extract or road file...]
//
// FILE is a graph of the 9th DIMACS challenge (.gr, .gr.gz; its weights are taken as milliseconds).
// --side N makes a network of N x N junctions, see tests/support/made_network.hpp.
#include <fmt/format.h>
#include <sys/resource.h>
#include <unistd.h>
#include <zlib.h>

#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <chrono>
#include <cstdio>
#include <ctime>
#include <filesystem>
#include <string>
#include <vector>

#include "geocore/base/random.hpp"
#include "geocore/intake/road_file.hpp"
#include "geocore/intake/roads_osm.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "geocore/roads/build_network.hpp"
#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/contraction_engine.hpp"
#include "geocore/roads/many_to_many.hpp"
#include "geocore/roads/map_lines.hpp"
#include "geocore/roads/snapper.hpp"
#include "tests/support/made_network.hpp"
#include "tests/support/road_nets.hpp"

using namespace nestround;
using namespace nestround::roads;

namespace {

struct Took {
    double wall = 0;
    double processor = 0;
};

template <class Action>
Took time_of(const Action& action)
{
    const auto processor = [] {
        timespec t{};
        clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
        return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_nsec) * 1e-9;
    };
    const auto begin = std::chrono::steady_clock::now();
    const double before = processor();
    action();
    const double used = processor() - before;
    return {std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count(), used};
}

/// The quickest of several runs, as others use the machine too.
template <class Action>
Took best_of(int runs, const Action& action)
{
    auto best = time_of(action);
    for (int i = 1; i < runs; ++i) {
        const auto next = time_of(action);
        best = {std::min(best.wall, next.wall), std::min(best.processor, next.processor)};
    }
    return best;
}

double peak_megabytes()
{
    rusage usage{};
    getrusage(RUSAGE_SELF, &usage);
    return static_cast<double>(usage.ru_maxrss) / 1024;
}

struct Weight {
    std::uint32_t ms;
};
using Boosted =
    boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, Weight,
                                       boost::no_property, std::uint32_t, std::uint32_t>;

Boosted boosted(TravelGraph graph)
{
    std::vector<std::pair<std::uint32_t, std::uint32_t>> ends;
    std::vector<Weight> weights;
    for (std::uint32_t state = 0; state < graph.state_count(); ++state) {
        for (const auto& arc : graph.arcs(state)) {
            ends.emplace_back(state, arc.head);
            weights.push_back({arc.ms});
        }
    }
    return {boost::edges_are_sorted, ends.begin(), ends.end(), weights.begin(),
            graph.state_count()};
}

StopLinks place_at(std::uint32_t state)
{
    StopLinks links;
    links.link[0].state = state;
    links.count = 1;
    return links;
}

std::vector<StopLinks> some_places(std::uint32_t states, std::size_t count)
{
    Random random{1};
    std::vector<StopLinks> places;
    while (places.size() < count) {
        places.push_back(place_at(static_cast<std::uint32_t>(random.below(states))));
    }
    return places;
}

/// False when a time differs from Boost's.
bool measure(const std::string& name, TravelGraph graph, const HierarchyData& data)
{
    constexpr std::size_t kPlaces = 300;
    const auto states = graph.state_count();
    const auto places = some_places(states, kPlaces);
    const auto two = intake::worker_threads(2);
    const ManyToMany many{data};
    std::vector<TravelWeight> table;
    (void)many.table(places, places, two);
    const auto one_worker = best_of(5, [&] { table = many.table(places, places); });
    const auto two_workers = best_of(5, [&] { (void)many.table(places, places, two); });
    const auto more = some_places(states, 1000);
    const auto thousand = best_of(3, [&] { (void)many.table(more, more); });
    const auto thousand_by_two = best_of(3, [&] { (void)many.table(more, more, two); });

    HierarchyQuery query{data};
    (void)query.cost(places[0], places[1]);
    std::size_t different = 0;
    const auto single = time_of([&] {
        for (std::size_t i = 0; i < 2000; ++i) {
            const auto s = i * 7 % kPlaces;
            const auto t = i * 13 % kPlaces;
            different += query.cost(places[s], places[t]) != table[s * kPlaces + t] ? 1 : 0;
        }
    });

    const auto csr = boosted(graph);
    const std::size_t sources = states < 50'000 ? kPlaces : 8;
    std::vector<std::uint32_t> distance(states);
    Took theirs;
    for (std::size_t s = 0; s < sources; ++s) {
        const auto took = time_of([&] {
            boost::dijkstra_shortest_paths(
                csr, places[s].link[0].state,
                boost::weight_map(get(&Weight::ms, csr))
                    .distance_map(boost::make_iterator_property_map(
                        distance.begin(), get(boost::vertex_index, csr))));
        });
        theirs.wall += took.wall;
        theirs.processor += took.processor;
        for (std::size_t t = 0; t < kPlaces; ++t) {
            const auto weight = table[s * kPlaces + t];
            const auto expected = distance[places[t].link[0].state];
            different += weight == kNoWeight ? expected != UINT32_MAX : ms_of(weight) != expected;
        }
    }
    const double all = theirs.processor / static_cast<double>(sources) * kPlaces;
    fmt::print(
        "{}: 300x300 {:.2f} ms processor time ({:.2f} ms wall; two threads {:.2f} ms wall); "
        "Boost CSR {:.2f} s processor time{}; ratio {:.0f}; {} of {} entries differ\n",
        name, one_worker.processor * 1e3, one_worker.wall * 1e3, two_workers.wall * 1e3, all,
        sources == kPlaces ? std::string{} : fmt::format(" (300 times the mean of {})", sources),
        all / one_worker.processor, different, sources * kPlaces);
    fmt::print(
        "{}: 1000x1000 {:.1f} ms processor time, two threads {:.1f} ms wall; one question "
        "{:.1f} us\n",
        name, thousand.processor * 1e3, thousand_by_two.wall * 1e3, single.processor / 2000 * 1e6);
    return different == 0;
}

HierarchyData prepare(const std::string& name, TravelGraph graph)
{
    ContractOptions options;
    std::optional<HierarchyData> data;
    const auto alone = time_of([&] { data = contract_graph(graph, options); });
    options.workers = intake::worker_threads(2);
    std::optional<HierarchyData> again;
    const auto together = time_of([&] { again = contract_graph(graph, options); });
    if (!data || data != again) {
        throw Failure{ErrorCode::Internal, "preparing failed or depends on the threads", name};
    }
    fmt::print(
        "{}: {} states, {} arcs; prepared in {:.2f} s processor time (two threads {:.2f} s "
        "wall), {} arcs in the hierarchy, core {}; peak memory so far {:.0f} MB\n",
        name, graph.state_count(), graph.arcs().size(), alone.processor, together.wall,
        data->arcs.size(), data->core, peak_megabytes());
    return std::move(*data);
}

bool measure_network(const std::string& name, const RoadNetwork& plain)
{
    auto data = prepare(name, plain.graph());
    bool agree = measure(name, plain.graph(), data);
    const auto file =
        (std::filesystem::temp_directory_path() / fmt::format("bench-{}.roads", ::getpid()))
            .string();
    intake::save_roads(file, value_or_throw(plain.with_hierarchy(std::move(data))));
    std::shared_ptr<const RoadNetwork> network;
    const auto opened = time_of([&] { network = intake::load_roads(file); });
    const auto looked = time_of([&] { (void)network->view(); });
    const ContractionEngine engine{network};
    Random random{3};
    std::vector<RoadStop> stops;
    for (int i = 0; i < 201; ++i) {
        stops.push_back(test::random_stop(random, *network));
    }
    (void)engine.route(stops[0], stops[1]);
    std::size_t points = 0;
    const auto routes = time_of([&] {
        for (int i = 0; i < 200; ++i) {
            const auto route = engine.route(stops[i], stops[i + 1]);
            points += route ? route->line.size() : 0;
        }
    });
    std::size_t snapped = 0;
    const auto snaps = time_of([&] {
        const Snapper snapper{network};
        for (int i = 0; i < 150; ++i) {
            auto at = lon_lat(
                network->node(static_cast<std::uint32_t>(random.below(network->node_count()))));
            at.lat = Latitude{at.lat.value() + random.uniform(-5e-4, 5e-4)};
            snapped += snapper.snap(at) ? 1 : 0;
        }
    });
    std::size_t found = 0;
    const auto box = network->box();
    const auto windows = time_of([&] {
        for (int i = 0; i < 100; ++i) {
            const auto at =
                network->node(static_cast<std::uint32_t>(random.below(network->node_count())));
            found += network
                         ->edges_within({{at.lon_e7 - 50'000, at.lat_e7 - 50'000},
                                         {at.lon_e7 + 50'000, at.lat_e7 + 50'000}})
                         .size();
        }
    });
    // What a map of the whole, of 10 km and of 2 km draws, at a page's fineness.
    for (const double kilometres : {0.0, 10.0, 2.0}) {
        const auto half = static_cast<std::int32_t>(kilometres * 1000 / 2 / 0.0111);
        const double metres =
            kilometres > 0 ? kilometres * 1000 : (box.high.lat_e7 - box.low.lat_e7) * 0.0111;
        const int zoom = zoom_for(Metres{metres / 2400});
        std::size_t drawn = 0;
        const auto map = best_of(5, [&] {
            const auto at = network->node(network->node_count() / 2);
            const RoadBox window = kilometres > 0
                                       ? RoadBox{{at.lon_e7 - half * 3 / 2, at.lat_e7 - half},
                                                 {at.lon_e7 + half * 3 / 2, at.lat_e7 + half}}
                                       : box;
            drawn = lines_in(*network, window, zoom).size();
        });
        fmt::print("{}: map of {:.0f} km at zoom {}: {:.2f} ms, {} lines\n", name, metres / 1000,
                   zoom, map.processor * 1e3, drawn);
    }
    fmt::print("{}: {} of 150 places put on roads in {:.2f} ms, snapper and all\n", name, snapped,
               snaps.processor * 1e3);
    fmt::print(
        "{}: file {:.1f} MB, opened in {:.2f} ms, looked through in {:.1f} ms; a way with its "
        "line {:.3f} ms ({} points); a window of 1 km {:.3f} ms ({} stretches)\n",
        name, static_cast<double>(std::filesystem::file_size(file)) / 1e6, opened.wall * 1e3,
        looked.wall * 1e3, routes.processor / 200 * 1e3, points / 200,
        windows.processor / 100 * 1e3, found / 100);
    std::filesystem::remove(file);
    return agree;
}

TravelGraphData read_challenge_graph(const std::string& path)
{
    gzFile file = gzopen(path.c_str(), "rb");
    if (file == nullptr) {
        throw Failure{ErrorCode::NotFound, "no such graph", path};
    }
    struct Line {
        std::uint32_t from, to, weight;
    };
    std::vector<Line> lines;
    std::uint32_t states = 0;
    char text[256];
    while (gzgets(file, text, sizeof text) != nullptr) {
        Line line{};
        std::uint32_t arcs = 0;
        if (std::sscanf(text, "a %u %u %u", &line.from, &line.to, &line.weight) == 3) {
            lines.push_back(line);
        } else if (std::sscanf(text, "p sp %u %u", &states, &arcs) == 2) {
            lines.reserve(arcs);
        }
    }
    gzclose(file);
    TravelGraphData graph;
    graph.first_arc.assign(states + std::size_t{1}, 0);
    for (const auto& line : lines) {
        if (line.from < 1 || line.from > states || line.to < 1 || line.to > states) {
            throw Failure{ErrorCode::InvalidInput, "an arc leads outside", path};
        }
        ++graph.first_arc[line.from];
    }
    for (std::uint32_t i = 0; i < states; ++i) {
        graph.first_arc[i + 1] += graph.first_arc[i];
    }
    graph.arcs.resize(lines.size());
    auto next = graph.first_arc;
    for (std::uint32_t i = 0; i < lines.size(); ++i) {
        graph.arcs[next[lines[i].from - 1]++] = {lines[i].to - 1, lines[i].weight, 0, i * 2};
    }
    return graph;
}

}  // namespace

int main(int argc, char** argv)
{
    bool agree = true;
    std::vector<std::string> words{argv + 1, argv + argc};
    if (words.empty()) {
        words = {NESTROUND_SOURCE_DIR "/tests/data/liechtenstein-2013-08-03.osm.pbf",
                 NESTROUND_SOURCE_DIR "/../shared/data/roads/neubrandenburg.osm.bz2",
                 "--side",
                 "84",
                 "--side",
                 "514",
                 "--side",
                 "1000"};
    }
    for (std::size_t i = 0; i < words.size(); ++i) {
        const auto name = std::filesystem::path{words[i]}.filename().string();
        if (words[i] == "--graph" && i + 1 < words.size()) {
            const auto graph = read_challenge_graph(words[++i]);
            const auto title = std::filesystem::path{words[i]}.filename().string();
            agree = measure(title, graph, prepare(title, graph)) && agree;
        } else if (words[i] == "--side" && i + 1 < words.size()) {
            const auto side = static_cast<std::uint32_t>(std::stoul(words[++i]));
            agree =
                measure_network(fmt::format("made, {0} x {0}", side), test::made_network(side)) &&
                agree;
        } else if (!std::filesystem::exists(words[i])) {
            fmt::print("{}: not there, left out\n", name);
        } else if (name.ends_with(".roads")) {
            agree = measure_network(name, *intake::load_roads(words[i])) && agree;
        } else {
            agree = measure_network(name, *test::built(intake::read_osm_roads(words[i]))) && agree;
        }
        std::fflush(stdout);
    }
    return agree ? 0 : 1;
}
