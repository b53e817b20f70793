// nestround stage: what one nest is on a day, and why.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <chrono>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/show.hpp"
#include "planner/sheets/stage_text.hpp"

namespace nestround::commands {

namespace {

using nature::Look;
using nature::Observation;

struct Words {
    std::string book, nest, on = "today", taxa, large_cells, flying;
    std::optional<double> traffic, cells, cells_about, combs, area;
    double minutes = 5;
    bool rain = false, both_ways = false, why = false, json = false;
};

/// A forecast may look this far past the last reading without a word.
constexpr std::chrono::days kPastWeather{14};

std::vector<Observation> seen_of(const Words& words)
{
    std::vector<Observation> seen;
    const auto add = [&](Look look, double value) -> Observation& {
        Observation one;
        one.look = look;
        one.value = value;
        seen.push_back(one);
        return seen.back();
    };
    const auto yes = [](const std::string& option, const std::string& word) {
        if (word != "yes" && word != "no") {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("{} wants yes or no, not '{}'", option, word)};
        }
        return word == "yes";
    };
    if (words.traffic) {
        auto& one = add(Look::Traffic, *words.traffic / (words.both_ways ? 2 : 1));
        one.rain = words.rain;
        one.minutes = words.minutes;
    }
    if (words.cells) {
        add(Look::Cells, *words.cells);
    }
    if (words.cells_about) {
        add(Look::Cells, *words.cells_about).counted = false;
    }
    if (words.combs) {
        add(Look::Combs, *words.combs);
    }
    if (words.area) {
        add(Look::CombArea, *words.area);
    }
    if (!words.large_cells.empty()) {
        add(Look::LargeCells, 0).yes = yes("--large-cells", words.large_cells);
    }
    if (!words.flying.empty()) {
        add(Look::SexualsFlying, 0).yes = yes("--queens-flying", words.flying);
    }
    return seen;
}

void run(const Words& words)
{
    const auto seen = seen_of(words);
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    const auto table = app::taxa_in_use(book, preferences);
    const auto sheet = book.call(book.find_call(words.nest)).value();
    const Day on = day_option(words.on, preferences.time_zone);
    auto report = yield::stage_report(*table, sheet, on, seen,
                                      app::learned_settings(book, preferences, *table, on));
    // Weather matters to the stage only where the settings let it move the season.
    if (const auto range = book.weather_range();
        preferences.heat.any() && range && on > range->second + kPastWeather) {
        report.warnings.push_back(fmt::format(
            "the weather in the book ends on {}, {} days before: since then the usual days of the "
            "years before stand in, and the shift of the season is less sure; import the missing "
            "days with: nestround weather import",
            format_day(range->second), (on - range->second).count()));
    }
    std::cout << (words.json ? sheets::stage_json(report)
                             : sheets::stage_text(report, sheets::place_name(sheet), words.why,
                                                  text_options(preferences)));
}

}  // namespace

void add_stage(CLI::App& app)
{
    auto* command = app.add_subcommand("stage", "What one nest is on a day, and why");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command
        ->add_option("--nest,--call", words->nest,
                     "The nest or its call: the end of either key, or the call's own name")
        ->required();
    command->add_option("--on", words->on, "Day: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--traffic", words->traffic, "Wasps a minute that enter (or leave)")
        ->check(CLI::Range(0.0, 2000.0));
    command->add_option("--minutes", words->minutes, "Minutes counted")
        ->check(CLI::Range(1.0, 600.0))
        ->capture_default_str();
    command->add_flag("--rain", words->rain, "Counted in rain");
    command->add_flag("--both-ways", words->both_ways, "The count sums wasps in and wasps out");
    const auto some = CLI::Range(1.0, 1e6);
    command->add_option("--cells", words->cells, "Cells, counted")->check(some);
    command->add_option("--cells-about", words->cells_about, "Cells, estimated")->check(some);
    command->add_option("--combs", words->combs, "Combs")->check(CLI::Range(1.0, 100.0));
    command->add_option("--comb-area", words->area, "All combs together, cm2")->check(some);
    command->add_option("--large-cells", words->large_cells, "yes or no, when looked for");
    command->add_option("--queens-flying", words->flying, "New queens or males: yes or no");
    command->add_option("--taxa", words->taxa, "Folder of your own figures, see taxa.md");
    command->add_flag("--why", words->why, "What each thing seen did");
    command->add_flag("--json", words->json, "As JSON");
    command->callback([words] { run(*words); });
}

}  // namespace nestround::commands
