// nestround yield nest, show, backtest
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/backtest_sheet.hpp"
#include "planner/sheets/show.hpp"
#include "planner/sheets/write_file.hpp"
#include "planner/yield/harvest.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string on = "today";
    std::string picture;
    bool json = false;
};

std::string percents(const Spread<double>& share)
{
    return fmt::format("{:>3.0f} % ({:.0f} to {:.0f})", share.middle * 100, share.low * 100,
                       share.high * 100);
}

void show(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = app::preferences(book.settings());
    const auto taxa = app::taxa_in_use(book, preferences);
    const Day on = day_option(words.on, preferences.time_zone);
    const auto learned = yield::learn(app::own_catches(book, on), *taxa);
    std::cout << fmt::format("{} own records before {}\n", learned.records(), format_day(on));
    if (learned.outliers() > 0) {
        std::cout << fmt::format("{} of them far from what was expected; they count less\n",
                                 learned.outliers());
    }
    for (const auto& [why, count] : learned.left_out()) {
        std::cout << fmt::format("{} left out: {}\n", count, why);
    }
    if (learned.records() == 0) {
        std::cout << "the table's figures stand; see: nestround catch import\n";
        return;
    }
    std::cout << "\nspecies  records  colonies, times the calendar's   mass of a wasp, mg\n";
    for (const auto& taxon : learned.taxa()) {
        const auto level = learned.level(taxon);
        const auto mass = learned.mass_mg(taxon);
        std::cout << fmt::format(
            "{:<7}  {:>7}  {:>8.2f} ({:.2f} to {:.2f})            {}\n", taxon,
            learned.records_of(taxon), level.middle, level.low, level.high,
            mass ? fmt::format("{:.0f} ({:.0f} to {:.0f})", mass->middle, mass->low, mass->high)
                 : std::string{"not known"});
    }
    std::cout << "\nshare caught, kind of nest not known, by species, method and crew\n";
    auto crews = learned.crews();
    if (crews.empty()) {
        crews.emplace_back();
    }
    for (const auto& taxon : learned.taxa()) {
        for (const auto& method : learned.methods()) {
            for (const auto& crew : crews) {
                std::cout << fmt::format(
                    "{:<7}  {:<16}  {:<12}  {}\n", taxon, method, crew,
                    percents(learned.catch_share(taxon, NestKind::Unknown, method, crew)));
            }
        }
    }
}

struct NestWords {
    std::string book;
    std::string call;
    std::string on = "today";
    std::string light = "day";
    std::string air;
    bool json = false;
};

std::string range(const Spread<double>& spread, const char* unit)
{
    // Two figures: more would be more than is known.
    return spread.high < 0.5 ? std::string{"none"} : sheets::about(spread, unit);
}

void nest(const NestWords& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = app::preferences(book.settings());
    const auto taxa = app::taxa_in_use(book, preferences);
    const Day on = day_option(words.on, preferences.time_zone);
    const auto sheet = book.call(book.find_call(words.call));
    if (!sheet) {
        throw Failure{ErrorCode::NotFound, "there is no such call", "call " + words.call};
    }
    yield::HarvestConditions conditions;
    if (words.light == "twilight") {
        conditions.light = yield::Light::Twilight;
    } else if (words.light == "night") {
        conditions.light = yield::Light::Night;
    } else if (words.light != "day") {
        throw Failure{ErrorCode::BadUsage, "--light wants day, twilight or night"};
    }
    if (!words.air.empty()) {
        conditions.air = celsius_option("--air", words.air);
    }
    yield::Forecaster forecaster{*taxa, app::learned_settings(book, preferences, *taxa, on)};
    const auto outlook = forecaster.outlook(sheet->nest, sheet->site.place, on);
    const auto harvest =
        yield::harvest(*taxa, forecaster.courses(sheet->nest, sheet->site.place, on),
                       sheet->nest.insecticide, conditions, preferences.harvest);
    if (words.json) {
        nlohmann::ordered_json out{{"form", "nestround-yield"},
                                   {"form_version", 1},
                                   {"call_id", sheet->call.id.text()},
                                   {"day", format_day(on)},
                                   {"taxon", outlook.taxon},
                                   {"stage", outlook.stage},
                                   {"light", yield::text(conditions.light)}};
        const auto put = [&](const char* name, double low, double middle, double high) {
            out[name] = {{"p10", low}, {"p50", middle}, {"p90", high}};
        };
        const auto put_count = [&](const char* name, const Spread<double>& spread) {
            put(name, spread.low, spread.middle, spread.high);
        };
        put_count("workers_alive", outlook.workers);
        put_count("workers_caught", harvest.workers_caught);
        put_count("workers_missed", harvest.workers_missed);
        put_count("brood_workers", harvest.brood_workers);
        put_count("brood_sexuals", harvest.brood_sexuals);
        put_count("gynes", harvest.gynes);
        put_count("males", harvest.males);
        put("frozen_g", harvest.frozen.low.value(), harvest.frozen.middle.value(),
            harvest.frozen.high.value());
        put("later_g", harvest.later.low.value(), harvest.later.middle.value(),
            harvest.later.high.value());
        put("venom_ug", harvest.venom.low.value(), harvest.venom.middle.value(),
            harvest.venom.high.value());
        put_count("doses", harvest.doses);
        out["venom_by_assay"] = harvest.by_assay;
        out["notes"] = harvest.notes;
        std::cout << out.dump(2) << '\n';
        return;
    }
    std::cout << fmt::format("{}, {}: {}, {}\n\n", sheets::place_name(*sheet), format_day_long(on),
                             outlook.taxon_name, outlook.stage);
    const auto row = [](const char* name, const std::string& value) {
        std::cout << fmt::format("  {:<26} {}\n", name, value);
    };
    row("alive in the nest", range(outlook.workers, "workers"));
    row("caught on the visit", range(harvest.workers_caught, "workers"));
    row("not in the container", range(harvest.workers_missed, "workers"));
    row("frozen", sheets::about(harvest.frozen));
    row("still to emerge", range(harvest.brood_workers, "workers"));
    row("", range(harvest.brood_sexuals, "queens and males"));
    row("their mass, workers alone", sheets::about(harvest.later));
    row("adult queens, males",
        range(harvest.gynes, "queens") + ", " + range(harvest.males, "males"));
    row("venom protein, micrograms",
        range({harvest.venom.low.value(), harvest.venom.middle.value(), harvest.venom.high.value()},
              harvest.by_assay ? "by assay" : "at least"));
    row("maintenance doses", range(harvest.doses, harvest.by_assay ? "doses" : "doses at least"));
    std::cout << '\n';
    for (const auto& note : harvest.notes) {
        std::cout << "  - " << note << '\n';
    }
}

