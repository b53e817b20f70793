// nestround share
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <memory>
#include <string>
#include <tuple>

#include "geocore/base/error.hpp"
#include "geocore/intake/redraw_photo.hpp"
#include "planner/app/live_view.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/write_file.hpp"
#include "plugin/share/darwin_core.hpp"
#include "plugin/share/make_share.hpp"
#include "plugin/share/share_file.hpp"
#include "plugin/share/style.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string partner;
    std::string to;
    std::string as = "geopackage";
    std::string seasons;
    std::string on = "today";
    std::string styles;
    std::string taxa;
};

void write_styles(const std::string& folder, bool cells)
{
    std::error_code error;
    std::filesystem::create_directories(folder, error);
    if (error) {
        throw Failure{ErrorCode::OutputFailed, error.message(), folder};
    }
    const auto path = std::filesystem::path{folder} / (cells ? "nest_counts.sld" : "nests.sld");
    sheets::write_file(path.string(), cells ? share::counts_sld() : share::nests_sld());
    std::cout << "style: " << path.string() << '\n';
}

share::Picture drawn_anew(const book::Book& book, const PhotoId& key)
{
    try {
        auto drawn = intake::redraw_photo(book.picture(key));
        return {std::move(drawn.jpeg), drawn.width, drawn.height};
    } catch (const Failure& failure) {
        if (failure.error().code != ErrorCode::InvalidInput) {
            throw;
        }
        return {};  // a damaged photo keeps the others from nobody
    }
}

std::string photo_words(std::size_t known, std::size_t given, bool archive)
{
    if (archive) {
        return fmt::format("{} photos are not in the archive: they go in a GeoPackage", known);
    }
    return fmt::format(
        "{} photos, drawn anew{}; look at each before you send it: a picture shows "
        "the house, and may show a face or a number plate",
        given, given == known ? "" : fmt::format(" ({} could not be opened)", known - given));
}

void share_nests(const Words& words)
{
    const bool archive = words.as == "dwca";
    if (archive) {
        share::check_archive_name(words.to);
    } else {
        share::check_share_name(words.to);
    }
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    const auto table = app::taxa_in_use(book, preferences);
    share::ShareWishes wishes;
    wishes.partner = words.partner;
    wishes.on = day_option(words.on, preferences.time_zone);
    if (!words.seasons.empty()) {
        int first = 0;
        int last = 0;
        std::tie(first, last) = app::seasons_of(words.seasons);
        wishes.first_season = first;
        wishes.last_season = last;
    }
    const auto made = share::make_share(book, preferences, *table, wishes);
    std::size_t photos = 0;
    if (archive) {
        share::write_darwin_core(made.shared, made.statement, *table, words.to);
    } else {
        photos = share::write_share(made.shared, made.statement, *table, words.to,
                                    [&](const PhotoId& key) { return drawn_anew(book, key); });
    }
    const bool cells = made.shared.tier == app::PrivacyTier::Cells;
    std::cout << fmt::format("{}: {} for {}, of {} nests of these seasons and species\n", words.to,
                             cells ? fmt::format("{} counts", made.shared.counts.size())
                                   : fmt::format("{} nests", made.shared.nests.size()),
                             made.statement.to, made.shared.considered);
    std::cout << share::held_back_words(made.shared) << '\n';
    if (!made.shared.photos.empty()) {
        std::cout << photo_words(made.shared.photos.size(), photos, archive) << '\n';
    }
    if (cells) {
        std::cout << fmt::format("For you alone: {} nests are in no square.\n",
                                 made.shared.held_back);
    }
    if (!words.styles.empty()) {
        write_styles(words.styles, cells);
    }
}

}  // namespace

void add_share(CLI::App& app)
{
    auto* command = app.add_subcommand(
        "share", "Nests for a partner, as much as the settings allow; never a client");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--with", words->partner, "The partner, as the settings name it")
        ->required();
    command->add_option("--to", words->to, "A new file: .gpkg, or .zip with --as dwca")->required();
    command->add_option("--as", words->as, "geopackage, or dwca: a Darwin Core archive")
        ->check(CLI::IsMember({"geopackage", "dwca"}))
        ->capture_default_str();
    command->add_option("--season", words->seasons, "2026 or 2024..2026; all if none");
    command->add_option("--on", words->on, "Nests reported by this day")->capture_default_str();
    command->add_option("--styles", words->styles, "Folder for the style as SLD 1.1");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->callback([words] { share_nests(*words); });
}

}  // namespace nestround::commands
