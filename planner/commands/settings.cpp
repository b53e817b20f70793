// nestround settings import | set | show
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/book/book.hpp"
#include "geocore/intake/settings_file.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/write_settings.hpp"
#include "planner/commands/commands.hpp"

namespace nestround::commands {

namespace {

void write(const std::string& path, const intake::Settings& changes)
{
    auto book = book::Book::open(path);
    app::write_settings(book, changes, app::present());
    std::cout << fmt::format("{} settings written\n", changes.size());
}

}  // namespace

void add_settings(CLI::App& app)
{
    auto* settings = app.add_subcommand("settings", "What this book is set to");
    settings->require_subcommand(1);
    const auto book = std::make_shared<std::string>();
    const auto file = std::make_shared<std::string>();
    const auto name = std::make_shared<std::string>();
    const auto value = std::make_shared<std::string>();

    auto* taken = settings->add_subcommand("import", "Take settings from a TOML file");
    taken->add_option("book", *book, "The book")->required();
    taken->add_option("file", *file, "The settings")->required();
    taken->callback([=] { write(*book, intake::read_settings(*file)); });

    auto* set = settings->add_subcommand("set", "Set one; an empty value removes it");
    set->add_option("book", *book, "The book")->required();
    set->add_option("name", *name, "As region.time_zone")->required();
    set->add_option("value", *value, "Its value")->required();
    set->callback([=] { write(*book, {{*name, *value}}); });

    auto* show = settings->add_subcommand("show", "All settings as TOML");
    show->add_option("book", *book, "The book")->required();
    show->callback([=] {
        const auto opened = book::Book::open(*book, book::Mode::ReadOnly);
        std::cout << intake::settings_toml(opened.settings());
    });
}  // namespace nestround::commands

}  // namespace nestround::commands