void backtest(const Words& words)
{
    const auto format =
        words.picture.empty() ? sheets::MapFormat::Png : sheets::picture_format(words.picture);
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = app::preferences(book.settings());
    const auto taxa = app::taxa_in_use(book, preferences);
    const Day on = day_option(words.on, preferences.time_zone);
    const auto result = app::backtest(app::own_catches(book, on), *taxa);
    const auto all = static_cast<double>(std::max<std::size_t>(1, result.rows.size()));
    const auto note =
        fmt::format("{} catches; {:.0f} % within the 80 % interval, {} above it and {} below",
                    result.rows.size(), static_cast<double>(result.inside) / all * 100,
                    result.above, result.below);
    if (!words.picture.empty()) {
        std::vector<sheets::BacktestPoint> points;
        for (const auto& row : result.rows) {
            points.push_back(
                {{row.forecast.low.value(), row.forecast.middle.value(), row.forecast.high.value()},
                 row.caught.value()});
        }
        sheets::write_file(words.picture, sheets::backtest_picture(points, note, format));
    }
    if (words.json) {
        nlohmann::ordered_json out{{"catches", result.rows.size()},
                                   {"inside", result.inside},
                                   {"above", result.above},
                                   {"below", result.below},
                                   {"median_error", result.error},
                                   {"median_error_where_naive", result.error_of_same},
                                   {"naive_median_error", result.naive_error},
                                   {"left_out", result.left_out}};
        out["rows"] = nlohmann::ordered_json::array();
        for (const auto& row : result.rows) {
            out["rows"].push_back({{"day", format_day(row.day)},
                                   {"taxon", row.taxon},
                                   {"low_g", row.forecast.low.value()},
                                   {"middle_g", row.forecast.middle.value()},
                                   {"high_g", row.forecast.high.value()},
                                   {"caught_g", row.caught.value()},
                                   {"naive_g", row.naive.value()}});
        }
        std::cout << out.dump(2) << '\n';
        return;
    }
    if (result.rows.empty()) {
        std::cout
            << "no weighed catch of a known species in the book; see: nestround catch import\n";
        return;
    }
    std::cout << note << '\n';
    std::cout << fmt::format(
        "median error {:.0f} %; where the mean of the species' earlier catches could be taken: "
        "{:.0f} "
        "% against {:.0f} % of that mean\n",
        result.error * 100, result.error_of_same * 100, result.naive_error * 100);
    if (result.left_out > 0) {
        std::cout << fmt::format("{} catches left out; 'nestround yield show' says why\n",
                                 result.left_out);
    }
}

}  // namespace

void add_yield(CLI::App& app)
{
    auto* group =
        app.add_subcommand("yield", "What a nest gives, and what the book's own catches teach");
    group->require_subcommand(1);
    const auto words = std::make_shared<Words>();
    const auto nest_words = std::make_shared<NestWords>();
    auto* one = group->add_subcommand(
        "nest", "All that a visit to one nest would bring: catch, brood, venom");
    one->add_option("book", nest_words->book, "The book")->required();
    one->add_option("--call", nest_words->call, "The call")->required();
    one->add_option("--on", nest_words->on, "Day")->capture_default_str();
    one->add_option("--light", nest_words->light, "day, twilight or night: fewer are out")
        ->capture_default_str();
    one->add_option("--air", nest_words->air,
                    "Air at the nest, as 8C or 46F: nobody flies in cold");
    one->add_flag("--json", nest_words->json, "JSON on standard output");
    one->callback([nest_words] { nest(*nest_words); });
    auto* showing = group->add_subcommand("show", "By species, method and crew, with spreads");
    showing->add_option("book", words->book, "The book")->required();
    showing->add_option("--on", words->on, "Catches before this day")->capture_default_str();
    showing->callback([words] { show(*words); });
    auto* testing = group->add_subcommand(
        "backtest", "Forecast each past catch from those before it, and compare");
    testing->add_option("book", words->book, "The book")->required();
    testing->add_option("--on", words->on, "Catches before this day")->capture_default_str();
    testing->add_option("--picture", words->picture, "Draw the comparison: .png, .svg or .pdf");
    testing->add_flag("--json", words->json, "JSON on standard output");
    testing->callback([words] { backtest(*words); });
}

}  // namespace nestround::commands
