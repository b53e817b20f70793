// book create | check | update: the file that holds everything.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <string>

#include "geocore/base/error.hpp"
#include "planner/app/check_book.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/create_book.hpp"
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

}  // namespace

void add_book(CLI::App& app)
{
    auto* all = app.add_subcommand("book", "The file that holds everything: make it, check it");
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
}

}  // namespace nestround::commands
