// nestround hold
#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

#include "planner/app/hold_calls.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/hold_sheet.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string on = "today";
    std::vector<std::string> calls;
    int days = 28;
    std::size_t limit = 0;
    std::string json;
    std::string taxa;
    std::string picture;
};

void hold(const Words& words)
{
    const auto format =
        words.picture.empty() ? sheets::MapFormat::Png : sheets::picture_format(words.picture);
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    const Day on = day_option(words.on, preferences.time_zone);
    std::vector<sheets::HoldEntry> entries;
    for (auto& held : app::hold_calls(book, preferences, on, words.days, words.calls)) {
        if (words.limit == 0 || entries.size() < words.limit) {
            entries.push_back({std::move(held.call), std::move(held.curve)});
        }
    }
    if (words.json == "-") {
        std::cout << sheets::hold_json(entries, on);
    } else {
        if (!words.json.empty()) {
            sheets::write_file(words.json, sheets::hold_json(entries, on));
        }
        std::cout << sheets::hold_text(entries, on, text_options(preferences));
    }
    if (!words.picture.empty()) {
        sheets::write_file(words.picture, sheets::hold_picture(entries, on, format));
    }
}

}  // namespace

void add_hold(CLI::App& app)
{
    auto* command = app.add_subcommand(
        "hold", "Hold or take: the worth of each waiting call over the coming weeks");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--on", words->on, "First day: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--call", words->calls, "Only these calls")->delimiter(',');
    command->add_option("--days", words->days, "How far ahead")->capture_default_str();
    command->add_option("--limit", words->limit, "Calls to show, best of today first; all when 0");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_option("--json", words->json, "Write JSON to this file; - for standard output");
    command->add_option("--picture", words->picture, "A picture: .png, .svg or .pdf");
    command->callback([words] { hold(*words); });
}

}  // namespace nestround::commands
