// nestround wasp: which wasp is it?
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <map>
#include <memory>
#include <string>

#include "geocore/book/book.hpp"
#include "geocore/intake/places.hpp"
#include "planner/app/name_wasp.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/wasp_text.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string at;
    std::string on;
    std::string call;
    std::string book;
    std::string taxa;
    std::map<std::string, std::string> answers;  ///< by trait
    std::vector<std::string> more;               ///< TRAIT=ANSWER
    bool json = false;

    [[nodiscard]] bool nothing() const
    {
        return at.empty() && on.empty() && call.empty() && answers.empty() && more.empty();
    }
};

app::TypedTrait typed(const nature::TaxaTable& table, const std::string& trait,
                      const std::string& answer)
{
    for (const auto& one : nature::naming_traits(table)) {
        const bool digit = !answer.empty() && answer[0] >= '0' && answer[0] <= '9';
        if (one.key == trait && !one.unit.empty() && digit) {
            return {trait, answer, length_option(sheets::trait_option(one).substr(2), answer)};
        }
    }
    return {trait, answer, {}};
}

std::vector<nature::Seen> seen_of(const Words& words, const nature::TaxaTable& table)
{
    std::vector<nature::Seen> seen;
    for (const auto& [trait, answer] : words.answers) {
        seen.push_back(app::read_trait(table, typed(table, trait, answer)));
    }
    for (const auto& pair : words.more) {
        const auto equals = pair.find('=');
        if (equals == std::string::npos) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("--trait wants TRAIT=ANSWER, not '{}'", pair)};
        }
        seen.push_back(
            app::read_trait(table, typed(table, pair.substr(0, equals), pair.substr(equals + 1))));
    }
    return seen;
}

struct Question {
    LonLat place{};
    sheets::WaspHead head;
    std::vector<nature::Seen> seen;
    app::Taxa table;
    app::Preferences preferences;
};

void ask_book(const Words& words, Question& question)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    question.preferences = preferences_with(book, words.taxa);
    question.table = app::taxa_in_use(book, question.preferences);
    question.seen = seen_of(words, *question.table);
    if (words.call.empty()) {
        return;
    }
    const auto sheet = book.call(book.find_call(words.call)).value();
    for (auto& one : app::traits_of_nest(*question.table, sheet.nest, question.seen)) {
        question.seen.push_back(std::move(one));
    }
    question.place = sheet.site.place;
    question.head.place = sheets::place_name(sheet);
    if (!sheet.nest.taxon.empty()) {
        question.head.notes.push_back("the book has it as " + sheet.nest.taxon);
    }
}

void name_it(const Words& words)
{
    Question question;
    if (!words.call.empty() && words.book.empty()) {
        throw Failure{ErrorCode::BadUsage, "--call needs the book: --book BOOK"};
    }
    if (words.call.empty() && words.at.empty()) {
        throw Failure{ErrorCode::BadUsage,
                      "where is it? Add --at LAT,LON, or --call KEY --book BOOK"};
    }
    if (words.book.empty()) {
        question.table = app::taxa_in_use(words.taxa);
        question.seen = seen_of(words, *question.table);
    } else {
        ask_book(words, question);
    }
    if (!words.at.empty()) {
        question.place = value_or_throw(intake::parse_place(words.at));
        question.head.place = words.at;
    }
    question.head.on =
        day_option(words.on.empty() ? "today" : words.on, question.preferences.time_zone);
    const auto name = value_or_throw(
        nature::name_wasp(*question.table, question.seen, question.place, question.head.on));
    std::cout << (words.json ? sheets::wasp_json(name, question.head)
                             : sheets::wasp_text(name, question.head, *question.table,
                                                 text_options(question.preferences)));
}

void run(const Words& words)
{
    if (!words.nothing()) {
        name_it(words);
        return;
    }
    const auto table = app::taxa_in_use(words.taxa);
    const auto traits = nature::naming_traits(*table);
    std::cout << (words.json ? sheets::traits_json(traits)
                             : sheets::traits_text(traits, text_options({})));
}

}  // namespace

void add_wasp(CLI::App& app)
{
    auto* command =
        app.add_subcommand("wasp", "Which wasp is it? Without options: what to look at");
    const auto words = std::make_shared<Words>();
    command->add_option("--at", words->at, "Place: \"41.2,-77.1\"");
    command->add_option("--on", words->on, "Day: 2026-08-04, today, tomorrow");
    command->add_option("--call", words->call, "A call of the book, by the end of its key");
    command->add_option("--book", words->book, "The book");
    command->add_option("--taxa", words->taxa, "Folder of your own figures, see taxa.md");
    command->add_option("--trait", words->more, "TRAIT=ANSWER, for traits of your own");
    command->add_flag("--json", words->json, "As JSON");
    // One option a trait of the table. It is read only when this command is meant, so that others
    // do not wait for it.
    command->preparse_callback([command, words](std::size_t) {
        for (const auto& trait : nature::naming_traits(nature::standard_taxa())) {
            command->add_option_function<std::string>(
                sheets::trait_option(trait),
                [words, key = trait.key](const std::string& answer) {
                    words->answers[key] = answer;
                },
                trait.question);
        }
    });
    command->callback([words] { run(*words); });
}

}  // namespace nestround::commands
