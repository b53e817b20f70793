// taxa list | show TAXON: what the program believes of each wasp, with sources and marks.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iostream>
#include <memory>
#include <set>
#include <string>

#include "geocore/base/calendar.hpp"
#include "geocore/nature/season.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "planner/commands/commands.hpp"

namespace nestround::commands {

namespace {

/// "08-18" for a day of a northern year.
std::string short_date(double day)
{
    return format_day(nature::calendar_day(day, Latitude{45}, 2001)).substr(5);
}

std::string value_text(const Figure& row)
{
    if (!row.words.empty()) {
        return row.words;
    }
    const auto one = [&](const std::optional<double>& value) {
        if (!value) {
            return std::string{"-"};
        }
        return row.unit == "date" ? short_date(*value) : fmt::format("{:g}", *value);
    };
    std::string text;
    if (row.low || row.high) {
        text = fmt::format("{} / {} / {}", one(row.low), one(row.typical), one(row.high));
    } else {
        text = one(row.typical);
    }
    if (row.unit != "date") {
        text += " " + row.unit;
    }
    if (row.latitude) {
        text += fmt::format(" at {:g} deg", *row.latitude);
    }
    return text;
}

void list()
{
    for (const auto& taxon : nature::standard_taxa().taxa()) {
        std::cout << fmt::format("{:<6}{:<28}{}\n", taxon.code, taxon.name, taxon.english);
    }
}

void show(const std::string& named)
{
    const auto& table = nature::standard_taxa();
    const auto* taxon = table.recognise(named);
    if (taxon == nullptr) {
        throw Failure{ErrorCode::NotFound,
                      fmt::format("no taxon '{}' in the table; see nestround taxa list", named)};
    }
    std::cout << fmt::format("{}  {}  ({})\n", taxon->code, taxon->name, taxon->english);
    std::cout << "values are low / typical / high; dates are month-day of a northern year\n";
    std::set<std::string> shown;
    std::set<std::string> cited;
    for (const auto& level : table.chain(taxon->code)) {
        std::cout << fmt::format("\n{}\n",
                                 level == taxon->code ? "own figures" : "taken from " + level);
        std::set<std::string> here;
        for (const auto* row : table.own_rows(level)) {
            if (row->parameter == "group" ||
                (shown.count(row->parameter) != 0 && row->parameter != "caution")) {
                continue;
            }
            here.insert(row->parameter);
            std::cout << fmt::format("  {:<30} {:<40} [{}; {}]\n", row->parameter, value_text(*row),
                                     text(row->mark), row->source);
            if (!row->condition.empty()) {
                std::cout << fmt::format("  {:<30}   {}\n", "", row->condition);
            }
            std::string_view keys = row->source;
            while (!keys.empty()) {
                const auto space = keys.find(' ');
                cited.emplace(keys.substr(0, space));
                keys.remove_prefix(space == std::string_view::npos ? keys.size() : space + 1);
            }
        }
        shown.insert(here.begin(), here.end());
    }
    std::cout << "\nsources\n";
    for (const auto& entry : table.sources()) {
        if (cited.count(entry.key) != 0) {
            std::cout << fmt::format("  {:<6} {}\n", entry.key, entry.citation);
        }
    }
}

}  // namespace

void add_taxa(CLI::App& app)
{
    auto* taxa = app.add_subcommand("taxa", "What is known of each wasp, with sources and marks");
    taxa->require_subcommand(1);
    taxa->add_subcommand("list", "The wasps in the table")->callback(list);
    auto* show_one = taxa->add_subcommand("show", "Every figure of one wasp");
    const auto named = std::make_shared<std::string>();
    show_one->add_option("taxon", *named, "Code or name, as VMAC or \"Vespula maculifrons\"")
        ->required();
    show_one->callback([named] { show(*named); });
}

}  // namespace nestround::commands
