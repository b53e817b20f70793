// nestround access
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <charconv>
#include <iostream>
#include <memory>
#include <string>
#include <vector>

#include "planner/access/reach.hpp"
#include "planner/access/set_up.hpp"
#include "planner/app/access_nest.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/access_text.hpp"
#include "planner/sheets/hold_sheet.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string call;
    std::string crew;
    std::string height;
    std::string set_back;
    std::string step;
    double slope = 0;
    std::string size;
    std::string structure = "unknown";
    std::string kind = "unknown";
    std::string power_lines = "unknown";
    std::string power_line;
    std::vector<std::string> poles;
    std::vector<std::string> ladders;
    double person_and_kit = 0;
    bool ladder_refused = false;
    bool us = false;
    std::string drawing;
    std::string json;
};

std::vector<std::string> parts_of(const std::string& text)
{
    std::vector<std::string> parts{""};
    for (const char c : text) {
        if (c == ':') {
            parts.emplace_back();
        } else {
            parts.back() += c;
        }
    }
    return parts;
}

/// "136", "136kg", "300lb"; a bare number is kilograms.
Grams mass_of(const std::string& option, const std::string& text)
{
    double value = 0;
    const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), value);
    const std::string unit{end, text.data() + text.size()};
    if (code == std::errc{} && value > 0 && value < 1e4) {
        if (unit.empty() || unit == "kg") {
            return Grams{value * 1000};
        }
        if (unit == "lb") {
            return Grams{value * 453.59237};
        }
    }
    throw Failure{ErrorCode::BadUsage,
                  fmt::format("--{} wants a mass such as 136kg or 300lb, not '{}'", option, text)};
}

Metres gear_length(const std::string& option, const std::string& text)
{
    const Metres length = length_option(option, text);
    if (!(length.value() > 0 && length.value() <= 30)) {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("--{} of {:g} m is not between 0 and 30 m", option, length.value())};
    }
    return length;
}

Gear pole_of(const std::string& text)
{
    const auto parts = parts_of(text);
    Gear gear;
    gear.kind = GearKind::Pole;
    gear.length = gear_length("pole", parts[0]);
    gear.label = "pole " + parts[0];
    if (parts.size() > 1 && !parts[1].empty()) {
        gear.mass = mass_of("pole", parts[1]);
    }
    return gear;
}

Gear ladder_of(const std::string& text)
{
    const auto parts = parts_of(text);
    Gear gear;
    gear.kind = GearKind::Ladder;
    gear.length = gear_length("ladder", parts[0]);
    gear.label = "ladder " + parts[0];
    if (parts.size() > 1 && !parts[1].empty()) {
        gear.load_rating = mass_of("ladder", parts[1]);
    }
    if (parts.size() > 2) {
        const auto type = ladder_type(parts[2]);
        if (!type) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("--ladder wants SIZE[:RATING[:TYPE]] with the type single, "
                                      "extension or step, not '{}'",
                                      parts[2])};
        }
        gear.ladder_type = *type;
    }
    return gear;
}

Nest typed_nest(const Words& words)
{
    Nest nest;
    if (words.height.empty()) {
        throw Failure{ErrorCode::BadUsage,
                      "name a book and --call KEY, or give --height and the gear by hand: "
                      "--height 8.7m --pole 7m --ladder 8.53m:136"};
    }
    nest.height = length_option("height", words.height);
    if (!(nest.height->value() >= -10 && nest.height->value() <= 150)) {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("--height of {:g} m is not between -10 and 150 m", nest.height->value())};
    }
    nest.kind = *nest_kind(words.kind);
    if (!words.size.empty()) {
        nest.width = nest.length = length_option("size", words.size);
    }
    if (!words.set_back.empty()) {
        nest.ground.set_back = length_option("set-back", words.set_back);
    }
    if (!words.step.empty()) {
        nest.ground.step = length_option("step", words.step);
    }
    nest.ground.slope_degrees = words.slope;
    nest.ground.structure = *structure(words.structure);
    nest.ground.power_lines = *power_lines(words.power_lines);
    if (!words.power_line.empty()) {
        nest.ground.power_lines = PowerLines::Near;
        nest.ground.power_line_distance = length_option("power-line", words.power_line);
    }
    if (const auto place = access::work_place(nest); !place) {
        throw Failure{place.error()};
    }
    return nest;
}

