// nestround morning
#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "planner/app/cut_roads.hpp"
#include "planner/app/morning_papers.hpp"
#include "planner/app/plan_morning.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/map.hpp"
#include "planner/sheets/morning_geojson.hpp"
#include "planner/sheets/morning_gpx.hpp"
#include "planner/sheets/morning_json.hpp"
#include "planner/sheets/morning_text.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string on = "today";
    std::string roads;
    std::string taxa;
    std::string json;
    std::string geojson;
    std::string gpx;
    std::string map;
    app::PaperWishes papers;
    int window = 0;
    bool with_addresses = false;
    bool all = false;
    std::uint64_t seed = 0;
    std::uint64_t iterations = 0;
    app::MorningWishes wishes;
};

void write_map(const std::string& path, const day::DayPlan& plan, const roads::RoadNetwork& network,
               const sheets::TextOptions& text)
{
    sheets::MapOptions options;
    options.units = text.units;
    options.format = sheets::picture_format(path);
    const auto cut = app::cut_roads(network, sheets::map_window(plan, options));
    sheets::write_file(path, sheets::draw_morning_map(plan, cut, options));
}

void plan(Words words, const CLI::App& command)
{
    if (!words.map.empty()) {
        (void)sheets::picture_format(words.map);  // refuse a wrong name before any work
    }
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    words.wishes.on = day_option(words.on, preferences.time_zone);
    if (command.count("--seed") != 0) {
        words.wishes.seed = words.seed;
    }
    if (command.count("--iterations") != 0) {
        words.wishes.iterations = words.iterations;
    }
    const auto& standing = words.wishes.standing;
    if (!standing.any() &&
        !(standing.now.empty() && standing.at.empty() && standing.done.empty())) {
        throw Failure{ErrorCode::BadUsage,
                      "--now, --at and --done need the plan that stands: --replan PLAN.json"};
    }
    words.papers.with_addresses = words.with_addresses;
    words.papers.window = std::chrono::minutes{words.window};
    app::check_papers(words.papers);
    const auto network = open_roads(book, preferences, words.roads);
    const auto plan = app::plan_morning(book, network, preferences, words.wishes);

    auto text = text_options(preferences);
    text.with_addresses = words.with_addresses;
    text.left_out_limit = words.all ? 0 : 12;
    if (!words.json.empty() && words.json != "-") {
        sheets::write_file(words.json, sheets::morning_json(plan));
    }
    if (!words.geojson.empty()) {
        sheets::write_file(words.geojson, sheets::morning_geojson(plan));
    }
    if (!words.gpx.empty()) {
        sheets::write_file(words.gpx, sheets::morning_gpx(plan));
    }
    if (!words.map.empty()) {
        write_map(words.map, plan, *network, text);
    }
    app::write_papers(book, plan, *network, text.units, words.papers);
    std::cout << (words.json == "-" ? sheets::morning_json(plan)
                                    : sheets::morning_text(plan, text));
}

}  // namespace

void add_morning(CLI::App& app)
{
    auto* command =
        app.add_subcommand("morning", "Which calls to take today, in which order, and how");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--on", words->on, "Day: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--roads", words->roads, "Road file; else the setting roads.file");
    command->add_option("--crews", words->wishes.crews, "Only these crews, by name")
        ->delimiter(',');
    command->add_option("--must", words->wishes.must, "Calls to take whatever they give")
        ->delimiter(',');
    command->add_option("--never", words->wishes.never, "Calls to leave")->delimiter(',');
    command->add_option("--pin", words->wishes.pins, "Work begins then: CALL=HH:MM");
    command
        ->add_option("--why", words->wishes.why,
                     "Say why these calls are in the plan or not, in figures")
        ->delimiter(',');
    command
        ->add_option("--why-not", words->wishes.why_not,
                     "Say what would have to change for these calls to be in the plan")
        ->delimiter(',');
    command->add_option("--replan", words->wishes.standing.plan,
                        "Plan the rest of a day: the plan that stands, written by --json");
    command->add_option("--now", words->wishes.standing.now, "With --replan: the moment, HH:MM");
    command->add_option("--at", words->wishes.standing.at,
                        "With --replan: where a crew is, CREW=LAT,LON; else by the plan");
    command
        ->add_option("--done", words->wishes.standing.done,
                     "With --replan: calls that are done; else by the plan and the clock")
        ->delimiter(',');
    command->add_flag("--allow-missing-must", words->wishes.allow_missing_must,
                      "Warn instead of failing when a promised call does not fit");
    command->add_option("--json", words->json, "The plan as JSON; - for standard output");
    command->add_option("--geojson", words->geojson, "Stops and driven roads as GeoJSON");
    command->add_option("--gpx", words->gpx, "Stops and driven roads as GPX 1.1");
    command->add_option("--map", words->map, "A map: .png, .svg or .pdf");
    command->add_option("--sheet", words->papers.sheet,
                        "The morning sheet: .pdf for paper, .html for a phone");
    command->add_option("--paper", words->papers.paper, "Of the PDF: a4 or letter")
        ->capture_default_str();
    command->add_option("--calendar", words->papers.calendar, "Arrival windows: .ics");
    command->add_option("--texts", words->papers.texts, "A text per client, to send by hand");
    command->add_option("--window", words->window, "Minutes of an arrival window; else 60")
        ->check(CLI::Range(30, 240));
    command->add_flag("--with-clients", words->papers.with_clients,
                      "Names and phones in --sheet, --calendar and --texts (private)");
    command->add_flag("--all", words->all, "List every call left out, not just the best twelve");
    command->add_flag("--with-addresses", words->with_addresses,
                      "Print addresses on the sheets (private)");
    command->add_option("--seed", words->seed, "Of the search; the same gives the same plan");
    command->add_option("--iterations", words->iterations, "How long to search");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_flag("--without-weather", words->wishes.without_weather,
                      "Plan a day that the weather in the book does not reach");
    command->callback([words, command] { plan(*words, *command); });
}

}  // namespace nestround::commands
