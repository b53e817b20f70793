// nestround catch import
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/base/error.hpp"
#include "planner/app/import_catches.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string file;
};

void import_file(const Words& words)
{
    auto book = book::Book::open(words.book);
    const auto taxa = app::taxa_in_use(book, app::preferences(book.settings()));
    const auto lookup = [&](std::string_view name) -> std::optional<std::string> {
        const auto* taxon = taxa->recognise(name);
        return taxon == nullptr ? std::nullopt : std::optional{taxon->code};
    };
    const auto batch = intake::read_catches(words.file, lookup);
    show_notes(batch.notes);
    app::KeyMaker keys;
    const auto tally = app::import_catches(book, batch, app::present(), keys);
    show_refused(words.file, tally.refused);
    std::cout << fmt::format("{} catches added, {} already in the book, {} refused\n", tally.added,
                             tally.known, tally.refused.size());
    if (tally.added + tally.known == 0 && !tally.refused.empty()) {
        throw Failure{ErrorCode::InvalidInput, "no row could be taken; the reasons are above",
                      words.file};
    }
}

}  // namespace

void add_catch(CLI::App& app)
{
    auto* group = app.add_subcommand("catch", "What visits brought home");
    group->require_subcommand(1);
    auto* command = group->add_subcommand("import", "Take catches from a text table");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("file", words->file, "The list of catches")->required();
    command->callback([words] { import_file(*words); });
}

}  // namespace nestround::commands
