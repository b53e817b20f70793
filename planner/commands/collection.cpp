// nestround collection add | list
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/keep_comb.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string on = "today";
    std::string at = "18:00";
    int workers = 0;
    int reproductives = 0;
    double grams = 0;
    app::CollectionEntry entry;
};

void add(Words words, const CLI::App& command)
{
    if (words.entry.comb.empty() == words.entry.habitat.empty()) {
        throw Failure{ErrorCode::BadUsage,
                      "name the comb with --comb, or the habitat with --habitat"};
    }
    auto book = book::Book::open(words.book);
    const auto zone = app::preferences(book.settings()).time_zone;
    const auto clock = parse_clock(words.at);
    if (!clock) {
        throw Failure{ErrorCode::BadUsage, fmt::format("--at wants 18:00, not '{}'", words.at)};
    }
    words.entry.at = value_or_throw(intake::to_utc(day_option(words.on, zone), *clock, zone));
    if (words.entry.at > app::present()) {
        show_notes({"--on and --at lie in the future; taken as typed"});
    }
    if (command.count("--workers") != 0) {
        words.entry.workers = words.workers;
    }
    if (command.count("--reproductives") != 0) {
        words.entry.reproductives = words.reproductives;
    }
    if (command.count("--grams") != 0) {
        words.entry.mass = Grams{words.grams};
    }
    app::KeyMaker keys;
    const auto row = app::add_collection(book, words.entry, app::present(), keys);
    std::cout << fmt::format(
        "collection {} of comb {}: {} workers, {} queens and males{}\n",
        book::short_key(row.id.uuid()), book::short_key(row.comb.uuid()),
        row.workers ? std::to_string(*row.workers) : std::string{"?"},
        row.reproductives ? std::to_string(*row.reproductives) : std::string{"?"},
        row.mass ? fmt::format(", {:.1f} g", row.mass->value()) : std::string{});
}

void list(const std::string& path)
{
    const auto book = book::Book::open(path, book::Mode::ReadOnly);
    bool any = false;
    for (const auto& piece : book.all_comb()) {
        for (const auto& row : book.collections(piece.id)) {
            any = true;
            std::cout << fmt::format(
                "{}  comb {}  {}: {} workers, {} queens and males{}\n",
                book::short_key(row.id.uuid()), book::short_key(row.comb.uuid()),
                format_instant(row.collected_at),
                row.workers ? std::to_string(*row.workers) : std::string{"?"},
                row.reproductives ? std::to_string(*row.reproductives) : std::string{"?"},
                row.mass ? fmt::format(", {:.1f} g", row.mass->value()) : std::string{});
        }
    }
    if (!any) {
        std::cout << "nothing was collected from comb yet\n";
    }
}

}  // namespace

void add_collection(CLI::App& app)
{
    auto* group = app.add_subcommand("collection", "What comb gave");
    group->require_subcommand(1);
    auto* one = group->add_subcommand("add", "Enter what was collected from one comb");
    const auto words = std::make_shared<Words>();
    one->add_option("book", words->book, "The book")->required();
    one->add_option("--comb", words->entry.comb, "Key of the comb");
    one->add_option("--habitat", words->entry.habitat,
                    "Or its habitat, when it stands there alone");
    one->add_option("--on", words->on, "Day: 2026-08-04, today")->capture_default_str();
    one->add_option("--at", words->at, "Time of day")->capture_default_str();
    one->add_option("--workers", words->workers, "So many")->check(CLI::Range(0, 1000000));
    one->add_option("--reproductives", words->reproductives, "Queens and males")
        ->check(CLI::Range(0, 1000000));
    one->add_option("--grams", words->grams, "Of all together")->check(CLI::Range(0.0, 100000.0));
    one->add_option("--note", words->entry.note, "Anything else");
    one->callback([words, one] { add(*words, *one); });
    auto* all = group->add_subcommand("list", "All collections of a book");
    const auto book = std::make_shared<std::string>();
    all->add_option("book", *book, "The book")->required();
    all->callback([book] { list(*book); });
}

}  // namespace nestround::commands
