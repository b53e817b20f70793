// book create | check | update | merge | conflicts | decide: the file that holds everything.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "planner/app/check_book.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/create_book.hpp"
#include "planner/app/merge_books.hpp"
#include "planner/commands/commands.hpp"

namespace nestround::commands {
namespace {

void check(const std::string& path, const std::string& link)
{
    const auto health = app::check_book(path, link);
    for (const auto& line : health.broken) {
        std::cout << line << '\n';
    }
    if (!health.chain.empty()) {
        std::cout << health.chain << '\n';
    }
    std::cout << fmt::format("{}: {}, {} broken\n", path, health.summary, health.broken.size());
    if (!health.broken.empty()) {
        throw Failure{ErrorCode::RuleBroken,
                      fmt::format("{} broken rules, listed above; mend the rows, or go back to a "
                                  "copy",
                                  health.broken.size()),
                      path};
    }
}

void print(const std::vector<std::string>& lines)
{
    for (const auto& line : lines) {
        std::cout << line << '\n';
    }
}

void add_merge(CLI::App& all)
{
    struct Words {
        std::string ours;
        std::string theirs;
        std::string rule = "newer";
        bool look = false;
        bool clock_is_right = false;
        bool json = false;
    };
    const auto words = std::make_shared<Words>();
    auto* merge = all.add_subcommand(
        "merge", "Take another crew's book into this one; rows by key, nothing is lost");
    merge->add_option("ours", words->ours, "The book that is written")->required();
    merge->add_option("theirs", words->theirs, "The other book; it is only read")->required();
    merge
        ->add_option("--rule", words->rule,
                     "What stands where both books changed a field: newer (default), ours, theirs")
        ->check(CLI::IsMember({"newer", "ours", "theirs"}));
    merge->add_flag("--look", words->look, "Say what would happen; write nothing");
    merge->add_flag("--clock-is-right", words->clock_is_right,
                    "The clock is right although the last sealed record is later");
    merge->add_flag("--json", words->json, "The same as JSON");
    merge->callback([words] {
        book::MergeSettings settings;
        settings.rule = words->rule == "ours"     ? MergeRule::Ours
                        : words->rule == "theirs" ? MergeRule::Theirs
                                                  : MergeRule::Newer;
        settings.look_only = words->look;
        settings.clock_is_right = words->clock_is_right;
        const auto report = book::merge_books(words->ours, words->theirs, app::present(), settings);
        if (words->json) {
            std::cout << app::merge_json(report).dump(2) << '\n';
        } else {
            print(app::merge_lines(report, words->ours, words->theirs, words->look));
        }
    });
}

void add_conflicts(CLI::App& all)
{
    struct Words {
        std::string book;
        std::string key;
        std::string take;
        std::string who;
        bool all = false;
        bool json = false;
    };
    const auto words = std::make_shared<Words>();
    auto* list = all.add_subcommand("conflicts", "Fields that two merged books had changed");
    list->add_option("book", words->book, "The book")->required();
    list->add_flag("--all", words->all, "Those decided by hand too");
    list->add_flag("--json", words->json, "The same as JSON");
    list->callback([words] {
        const auto conflicts = book::merge_conflicts(words->book, words->all);
        if (words->json) {
            auto out = nlohmann::ordered_json::array();
            for (const auto& conflict : conflicts) {
                out.push_back(app::conflict_json(conflict));
            }
            std::cout << out.dump(2) << '\n';
            return;
        }
        for (const auto& conflict : conflicts) {
            print(app::conflict_lines(conflict));
        }
        std::cout << fmt::format("{}: {} conflict{}{}\n", words->book, conflicts.size(),
                                 conflicts.size() == 1 ? "" : "s",
                                 words->all ? "" : " that nobody has decided by hand");
    });

    auto* decide = all.add_subcommand("decide", "Let the other value of a conflict stand");
    decide->add_option("book", words->book, "The book")->required();
    decide->add_option("key", words->key, "Of the conflict: its last four or more characters")
        ->required();
    decide->add_option("--take", words->take, "first or second")
        ->required()
        ->check(CLI::IsMember({"first", "second"}));
    decide->add_option("--by", words->who, "Who decides");
    decide->callback([words] {
        print(app::conflict_lines(book::decide_conflict(
            words->book, words->key,
            words->take == "first" ? book::Choice::First : book::Choice::Second, words->who,
            app::present())));
    });
}

}  // namespace

void add_book(CLI::App& app)
{
    auto* all =
        app.add_subcommand("book", "The file that holds everything: make it, check it, merge two");
    all->require_subcommand(1);
    const auto path = std::make_shared<std::string>();

    auto* create = all->add_subcommand("create", "Make an empty book; nothing is overwritten");
    create->add_option("file", *path, "The book, NAME.gpkg")->required();
    create->callback([path] {
        const int version = app::create_book(*path, app::present());
        std::cout << fmt::format("{}: an empty book, schema {}\n", *path, version);
    });

    auto* check_one = all->add_subcommand("check", "Ask every rule of a book of every row");
    check_one->add_option("file", *path, "The book")->required();
    const auto link = std::make_shared<std::string>();
    check_one->add_option("--link", *link, "The hash that a certificate bears: is it still here?");
    check_one->callback([path, link] { check(*path, *link); });

    auto* update = all->add_subcommand(
        "update", "Bring a book of an older program up to date, after copying it");
    update->add_option("file", *path, "The book")->required();
    update->callback([path] {
        const int version = app::update_book(*path);
        std::cout << fmt::format("{}: schema {}\n", *path, version);
    });

    add_merge(*all);
    add_conflicts(*all);
}

}  // namespace nestround::commands
