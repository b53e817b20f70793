// nestround density
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/worker_threads.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/cut_roads.hpp"
#include "planner/app/live_view.hpp"
#include "planner/app/map_density.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/density_file.hpp"
#include "planner/sheets/density_picture.hpp"
#include "planner/sheets/density_text.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::vector<std::string> species;
    std::string seasons;
    double cell_km2 = 4;
    std::string smoothing;
    std::string searched;
    std::size_t columns = 400;
    std::size_t cells = 10;
    std::string json;
    std::string to;
    std::string raster;
    std::string picture;
    std::string roads;
    std::string taxa;
    bool each_season = false;
    bool with_partners = false;
};

app::DensityWishes wishes_of(const Words& words, const std::string& zone)
{
    app::DensityWishes wishes;
    wishes.species = words.species;
    if (words.seasons.empty()) {
        const int today = year_of(day_option("today", zone));
        wishes.first_season = wishes.last_season = today;
    } else {
        std::tie(wishes.first_season, wishes.last_season) = app::seasons_of(words.seasons);
    }
    wishes.cell_km2 = words.cell_km2;
    if (!words.smoothing.empty()) {
        wishes.smoothing_m = length_option("smoothing", words.smoothing).value();
        if (!(*wishes.smoothing_m > 0)) {
            throw Failure{ErrorCode::BadUsage, "is above 0 m", "--smoothing"};
        }
    }
    wishes.searched = words.searched;
    wishes.with_partners = words.with_partners;
    wishes.columns = words.columns;
    return wishes;
}

void draw(const Words& words, const book::Book& book, const app::Preferences& preferences,
          const density::DensityMap& map)
{
    sheets::MapOptions options;
    options.format = sheets::picture_format(words.picture);
    options.units = preferences.us_units ? sheets::UnitStyle::Us : sheets::UnitStyle::Metric;
    sheets::DensityPicture picture;
    picture.title = preferences.region;
    picture.drawn_on = format_day(day_option("today", preferences.time_zone));
    picture.each_season = words.each_season;
    sheets::MapRoads roads;
    if (!roads_path(book, preferences, words.roads).empty()) {
        const auto network = open_roads(book, preferences, words.roads);
        roads = app::cut_roads(*network, sheets::density_window(map, options));
        picture.attribution = network->attribution();
    }
    sheets::write_file(words.picture, sheets::draw_density(map, picture, roads, options));
}

void density(const Words& words)
{
    sheets::check_density_names(words.to, words.raster);
    if (!words.picture.empty()) {
        (void)sheets::picture_format(words.picture);
    }
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    const auto map = app::map_density(book, preferences, wishes_of(words, preferences.time_zone),
                                      intake::worker_threads());
    if (words.json == "-") {
        std::cout << sheets::density_json(map);
    } else {
        if (!words.json.empty()) {
            sheets::write_file(words.json, sheets::density_json(map));
        }
        std::cout << sheets::density_text(map, words.cells);
    }
    if (!words.to.empty()) {
        sheets::write_density_cells(map, words.to);
    }
    if (!words.raster.empty()) {
        sheets::write_density_raster(map, words.raster);
    }
    if (!words.picture.empty()) {
        draw(words, book, preferences, map);
    }
}

}  // namespace

void add_density(CLI::App& app)
{
    auto* command =
        app.add_subcommand("density", "Where nests are dense, and how much was searched to say so");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command
        ->add_option("--species", words->species, "Code or name; several with commas; all if none")
        ->delimiter(',');
    command->add_option("--season", words->seasons, "2026 or 2024..2026; this year if none");
    command->add_option("--cell-km2", words->cell_km2, "Size of the cells in square kilometres")
        ->capture_default_str();
    command->add_option("--smoothing", words->smoothing,
                        "Of the surface: 800, 800m or 2600ft; chosen from the nests if none");
    command->add_option("--searched", words->searched,
                        "Layer of polygons: the land that was searched");
    command->add_option("--columns", words->columns, "Cells of the surface along its longer side")
        ->check(CLI::Range(10, 10'000))
        ->capture_default_str();
    command->add_option("--limit", words->cells, "Densest cells to print")->capture_default_str();
    command->add_option("--to", words->to, "Cells as a GeoPackage: .gpkg, a new file");
    command->add_option("--raster", words->raster,
                        "The surface as a Cloud Optimized GeoTIFF: .tif");
    command->add_option("--picture", words->picture, "A map: .png, .svg or .pdf");
    command->add_flag("--with-partners", words->with_partners,
                      "Partners' nests too that were accepted as theirs; the title says how many");
    command->add_flag("--each-season", words->each_season, "The picture has a small map a season");
    command->add_option("--roads", words->roads, "Road file for the picture");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_option("--json", words->json, "Write JSON to this file; - for standard output");
    command->callback([words] { density(*words); });
}

}  // namespace nestround::commands
