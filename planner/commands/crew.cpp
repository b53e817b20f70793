// nestround crew import | list
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <optional>

#include "geocore/base/error.hpp"
#include "geocore/intake/crews.hpp"
#include "planner/app/import_crews.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

void import_files(const std::string& path, const std::string& crews_file,
                  const std::string& gear_file)
{
    auto crews = intake::read_crews(crews_file);
    show_notes(crews.notes);
    show_refused(crews_file, crews.refused);
    std::optional<intake::GearBatch> gear;
    std::size_t refused = crews.refused.size();
    if (!gear_file.empty()) {
        gear = intake::read_gear(gear_file);
        show_notes(gear->notes);
        show_refused(gear_file, gear->refused);
        refused += gear->refused.size();
    }
    // A truck with a ladder missing from the list is worse than none: all rows or nothing.
    if (refused != 0) {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("{} rows cannot be taken, so none was; mend them as said above", refused)};
    }
    auto book = book::Book::open(path);
    app::KeyMaker keys;
    const auto tally = app::import_crews(book, std::move(crews), gear, app::present(), keys);
    std::cout << fmt::format("{} crews added, {} brought up to date, {} pieces of gear\n",
                             tally.added, tally.changed, tally.gear);
}

void list(const std::string& path)
{
    const auto book = book::Book::open(path, book::Mode::ReadOnly);
    for (const auto& crew : book.crews(true)) {
        std::cout << fmt::format("{}{}: {} people, {}\n", crew.name,
                                 crew.active ? "" : " (not active)", crew.people,
                                 format_clock_span({crew.shift_begins, crew.shift_ends}));
        for (const auto& piece : crew.gear) {
            std::cout << fmt::format("  {} x {} {}\n", piece.count, text(piece.kind), piece.label);
        }
    }
}

}  // namespace

void add_crew(CLI::App& app)
{
    auto* crew = app.add_subcommand("crew", "Crews and what is on their trucks");
    crew->require_subcommand(1);
    auto* import = crew->add_subcommand("import", "Take crews and gear from tables");
    const auto book = std::make_shared<std::string>();
    const auto file = std::make_shared<std::string>();
    const auto gear = std::make_shared<std::string>();
    import->add_option("book", *book, "The book")->required();
    import->add_option("file", *file, "Columns crew,lon,lat,shift,people,note")->required();
    import->add_option("--gear", *gear,
                       "Columns crew,kind,label,length_m,load_rating_kg,mass_kg,count,note");
    import->callback([=] { import_files(*book, *file, *gear);
});
auto* listing = crew->add_subcommand("list", "Crews with their gear");
listing->add_option("book", *book, "The book")->required();
listing->callback([book] { list(*book); });
}  // namespace nestround::commands

}  // namespace nestround::commands
