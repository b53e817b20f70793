// nestround comb add | list | count | end
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <filesystem>
#include <iostream>
#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/outline_file.hpp"
#include "geocore/intake/picture_size.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/keep_comb.hpp"
#include "planner/app/plan_brood.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

namespace nestround::commands {

namespace {

/// How large the comb is: a diameter, or an outline on a photograph.
struct SizeWords {
    std::string diameter;
    std::string across;
    int combs = 1;
    std::string photo;
    std::vector<std::string> scale;  ///< x,y x,y length
    std::vector<std::string> outlines;
    std::string cell;
};

void add_size_options(CLI::App& command, SizeWords& words)
{
    command.add_option("--diameter", words.diameter, "Of the comb: 18cm, 7in");
    command.add_option("--across", words.across, "The other way, when it is not round");
    command.add_option("--combs", words.combs, "So many combs of that size")
        ->check(CLI::Range(1, 100));
    command.add_option("--photo", words.photo, "A photograph of the comb");
    command
        .add_option("--scale", words.scale,
                    "Two points on it and their distance: 120,80 920,85 10cm")
        ->expected(3);
    command.add_option(
        "--outline", words.outlines,
        "The comb's edge: a JSON, GeoJSON or SVG file, or \"120,80 400,95 380,300\"");
    command.add_option("--cell", words.cell, "Width of a cell across its flats: 4.8mm");
}

brood::PixelPoint point(const std::string& text)
{
    const auto line = intake::typed_outline(text);
    if (line.size() != 1) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--scale wants a point as 120,80, not '{}'", text)};
    }
    return {line[0].first, line[0].second};
}

std::optional<double> cell_mm(const SizeWords& words)
{
    if (words.cell.empty()) {
        return std::nullopt;
    }
    const double mm = length_option("cell", words.cell).value() * 1000;
    if (!(mm >= 2 && mm <= 20)) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--cell wants 2 to 20 mm, not '{}'", words.cell)};
    }
    return mm;
}

std::optional<std::pair<brood::CombArea, CellCount>> area_of(const SizeWords& words,
                                                             const nature::TaxaTable& taxa)
{
    if (!words.photo.empty()) {
        if (!words.diameter.empty()) {
            throw Failure{ErrorCode::BadUsage, "give --diameter or --photo, not both"};
        }
        if (words.scale.empty() || words.outlines.empty()) {
            throw Failure{ErrorCode::BadUsage,
                          "--photo wants --scale (two points and their distance) and --outline"};
        }
        const auto [width, height] = intake::picture_size(words.photo);
        std::vector<brood::Outline> outlines;
        for (const auto& text : words.outlines) {
            const bool typed = text.find_first_not_of("0123456789.,-+ \t") == std::string::npos;
            std::vector<intake::PixelLine> lines;
            if (typed) {
                lines.push_back(intake::typed_outline(text));
            } else {
                lines = intake::read_outlines(text, width, height);
            }
            for (const auto& line : lines) {
                brood::Outline outline;
                for (const auto& [x, y] : line) {
                    outline.push_back({x, y});
                }
                outlines.push_back(std::move(outline));
            }
        }
        const brood::PictureScale scale{point(words.scale[0]), point(words.scale[1]),
                                        length_option("scale", words.scale[2]).value() * 1000};
        return std::pair{value_or_throw(brood::area_of(outlines, scale, {width, height}, taxa)),
                         CellCount::Photograph};
    }
    if (!words.outlines.empty() || !words.scale.empty()) {
        throw Failure{ErrorCode::BadUsage, "--outline and --scale want --photo"};
    }
    if (words.diameter.empty()) {
        return std::nullopt;
    }
    const double along = length_option("diameter", words.diameter).value() * 100;
    const double across =
        words.across.empty() ? along : length_option("across", words.across).value() * 100;
    if (!(along > 0 && along <= 200 && across > 0 && across <= 200)) {
        throw Failure{ErrorCode::BadUsage, "--diameter and --across want above 0 and up to 2 m"};
    }
    return std::pair{brood::area_of(along, across, words.combs, taxa), CellCount::Area};
}

/// "2026-08-04", "today" at 18:00, or with a clock.
Instant moment(const std::string& on, const std::string& at, const std::string& zone)
{
    const Day day = day_option(on, zone);
    const auto clock = parse_clock(at);
    if (!clock) {
        throw Failure{ErrorCode::BadUsage, fmt::format("--at wants 18:00, not '{}'", at)};
    }
    return value_or_throw(intake::to_utc(day, *clock, zone));
}

struct AddWords {
    std::string book;
    std::string on = "today";
    std::string at = "18:00";
    std::string method = "hand";
    std::string holds = "everything";
    std::string species;
    std::string taxa;
    int eggs = 0, larvae = 0, sealed = 0, large = 0, empty = 0;
    std::vector<double> age;
    bool nurses = false;
    SizeWords size;
    app::CombEntry entry;
};