void show(const Words& words, const sheets::AccessPage& page,
          const std::vector<access::MethodTime>& times, const sheets::TextOptions& options,
          const std::string& drawing)
{
    if (words.json == "-") {
        std::cout << sheets::access_json(page);
    } else {
        std::cout << sheets::access_text(page, times, options);
    }
    if (!words.json.empty() && words.json != "-") {
        sheets::write_file(words.json, sheets::access_json(page));
    }
    if (!drawing.empty()) {
        sheets::write_file(
            drawing, sheets::access_drawing(page, sheets::picture_format(drawing), options.units));
    }
}

void from_words(const Words& words)
{
    const Nest nest = typed_nest(words);
    std::vector<Gear> gear;
    for (const auto& pole : words.poles) {
        gear.push_back(pole_of(pole));
    }
    for (const auto& ladder : words.ladders) {
        gear.push_back(ladder_of(ladder));
    }
    access::AccessSettings settings;
    if (words.person_and_kit > 0) {
        settings.climber = Grams{words.person_and_kit * 1000};
    }
    Call call;
    call.ladder = words.ladder_refused ? LadderPermission::Refused : LadderPermission::Unknown;
    app::Preferences preferences;
    preferences.us_units = words.us;
    show(words, {access::reach(nest, call, gear, settings), nest, "", ""}, {},
         text_options(preferences), words.drawing);
}

void from_book(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    auto preferences = app::preferences(book.settings());
    preferences.us_units |= words.us;
    const auto found = app::access_nest(book, preferences.access, words.call, words.crew);
    if (!words.drawing.empty() && found.crews.size() > 1) {
        throw Failure{ErrorCode::BadUsage,
                      "a drawing shows one crew's set-up: name it with --crew NAME"};
    }
    for (const auto& each : found.crews) {
        const bool last = &each == &found.crews.back();
        show(words, {each.plan, each.sheet.nest, sheets::place_name(each.sheet), each.crew},
             last ? found.times : std::vector<access::MethodTime>{}, text_options(preferences),
             words.drawing);
        if (!last) {
            std::cout << '\n';
        }
    }
}

void run(const Words& words)
{
    if (!words.drawing.empty()) {
        (void)sheets::picture_format(words.drawing);  // refuse a wrong name before any work
    }
    if (words.book.empty() != words.call.empty()) {
        throw Failure{ErrorCode::BadUsage,
                      words.book.empty() ? "--call wants a book before it"
                                         : "name the call: --call KEY; see: nestround call list"};
    }
    words.book.empty() ? from_words(words) : from_book(words);
}

}  // namespace

void add_access(CLI::App& app)
{
    auto* command = app.add_subcommand(
        "access", "How a nest is reached: from the ground first, a ladder for the shortest time");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book; without one, describe the nest below");
    command->add_option("--call", words->call, "Key of the call");
    command->add_option("--crew", words->crew, "Only this crew");
    command->add_option("--height", words->height, "Of the nest above the lowest standing place");
    command->add_option("--set-back", words->set_back,
                        "From below the nest to where a foot can first stand");
    command->add_option("--step", words->step,
                        "By which the ground inside the set-back lies above where one stands");
    command->add_option("--slope", words->slope,
                        "Degrees by which the ground falls away from the wall");
    command->add_option("--size", words->size, "Of the nest, for the drawing");
    command->add_option("--structure", words->structure, "What it hangs on")
        ->check(CLI::IsMember(
            {"gable", "soffit", "wall", "tree", "ground", "void", "other", "unknown"}));
    command->add_option("--kind", words->kind, "Where it nests")
        ->check(CLI::IsMember({"aerial", "ground", "void", "unknown"}));
    command->add_option("--power-lines", words->power_lines, "Whether lines are near")
        ->check(CLI::IsMember({"near", "none_seen", "unknown"}));
    command->add_option("--power-line", words->power_line, "From the nest to the nearest line");
    command->add_option("--pole", words->poles, "LENGTH[:MASS], as 7m:3kg; may be repeated");
    command->add_option("--ladder", words->ladders,
                        "SIZE[:RATING[:TYPE]], as 8.53m:136kg:extension; may be repeated");
    command
        ->add_option("--person-and-kit", words->person_and_kit,
                     "Kilograms on the ladder: person, suit, what is carried")
        ->check(CLI::Range(20.0, 400.0));
    command->add_flag("--ladder-refused", words->ladder_refused, "The client wants no ladder");
    command->add_flag("--us", words->us, "Feet and inches in words and drawing");
    command->add_option("--drawing", words->drawing,
                        "The set-up from the side: .png, .svg or .pdf");
    command->add_option("--json", words->json, "Write JSON to this file; - for standard output");
    command->callback([words] { run(*words); });
}

}  // namespace nestround::commands
