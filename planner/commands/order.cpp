// nestround order add | list | status | close
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <cmath>
#include <iostream>
#include <memory>
#include <optional>
#include <string>

#include "geocore/base/error.hpp"
#include "planner/app/orders.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/lot_text.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string taxa;
    app::OrderWishes order;
    double grams = 0;
    std::optional<double> promised;
    std::string placed = "today";
    std::string due;
    std::string price;
    bool other = false;
    std::string season;
    std::string on = "today";
    std::string key;
    bool cancelled = false;
    bool again = false;
};

/// "12.50" in cents; more decimals are refused.
std::int64_t price_option(const std::string& text)
{
    double value = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    const double minor = std::round(value * 100);
    if (code != std::errc{} || end != text.data() + text.size() || !(value >= 0) || value > 1e9 ||
        std::abs(minor - value * 100) > 1e-6) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--price wants money with at most two decimals, as 12.50, not "
                                  "'{}'",
                                  text)};
    }
    return static_cast<std::int64_t>(minor);
}

void add(const Words& words)
{
    auto book = book::Book::open(words.book);
    const auto preferences = preferences_with(book, words.taxa);
    const auto taxa = app::taxa_in_use(book, preferences);
    auto wishes = words.order;
    wishes.wanted = Grams{words.grams};
    wishes.placed = day_option(words.placed, preferences.time_zone);
    if (!words.due.empty()) {
        wishes.due = day_option(words.due, preferences.time_zone);
    }
    if (!words.price.empty()) {
        wishes.price_minor = price_option(words.price);
    }
    if (words.promised) {
        wishes.promised = Grams{*words.promised};
    }
    wishes.purpose = words.other ? LotPurpose::Other : LotPurpose::Venom;
    wishes.again = words.again;
    app::KeyMaker keys;
    const auto order = app::add_order(book, *taxa, wishes, app::present(), keys);
    std::cout << fmt::format("order {}: {:g} g of {} for {}\n", freezer::tail(order.id.uuid()),
                             order.wanted.value(), order.taxon, order.laboratory);
}

void list(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    std::cout << sheets::order_list_text(book.orders(), preferences.orders.currency);
}

void status(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    const Day on = day_option(words.on, preferences.time_zone);
    const auto orders = app::order_book(book, preferences, on, words.season);
    const auto weights = app::rank_by_orders(book, preferences, on);
    std::map<std::string, double> worth;
    for (const auto& [taxon, demand] : orders.demand) {
        worth[taxon] = weights.worth_by_taxon.at(taxon);
    }
    std::cout << sheets::order_status_text(orders.stands, orders.stock, worth,
                                           preferences.orders.currency);
}

void close(const Words& words)
{
    auto book = book::Book::open(words.book);
    const auto state = words.cancelled ? OrderState::Cancelled : OrderState::Filled;
    app::set_order_state(book, words.key, state, app::present());
    std::cout << fmt::format("order {} is {}\n", words.key, text(state));
}

}  // namespace

void add_order(CLI::App& app)
{
    auto* group = app.add_subcommand("order", "What laboratories want, and how it stands");
    group->require_subcommand(1);
    const auto words = std::make_shared<Words>();
    const auto make = [&](const char* name, const char* help, void (*run)(const Words&)) {
        auto* command = group->add_subcommand(name, help);
        command->add_option("book", words->book, "The book")->required();
        command->callback([words, run] { run(*words); });
        return command;
    };
    auto* command = make("add", "Enter an order", add);
    command->add_option("--laboratory", words->order.laboratory, "Key of the partner; private")
        ->required();
    command->add_option("--species", words->order.species, "Code or name")->required();
    command->add_option("--grams", words->grams, "Wanted")->required()->check(CLI::PositiveNumber);
    command->add_option("--by", words->due, "Day by which it is wanted");
    command->add_option("--price", words->price, "Of one gram, as 12.50");
    command->add_option("--promised", words->promised, "Grams that were promised")
        ->check(CLI::NonNegativeNumber);
    command->add_option("--placed", words->placed, "Day of the order")->capture_default_str();
    command->add_option("--note", words->order.note, "Free words");
    command->add_flag("--for-other", words->other, "Not for venom");
    command->add_flag("--again", words->again, "One more order just like one that is open");
    make("list", "All orders", list);
    command = make("status", "What left, lies ready, is expected and is missing", status);
    command->add_option("--on", words->on, "Day: 2026-08-04, today")->capture_default_str();
    command->add_option("--season", words->season,
                        "A plan of the season, as 'nestround season --json' writes it");
    command = make("close", "Say that an order is filled or cancelled", close);
    command->add_option("order", words->key, "End of its key, or its laboratory")->required();
    command->add_flag("--cancelled", words->cancelled, "Not filled: cancelled");
}

}  // namespace nestround::commands
