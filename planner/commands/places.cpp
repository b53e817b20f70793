// places build | info, and where: addresses, plus codes and coordinates into places.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <iostream>
#include <memory>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "geocore/intake/places.hpp"
#include "geocore/place/open_location_code.hpp"
#include "planner/app/build_places.hpp"
#include "planner/app/find_place.hpp"
#include "planner/commands/address_book.hpp"
#include "planner/commands/commands.hpp"

namespace nestround::commands {
namespace {

struct BuildWords {
    app::PlacesToBuild wish;
    bool json = false;
    std::string number;
    std::string street;
    std::string city;
    std::string postcode;
};

void build(BuildWords words)
{
    const auto name = [&](const char* ours, const std::string& theirs) {
        if (!theirs.empty()) {
            words.wish.columns.names[ours] = theirs;
        }
    };
    name("housenumber", words.number);
    name("street", words.street);
    name("city", words.city);
    name("postcode", words.postcode);
    const auto report = app::build_places(words.wish);
    if (words.json) {
        auto files = nlohmann::ordered_json::array();
        for (const auto& [file, rows] : report.files) {
            files.push_back({{"file", file}, {"rows", rows}});
        }
        const nlohmann::ordered_json all{
            {"written", words.wish.output},  {"settlements", report.settlements},
            {"streets", report.streets},     {"houses", report.houses},
            {"filled_in", report.filled_in}, {"left_out", report.left_out},
            {"known_twice", report.doubles}, {"files", std::move(files)}};
        std::cout << all.dump(2) << '\n';
        return;
    }
    std::cout << fmt::format(
        "{} settlements, {} streets, {} house numbers ({} of them filled in between others)\n",
        report.settlements, report.streets, report.houses, report.filled_in);
    if (report.left_out > 0) {
        std::cout << fmt::format(
            "left out: {} without street and settlement, or without a number\n", report.left_out);
    }
    if (report.files.size() > 1) {
        for (const auto& [file, rows] : report.files) {
            std::cout << fmt::format("{}: {} houses, streets and settlements read\n", file, rows);
        }
        std::cout << fmt::format("the same in several files: {}\n", report.doubles);
    }
    std::cout << "written: " << words.wish.output << '\n';
}

void info(const std::string& path)
{
    const gazetteer::PlaceFile places{path};
    std::cout << fmt::format("{} streets and settlements, {} house numbers\n", places.spot_count(),
                             places.house_count());
    if (!places.attribution().empty()) {
        std::cout << places.attribution() << '\n';
    }
}

struct WhereWords {
    std::string text;
    std::string book;
    std::string places;
    std::string near;
    std::size_t limit = 10;
    bool json = false;
    bool typing = false;
};

double rounded(double value, double step) { return std::round(value / step) * step; }

void print_json(const std::vector<app::FoundPlace>& places, const std::string& attribution)
{
    auto list = nlohmann::ordered_json::array();
    for (const auto& place : places) {
        nlohmann::ordered_json one;
        one["place"] = place.shown;
        one["lat"] = rounded(place.at.lat.value(), 1e-7);
        one["lon"] = rounded(place.at.lon.value(), 1e-7);
        one["found_as"] = place.how;
        one["exact"] = place.exact;
        if (place.uncertainty) {
            one["uncertainty_m"] = std::ceil(place.uncertainty->value());
        }
        if (place.away) {
            one["away_m"] = std::round(place.away->value());
        }
        if (!place.remark.empty()) {
            one["remark"] = place.remark;
        }
        if (const auto code = place::encode_plus_code(place.at)) {
            one["plus_code"] = *code;
        }
        list.push_back(std::move(one));
    }
    nlohmann::ordered_json all;
    all["places"] = std::move(list);
    if (!attribution.empty()) {
        all["attribution"] = attribution;
    }
    std::cout << all.dump(2) << '\n';
}

void print_text(const std::vector<app::FoundPlace>& places)
{
    for (const auto& place : places) {
        std::cout << fmt::format("{}\n    {:.6f}, {:.6f}  {}  {}", place.shown,
                                 place.at.lat.value(), place.at.lon.value(),
                                 place::encode_plus_code(place.at).value_or(""), place.how);
        if (place.uncertainty) {
            std::cout << fmt::format(", within {:.0f} m", std::ceil(place.uncertainty->value()));
        }
        if (place.away) {
            std::cout << fmt::format(", {:.1f} km away", place.away->value() / 1000);
        }
        std::cout << (place.remark.empty() ? "" : "; " + place.remark) << '\n';
    }
}

void where(const WhereWords& words)
{
    std::optional<gazetteer::PlaceFile> named;
    std::optional<AddressBook> addresses;
    app::PlaceSources sources;
    if (!words.book.empty()) {
        const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
        const auto preferences = app::preferences(book.settings());
        sources = addresses.emplace(book, preferences, words.places).sources;
    } else if (!words.places.empty()) {
        named.emplace(words.places);
        sources.places = &*named;
    }
    if (!words.near.empty()) {
        sources.near = value_or_throw(intake::parse_place(words.near));
    }
    sources.limit = words.limit;
    sources.typing = words.typing;
    const auto places = value_or_throw(app::find_places(words.text, sources));
    if (places.empty()) {
        throw Failure{ErrorCode::NotFound,
                      fmt::format("'{}' is not found; write it as the map does", words.text)};
    }
    if (words.json) {
        print_json(places, sources.places != nullptr ? sources.places->attribution() : "");
    } else {
        print_text(places);
    }
}

}  // namespace

void add_places(CLI::App& app)
{
    auto* places = app.add_subcommand("places", "The file that addresses are found in");
    places->require_subcommand(1);
    auto* building = places->add_subcommand(
        "build", "Make it from OpenStreetMap extracts or layers of addresses");
    const auto words = std::make_shared<BuildWords>();
    building->add_option("extracts", words->wish.inputs, "Extracts or point layers")->required();
    building->add_option("--to", words->wish.output, "File to write")->required();
    building->add_option("--layer", words->wish.columns.layer, "Layer of a file with several");
    building->add_option("--crs", words->wish.columns.crs, "Coordinate system when none is told");
    building->add_option("--number-column", words->number, "Column of house numbers");
    building->add_option("--street-column", words->street, "Column of streets");
    building->add_option("--city-column", words->city, "Column of towns");
    building->add_option("--postcode-column", words->postcode, "Column of postcodes");
    building->add_flag("--json", words->json, "What was read and left out, as JSON");
    building->add_option("--attribution", words->wish.attribution, "Instead of the source's own");
    building->callback([words] { build(*words); });
    auto* telling = places->add_subcommand("info", "What is in it");
    const auto path = std::make_shared<std::string>();
    telling->add_option("file", *path, "File of places")->required();
    telling->callback([path] { info(*path); });
}

void add_where(CLI::App& app)
{
    auto* command =
        app.add_subcommand("where", "Find an address, a plus code or coordinates in any notation");
    const auto words = std::make_shared<WhereWords>();
    command->add_option("place", words->text, "\"12 Mill Lane, Ostford\", \"87G8Q23G+2V\", ...")
        ->required();
    command->add_option("book,--book", words->book,
                        "Book whose setting places.file is used, near its first crew's depot");
    command->add_option("--places", words->places, "File of places; else the book's places.file");
    command->add_option("--near", words->near, "LAT,LON: equals go by distance from here");
    command->add_option("--limit", words->limit, "Most answers")->capture_default_str();
    command->add_flag("--typing", words->typing, "The last word may be unfinished");
    command->add_flag("--json", words->json, "As JSON");
    command->callback([words] { where(*words); });
}

}  // namespace nestround::commands
