// roads build | info | speeds: the file of the road network.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <array>
#include <chrono>
#include <iostream>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "geocore/roads/speed_table.hpp"
#include "planner/app/build_roads.hpp"
#include "planner/app/look_at_roads.hpp"
#include "planner/commands/commands.hpp"

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

std::string core_words(std::size_t core)
{
    return core == 0 ? std::string{}
                     : fmt::format(", a core of {} states left to plain search", core);
}

struct BuildWords {
    double within = 0;
    bool json = false;
};

void build(const app::RoadsToBuild& wish, bool as_json)
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
    if (as_json) {
        std::cout << app::json_of(report, prepared, wish.output);
        return;
    }
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

}  // namespace

void add_road_files(CLI::App& all)
{
    const auto wish = std::make_shared<app::RoadsToBuild>();
    auto* build_one = all.add_subcommand(
        "build", "Make a road file from OpenStreetMap extracts and layers of lines");
    build_one
        ->add_option("files", wish->inputs,
                     ".osm.pbf, .osm, .osm.bz2, .osm.gz or any line layer; several become one")
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
    build_one->add_option("--level-column", wish->columns.level,
                          "Column with the level of crossing lines: a number, or yes for a bridge");
    const auto words = std::make_shared<BuildWords>();
    build_one
        ->add_option("--join-within", words->within,
                     "Join loose ends of lines that are at most so many metres apart")
        ->check(CLI::Range(0.0, roads::kMostJoin.value()));
    build_one->add_flag("--split", wish->join.split,
                        "Cut a line where the end of another touches it");
    build_one->add_flag("--json", words->json, "What was read and left out, as JSON");
    build_one->add_option("--crs", wish->columns.crs,
                          "Coordinate system of a layer that does not tell, as EPSG:4326");
    build_one->add_option("--attribution", wish->attribution,
                          "Words to print with every map, as the source's licence asks");
    build_one->callback([wish, words] {
        wish->join.within = Metres{words->within};
        build(*wish, words->json);
    });

    const auto named = std::make_shared<std::string>();
    auto* info_one = all.add_subcommand("info", "What a road file holds");
    info_one->add_option("roads,--roads", *named, "Road file")->required();
    info_one->callback([named] { info(*named); });

    all.add_subcommand("speeds", "The table of speeds behind every time")->callback(speeds);
}

}  // namespace nestround::commands
