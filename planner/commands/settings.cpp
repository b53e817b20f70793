// nestround settings import | set | show
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>

#include "geocore/book/book.hpp"
#include "geocore/intake/settings_file.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/preferences.hpp"
#include "planner/commands/commands.hpp"

namespace nestround::commands {

namespace {

/// Writes the given settings after making sure that the whole still reads.
void write(const std::string& path, const intake::Settings& changes)
{
    auto book = book::Book::open(path);
    auto all = book.settings();
    for (const auto& [name, value] : changes) {
        if (value.empty()) {
            all.erase(name);
        } else {
            all[name] = value;
        }
    }
    static_cast<void>(app::preferences(all));
    book::Change change{book, app::present()};
    for (const auto& [name, value] : changes) {
        change.set_setting(name, value);
    }
    change.commit();
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

    auto* import = settings->add_subcommand("import", "Take settings from a TOML file");
    import->add_option("book", *book, "The book")->required();
    import->add_option("file", *file, "The settings")->required();
    import->callback([=] { write(*book, intake::read_settings(*file));
});

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