const std::vector<std::string> kHolds{"everything", "eggs",         "larvae",
                                      "sealed",     "sealed-large", "empty"};

void add(AddWords words, const CLI::App& command)
{
    auto book = book::Book::open(words.book);
    const auto preferences = preferences_with(book, words.taxa);
    const auto taxa = app::taxa_in_use(book, preferences);
    app::CombEntry& entry = words.entry;
    entry.at = moment(words.on, words.at, preferences.time_zone);
    if (entry.at > app::present()) {
        show_notes({"--on and --at lie in the future; taken as typed"});
    }
    entry.method = *work_method(words.method);
    if (!words.species.empty()) {
        const auto* taxon = taxa->recognise(words.species);
        if (taxon == nullptr) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("'{}' is no species of the taxa table", words.species)};
        }
        entry.taxon = taxon->code;
    }
    const auto counted = [&](const char* option, int value) {
        return command.count(option) != 0 ? std::optional{value} : std::nullopt;
    };
    entry.eggs = counted("--eggs", words.eggs);
    entry.larvae = counted("--larvae", words.larvae);
    entry.sealed = counted("--sealed", words.sealed);
    entry.sealed_large = counted("--sealed-large", words.large);
    entry.empty = counted("--empty", words.empty);
    if (!words.age.empty()) {
        entry.sealed_least = words.age[0];
        entry.sealed_most = words.age[1];
    }
    if (words.nurses) {
        entry.nurses = true;
    }
    if (const auto area = area_of(words.size, *taxa)) {
        entry.area = area->first;
        entry.area_by = area->second;
    }
    entry.cell_mm = cell_mm(words.size);
    entry.holds = static_cast<app::AreaHolds>(std::find(kHolds.begin(), kHolds.end(), words.holds) -
                                              kHolds.begin());
    app::KeyMaker keys;
    const auto kept = app::add_comb(book, preferences, entry, app::present(), keys);
    show_notes(kept.notes);
    const auto& p = kept.piece;
    std::cout << fmt::format(
        "comb {} from {} stands in {}: {} sealed worker cells, {} sealed large, {} larvae, {} "
        "eggs, "
        "{} empty{}{}\n",
        book::short_key(p.id.uuid()), kept.place, p.habitat, p.sealed_small.value_or(0),
        p.sealed_large.value_or(0), p.larvae.value_or(0), p.eggs.value_or(0), p.empty.value_or(0),
        p.doubt > 0 ? fmt::format("; give or take {:.0f} %", 100 * p.doubt) : std::string{},
        kept.visit_added ? "; the visit was recorded too" : "");
    const auto room = app::room_on(book, preferences, day_option(words.on, preferences.time_zone));
    if (const auto left = room.combs_left()) {
        std::cout << (room.is_full() ? std::string{"the room for comb is full\n"}
                                     : fmt::format("room for {} more\n", *left));
    }
}

struct CountWords {
    std::string book;
    std::string species;
    SizeWords size;
};

void count(const CountWords& words)
{
    const auto& taxa = nature::standard_taxa();
    std::string code;
    if (!words.species.empty()) {
        const auto* taxon = taxa.recognise(words.species);
        if (taxon == nullptr) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("'{}' is no species of the taxa table", words.species)};
        }
        code = taxon->code;
    }
    const auto area = area_of(words.size, taxa);
    if (!area) {
        throw Failure{ErrorCode::BadUsage,
                      "give --diameter, or --photo with --scale and --outline"};
    }
    const auto cells = brood::cells_on(area->first, cell_mm(words.size), taxa, code);
    constexpr double kOuterTenth = 1.2816;
    std::cout << fmt::format("{:.1f} cm2, about {:.0f} cells ({:.0f} to {:.0f})\n", area->first.cm2,
                             cells.cells, cells.cells * std::exp(-kOuterTenth * cells.doubt),
                             cells.cells * std::exp(kOuterTenth * cells.doubt));
}

