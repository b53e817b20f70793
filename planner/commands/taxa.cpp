// nestround taxa list | show | draw | rules: what the program believes of each wasp, with sources
// and marks.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <iostream>
#include <memory>
#include <string>

#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/rule_curves.hpp"
#include "planner/sheets/season_curve.hpp"
#include "planner/sheets/taxa_text.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string taxon;
    std::string taxa;
    bool json = false;
    double latitude = 41;
    int year = 2026;
    std::string picture;
};

void list(const Words& words)
{
    const auto table = app::taxa_in_use(words.taxa);
    std::cout << (words.json ? sheets::taxa_list_json(*table)
                             : sheets::taxa_list_text(*table, text_options({})));
}

/// The code of a taxon, or a group of that name.
std::string subject_of(const nature::TaxaTable& table, const std::string& named)
{
    if (const auto* taxon = table.recognise(named)) {
        return taxon->code;
    }
    const auto figures = table.figures();
    const bool is_group = std::any_of(figures.begin(), figures.end(),
                                      [&](const Figure& row) { return row.subject == named; });
    if (!is_group) {
        throw Failure{ErrorCode::NotFound,
                      fmt::format("no taxon '{}' in the table; see nestround taxa list", named)};
    }
    return named;
}

void show(const Words& words)
{
    const auto table = app::taxa_in_use(words.taxa);
    const auto subject = subject_of(*table, words.taxon);
    std::cout << (words.json ? sheets::taxa_json(*table, subject)
                             : sheets::taxa_text(*table, subject, text_options({})));
}

void draw(const Words& words)
{
    const auto format = sheets::picture_format(words.picture);
    const auto table = app::taxa_in_use(words.taxa);
    const auto* taxon = table->recognise(words.taxon);
    if (taxon == nullptr) {
        throw Failure{ErrorCode::NotFound, fmt::format("no taxon '{}' in the table; see nestround "
                                                       "taxa list",
                                                       words.taxon)};
    }
    if (!(std::abs(words.latitude) <= 70)) {
        throw Failure{ErrorCode::BadUsage,
                      "--latitude wants degrees from -70 to 70, south below 0"};
    }
    sheets::write_file(words.picture, sheets::season_curve(*table, *taxon, Latitude{words.latitude},
                                                           words.year, format));
    std::cout << "drawn: " << words.picture << '\n';
}

void draw_rules(const Words& words)
{
    const auto format = sheets::picture_format(words.picture);
    const auto table = app::taxa_in_use(words.taxa);
    sheets::write_file(words.picture, sheets::rule_curves(*table, format));
    std::cout << "drawn: " << words.picture << '\n';
}

void add_common(CLI::App& command, const std::shared_ptr<Words>& words)
{
    command.add_option("--taxa", words->taxa, "Folder of your own figures, see taxa.md");
    command.add_flag("--json", words->json, "As JSON");
}

}  // namespace

void add_taxa(CLI::App& app)
{
    auto* taxa = app.add_subcommand("taxa", "What is known of each wasp, with sources and marks");
    taxa->require_subcommand(1);
    const auto words = std::make_shared<Words>();
    auto* all = taxa->add_subcommand("list", "The wasps in the table");
    add_common(*all, words);
    all->callback([words] { list(*words); });
    auto* one = taxa->add_subcommand("show", "Every figure of one wasp or group");
    one->add_option("taxon", words->taxon,
                    "Code or name, as VMAC, \"Vespula maculifrons\", Vespula")
        ->required();
    add_common(*one, words);
    one->callback([words] { show(*words); });
    auto* drawing = taxa->add_subcommand("draw", "The year of a wasp's colonies, as curves");
    drawing->add_option("taxon", words->taxon, "Code or name")->required();
    drawing->add_option("--latitude", words->latitude, "Degrees, south below 0")
        ->capture_default_str();
    drawing->add_option("--year", words->year, "For its dates")->capture_default_str();
    drawing->add_option("--picture", words->picture, "Where to: .png, .svg or .pdf")->required();
    drawing->add_option("--taxa", words->taxa, "Folder of your own figures, see taxa.md");
    drawing->callback([words] { draw(*words); });
    auto* rules = taxa->add_subcommand("rules", "The rules behind a forecast, as curves");
    rules->add_option("--picture", words->picture, "Where to: .png, .svg or .pdf")->required();
    rules->add_option("--taxa", words->taxa, "Folder of your own figures, see taxa.md");
    rules->callback([words] { draw_rules(*words); });
}

}  // namespace nestround::commands