void list(const std::string& path, bool all)
{
    const auto book = book::Book::open(path, book::Mode::ReadOnly);
    const auto zone = app::preferences(book.settings()).time_zone;
    bool any = false;
    for (const auto& piece : book.all_comb()) {
        if (piece.stands_to && !all) {
            continue;
        }
        any = true;
        const auto visit = book.visit(piece.visit);
        const auto nest = visit ? book.nest(visit->nest) : std::nullopt;
        const auto site = nest ? book.site(nest->site) : std::nullopt;
        const auto from = piece.stands_from.value_or(visit ? visit->begun : Instant{});
        int workers = 0;
        int reproductives = 0;
        const auto collections = book.collections(piece.id);
        for (const auto& one : collections) {
            workers += one.workers.value_or(0);
            reproductives += one.reproductives.value_or(0);
        }
        const auto local = intake::to_local(from, zone);
        std::cout << fmt::format(
            "{}  {}  {}  {}: sealed {} + {}, larvae {}, eggs {} ({}); came {} + {} in {}{}\n",
            book::short_key(piece.id.uuid()), local ? format_day(local->day) : std::string{"?"},
            piece.habitat.empty() ? "no habitat" : piece.habitat,
            site ? site->label : std::string{"?"}, piece.sealed_small.value_or(0),
            piece.sealed_large.value_or(0), piece.larvae.value_or(0), piece.eggs.value_or(0),
            text(piece.counted), workers, reproductives, collections.size(),
            piece.stands_to ? "; taken out" : "");
    }
    if (!any) {
        std::cout << "no comb stands; enter one with: nestround comb add\n";
    }
}

struct EndWords {
    std::string book;
    std::string comb;
    std::string on = "today";
    std::string at = "18:00";
};

void end(const EndWords& words)
{
    auto book = book::Book::open(words.book);
    const auto zone = app::preferences(book.settings()).time_zone;
    const auto piece = app::find_comb(book, words.comb);
    app::end_comb(book, piece, moment(words.on, words.at, zone), app::present());
    std::cout << fmt::format("comb {} taken out of {}\n", book::short_key(piece.id.uuid()),
                             piece.habitat);
}

}  // namespace

void add_comb(CLI::App& app)
{
    auto* group = app.add_subcommand("comb", "Comb that came home alive");
    group->require_subcommand(1);

    auto* one = group->add_subcommand("add", "Enter comb and what is in its cells");
    const auto words = std::make_shared<AddWords>();
    one->add_option("book", words->book, "The book")->required();
    one->add_option("--call", words->entry.call, "Key of the call whose nest it came from")
        ->required();
    one->add_option("--habitat", words->entry.habitat, "Where it stands now")->required();
    one->add_option("--on", words->on, "Day: 2026-08-04, today")->capture_default_str();
    one->add_option("--at", words->at, "Time of day")->capture_default_str();
    const auto cells = [&](const char* option, int& value, const char* help) {
        one->add_option(option, value, help)->check(CLI::Range(0, 1000000));
    };
    cells("--eggs", words->eggs, "Cells with an egg");
    cells("--larvae", words->larvae, "Cells with an open larva");
    cells("--sealed", words->sealed, "Sealed worker cells");
    cells("--sealed-large", words->large, "Sealed large cells, of queens and males");
    cells("--empty", words->empty, "Empty cells");
    one->add_flag("--estimated", words->entry.estimated, "By eye, not counted");
    one->add_option("--sealed-age", words->age,
                    "Days since the last and since the first of it was sealed, when known: 2 9")
        ->expected(2)
        ->check(CLI::Range(0.0, 60.0));
    one->add_flag("--nurses", words->nurses, "Workers were left on the comb");
    one->add_option("--species", words->species, "When the nest has no name yet");
    one->add_option("--method", words->method, "How the nest was worked, when no visit is there")
        ->check(CLI::IsMember({"hand", "ground_pole", "ladder", "pole_then_ladder"}));
    add_size_options(*one, words->size);
    one->add_option("--outlined", words->holds, "What the outline or diameter encloses")
        ->check(CLI::IsMember(kHolds));
    one->add_option("--note", words->entry.note, "Anything else");
    one->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    one->callback([words, one] { add(*words, *one); });

    auto* measure = group->add_subcommand("count", "Cells of a comb from its size; writes nothing");
    const auto count_words = std::make_shared<CountWords>();
    measure->add_option("--species", count_words->species, "Code or name");
    add_size_options(*measure, count_words->size);
    measure->callback([count_words] { count(*count_words); });

    auto* all = group->add_subcommand("list", "The comb that stands");
    const auto book = std::make_shared<std::string>();
    const auto every = std::make_shared<bool>(false);
    all->add_option("book", *book, "The book")->required();
    all->add_flag("--all", *every, "What was taken out too");
    all->callback([book, every] { list(*book, *every); });

    auto* over = group->add_subcommand("end", "Comb was taken out and its habitat cleaned");
    const auto end_words = std::make_shared<EndWords>();
    over->add_option("book", end_words->book, "The book")->required();
    over->add_option("comb", end_words->comb, "Its key")->required();
    over->add_option("--on", end_words->on, "Day")->capture_default_str();
    over->add_option("--at", end_words->at, "Time of day")->capture_default_str();
    over->callback([end_words] { end(*end_words); });
}

}  // namespace nestround::commands
