// nestround call add | import | list
#include <CLI/CLI.hpp>
#include <charconv>
#include <filesystem>
#include <iostream>
#include <optional>

#include "geocore/base/error.hpp"
#include "geocore/intake/calls.hpp"
#include "geocore/intake/road_file.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/find_place.hpp"
#include "planner/app/import_calls.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/address_book.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"

#include <fmt/format.h>

namespace nestround::commands {

namespace {

std::optional<std::string> taxon_code(const nature::TaxaTable& taxa, std::string_view text)
{
    const auto* taxon = taxa.recognise(text);
    return taxon == nullptr ? std::nullopt : std::optional{taxon->code};
}

/// The network's snapper, when a road file is named or set and there.
struct RoadCheck {
    RoadCheck(const book::Book& book, const app::Preferences& preferences,
              const std::string& option)
    {
        const auto path = roads_path(book, preferences, option);
        // A road file that is only set may not be built yet; one that is typed must be there.
        if (!path.empty() && (!option.empty() || std::filesystem::exists(path))) {
            network = intake::load_roads(path);
            snapper.emplace(network);
        }
    }
    [[nodiscard]] const roads::Snapper* get() const { return snapper ? &*snapper : nullptr; }

    std::shared_ptr<const roads::RoadNetwork> network;
    std::optional<roads::Snapper> snapper;
};

struct ImportWords {
    std::string book;
    std::string file;
    std::string layer;
    std::string crs;
    std::string places;
    std::string roads;
    std::string taxa;
    bool all_or_none = false;
};

void import_file(const ImportWords& words)
{
    // The settings first, then the file, then the change: the file must not be read while the book
    // is held, should somebody name the book itself.
    std::optional before{book::Book::open(words.book, book::Mode::ReadOnly)};
    const auto settings = before->settings();
    const auto preferences = preferences_with(*before, words.taxa);
    const auto taxa = app::taxa_in_use(*before, preferences);
    const AddressBook addresses{*before, preferences, words.places};
    before.reset();
    auto mapping = intake::call_mapping(settings);
    if (!words.layer.empty()) {
        mapping.layer = words.layer;
    }
    if (!words.crs.empty()) {
        mapping.crs = words.crs;
    }
    mapping.received = day_option("today", preferences.time_zone);
    mapping.taxon = [taxa](std::string_view text) { return taxon_code(*taxa, text); };
    if (addresses.sources.places != nullptr) {
        mapping.address = [&](const std::string& text) -> Result<intake::AddressPlace> {
            auto found = app::place_of(text, addresses.sources);
            if (!found) {
                return tl::unexpected{found.error()};
            }
            return intake::AddressPlace{found->at, found->uncertainty,
                                        app::how_found(*found, text)};
        };
    }
    auto batch = intake::read_calls(words.file, mapping);
    show_notes(batch.notes);

    auto book = book::Book::open(words.book);
    const RoadCheck check{book, preferences, words.roads};
    app::KeyMaker keys;
    app::ImportOptions options;
    options.all_or_none = words.all_or_none;
    options.snapper = check.get();
    const auto tally = app::import_calls(book, std::move(batch), app::present(), keys, options);
    show_refused(words.file, tally.refused);
    show_notes(tally.flags);
    std::cout << fmt::format("{} calls added, {} already in the book, {} refused\n", tally.added,
                             tally.known, tally.refused.size());
    if (tally.added + tally.known == 0 && !tally.refused.empty()) {
        throw Failure{ErrorCode::InvalidInput, "no row could be taken; the reasons are above",
                      words.file};
    }
}

struct AddWords {
    std::string book;
    std::string at;
    std::string label;
    std::string address;
    std::string received = "today";
    std::string species;
    std::string kind = "unknown";
    std::string height;
    std::string width;
    std::string length;
    std::string set_back;
    std::string step;
    std::optional<double> slope;
    std::string structure = "unknown";
    std::string power_lines = "unknown";
    std::string power_line;
    std::string first_seen;
    std::string entrance;
    bool near_door = false;
    bool allergic = false;
    bool insecticide = false;
    bool must = false;
    std::vector<std::string> hours;
    std::string not_before;
    std::string not_after;
    std::string ladder = "unknown";
    std::string client_name;
    std::string client_phone;
    std::string note;
    std::string second_after;
    std::optional<int> second_min;
    std::string places;
    std::string roads;
    std::string taxa;
};

/// "4h", "90min", "90": from the end of the first visit to the second.
std::chrono::minutes wait_option(const char* option, const std::string& text)
{
    int number = 0;
    const auto* end = text.data() + text.size();
    const auto [at, error] = std::from_chars(text.data(), end, number);
    const std::string_view unit{at, static_cast<std::size_t>(end - at)};
    const bool hours = unit == "h";
    if (error != std::errc{} || !(hours || unit.empty() || unit == "min") || number < 0 ||
        number > (hours ? 24 : 1440)) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("{}: '{}' is no time of up to a day; write 4h "
                                  "or 240min",
                                  option, text)};
    }
    return std::chrono::minutes{hours ? 60 * number : number};
}

intake::CallRow typed_row(const AddWords& words, const app::Preferences& preferences,
                          const nature::TaxaTable& taxa, const app::FoundPlace& found)
{
    intake::CallRow row;
    row.row = 1;
    auto& [call, nest, site] = row.sheet;
    site.place = found.at;
    site.place_uncertainty = found.uncertainty;
    if (site.place_uncertainty && !(site.place_uncertainty->value() > 0)) {
        site.place_uncertainty.reset();
    }
    site.label = words.label;
    site.address = words.address;
    if (found.uncertainty) {
        site.note = app::how_found(found, words.at);
    }
    const bool by_address = found.how == text(gazetteer::Found::House) ||
                            found.how == text(gazetteer::Found::FilledIn) ||
                            found.how == text(gazetteer::Found::Street);
    if (by_address && site.address.empty()) {
        site.address = found.shown;
    }
    if (!words.species.empty() && words.species != "unknown") {
        const auto code = taxon_code(taxa, words.species);
        if (!code) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("--species: no taxon '{}' in the table; see 'nestround taxa "
                                      "list', or leave it out when unknown",
                                      words.species)};
        }
        nest.taxon = *code;
    }
    nest.kind = *nest_kind(words.kind);
    const auto metres = [](const char* option, const std::string& text, double low, double high) {
        std::optional<Metres> value;
        if (!text.empty()) {
            value = length_option(option, text);
            if (!(value->value() >= low && value->value() <= high)) {
                throw Failure{ErrorCode::InvalidInput,
                              fmt::format("--{} of {:g} m is not between {:g} and {:g} m", option,
                                          value->value(), low, high)};
            }
        }
        return value;
    };
    nest.height = metres("height", words.height, -2, 60);
    nest.width = metres("width", words.width, 0, 5);
    nest.length = metres("length", words.length, 0, 5);
    nest.ground.set_back = metres("set-back", words.set_back, 0, 20);
    nest.ground.step = metres("step", words.step, -10, 10);
    nest.ground.slope_degrees = words.slope;
    nest.ground.structure = *structure(words.structure);
    nest.ground.power_line_distance = metres("power-line", words.power_line, 0, 200);
    nest.ground.power_lines =
        nest.ground.power_line_distance ? PowerLines::Near : *power_lines(words.power_lines);
    const auto day = [&](const std::string& text) {
        return text.empty() ? std::optional<Day>{}
                            : std::optional{day_option(text, preferences.time_zone)};
    };
    nest.first_seen = day(words.first_seen);
    nest.entrance = words.entrance;
    nest.insecticide = words.insecticide;
    call.received = day_option(words.received, preferences.time_zone);
    for (const auto& span : words.hours) {
        call.allowed.push_back(value_or_throw(parse_clock_span(span)));
    }
    call.not_before = day(words.not_before);
    call.not_after = day(words.not_after);
    call.ladder = *ladder_permission(words.ladder);
    call.near_door = words.near_door;
    call.allergic = words.allergic;
    call.must_take = words.must;
    call.note = words.note;
    if (!words.second_after.empty()) {
        call.second.after = wait_option("--second-visit-after", words.second_after);
    }
    if (words.second_min) {
        if (!call.second.after) {
            throw Failure{ErrorCode::InvalidInput,
                          "--second-visit-min: say with --second-visit-after when it is wanted"};
        }
        call.second.length = std::chrono::minutes{*words.second_min};
    }
    if (!words.client_name.empty() || !words.client_phone.empty()) {
        Client client;
        client.name = words.client_name;
        client.phone = words.client_phone;
        row.client = client;
    }
    return row;
}

void add_one(const AddWords& words)
{
    auto book = book::Book::open(words.book);
    const auto preferences = preferences_with(book, words.taxa);
    const auto taxa = app::taxa_in_use(book, preferences);
    const RoadCheck check{book, preferences, words.roads};
    intake::CallBatch batch;
    batch.file = "call";
    const AddressBook addresses{book, preferences, words.places};
    const auto found = app::place_of(words.at, addresses.sources);
    if (!found) {
        throw Failure{found.error().code, "--at " + found.error().message};
    }
    batch.rows.push_back(typed_row(words, preferences, *taxa, *found));
    if (check.get() != nullptr) {
        const auto stop = check.get()->snap(batch.rows.front().sheet.site.place);
        if (!stop) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("--at {}: {}; is it in the water, or are latitude and "
                                      "longitude swapped?",
                                      words.at, stop.error().message)};
        }
    }
    const std::string note = batch.rows.front().sheet.site.note;
    app::KeyMaker keys;
    const auto tally = app::import_calls(book, std::move(batch), app::present(), keys);
    std::cout << fmt::format("{} call added\n", tally.added);
    if (!note.empty()) {
        std::cout << note << '\n';
    }
}

void list(const std::string& path, const std::string& on)
{
    const auto book = book::Book::open(path, book::Mode::ReadOnly);
    const auto preferences = app::preferences(book.settings());
    const auto sheets = book.waiting_calls(day_option(on, preferences.time_zone));
    for (const auto& sheet : sheets) {
        std::cout << fmt::format(
            "{}  {}  {:<8}  {:<4}  {}\n", book::short_key(sheet.call.id.uuid()),
            format_day(sheet.call.received), text(sheet.nest.kind),
            sheet.nest.taxon.empty() ? "?" : sheet.nest.taxon, sheet.site.label);
    }
    std::cout << fmt::format("{} calls are waiting\n", sheets.size());
}

void add_second_options(CLI::App& command, std::string& after, std::optional<int>& length)
{
    command.add_option("--second-visit-after", after,
                       "A second visit the same day, so long after the first: 4h, 240min");
    command.add_option("--second-visit-min", length, "Minutes of work of the second visit")
        ->check(CLI::Range(1, 720));
}

/// "2026-08-05", "tomorrow 19:30": a local day and clock time; the day alone is its beginning.
Instant due_option(const std::string& text, const std::string& zone)
{
    const auto gap = text.find(' ');
    const Day day = day_option(text.substr(0, gap), zone);
    const ClockTime at =
        gap == std::string::npos ? ClockTime{} : value_or_throw(parse_clock(text.substr(gap + 1)));
    if (at.since_midnight() >= std::chrono::hours{24}) {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("--due: '{}' has no clock time of a day; write 2026-08-05 19:30", text)};
    }
    return value_or_throw(intake::to_utc(day, at, zone));
}

struct SecondWords {
    std::string book;
    std::string call;
    std::string after;
    std::optional<int> length;
    std::string due;
    bool none = false;
};

void set_second(const SecondWords& words)
{
    auto book = book::Book::open(words.book);
    const auto preferences = app::preferences(book.settings());
    const auto sheet = book.call(book.find_call(words.call));
    Call call = sheet->call;
    SecondVisit second = call.second;
    if (words.none) {
        second = {};
    }
    if (!words.after.empty()) {
        second.after = wait_option("--after", words.after);
    }
    if (words.length) {
        second.length = std::chrono::minutes{*words.length};
    }
    if (!words.due.empty()) {
        second.due = due_option(words.due, preferences.time_zone);
    }
    const bool is_due = !words.due.empty();
    if (call.state == CallState::GivenUp || (call.state == CallState::Taken && !is_due)) {
        throw Failure{ErrorCode::RuleBroken,
                      fmt::format("the call was {}; --due DAY asks for a second visit after a "
                                  "first one",
                                  text(call.state))};
    }
    if (!words.none && !second.is_wanted()) {
        throw Failure{ErrorCode::InvalidInput,
                      "say when the second visit is wanted: --after 4h, --due DAY, or --none"};
    }
    call.second = second;
    if (is_due && call.state == CallState::Taken) {
        call.state = CallState::Waiting;
        call.closed.reset();
    }
    book::Change change{book, app::present()};
    change.update(call);
    change.commit();
    std::cout << fmt::format("{}: {}\n", book::short_key(call.id.uuid()),
                             second.due     ? "a second visit is due"
                             : second.after ? "a second visit is asked for"
                                            : "no second visit is asked for");
}

void add_second(CLI::App& call)
{
    auto* command = call.add_subcommand(
        "second-visit", "Ask for a second visit, for the wasps that were away at the first");
    const auto words = std::make_shared<SecondWords>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("call", words->call, "The call, by key")->required();
    auto* after = command->add_option("--after", words->after,
                                      "The same day, so long after the first: 4h, 240min");
    command->add_option("--min", words->length, "Minutes of work")->check(CLI::Range(1, 720));
    auto* due =
        command->add_option("--due", words->due,
                            "The first was made; the second may begin from then: DAY or DAY HH:MM");
    command->add_flag("--none", words->none, "No second visit")->excludes(after)->excludes(due);
    command->callback([words] { set_second(*words); });
}

void add_import(CLI::App& call)
{
    auto* command = call.add_subcommand(
        "import", "Take calls from a table or layer: CSV, GeoJSON, GeoPackage, shapefile, ...");
    const auto words = std::make_shared<ImportWords>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("file", words->file, "The list of calls")->required();
    command->add_option("--layer", words->layer, "Layer of a file with several");
    command->add_option("--crs", words->crs, "Coordinate system of a file that names none");
    command->add_option("--roads", words->roads,
                        "Road file, to refuse places that no road is near");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_option("--places", words->places,
                        "File of places, for rows with an address and no coordinates");
    command->add_flag("--all-or-none", words->all_or_none, "Take nothing when any row is refused");
    command->callback([words] { import_file(*words); });
}

void add_add(CLI::App& call)
{
    auto* command = call.add_subcommand("add", "Take one call");
    const auto words = std::make_shared<AddWords>();
    command->add_option("book", words->book, "The book")->required();
    command
        ->add_option("--at", words->at,
                     "Coordinates, a plus code, or an address: \"12 Mill Lane, Ostford\"")
        ->required();
    command->add_option("--label", words->label, "How the crew names the place")->required();
    command->add_option("--address", words->address, "Kept private");
    command->add_option("--received", words->received, "Day of the call")->capture_default_str();
    command->add_option("--species", words->species, "Code or name; leave out when unknown");
    command->add_option("--kind", words->kind, "Where it nests")
        ->check(CLI::IsMember({"aerial", "ground", "void", "unknown"}));
    command->add_option("--height", words->height, "Above where one stands: 4.5m, 15ft");
    command->add_option("--width", words->width, "Of the nest: 30cm, 12in");
    command->add_option("--length", words->length, "Of the nest, top to bottom");
    command->add_option("--set-back", words->set_back,
                        "From below the nest to where a foot can first stand: 1.5m, 5ft");
    command->add_option("--step", words->step,
                        "By which the ground inside the set-back lies above where one stands");
    command
        ->add_option("--slope", words->slope,
                     "Degrees by which the ground falls away from the wall; negative: rises")
        ->check(CLI::Range(-60.0, 60.0));
    command->add_option("--structure", words->structure, "What it hangs on")
        ->check(CLI::IsMember(
            {"gable", "soffit", "wall", "tree", "ground", "void", "other", "unknown"}));
    command->add_option("--power-lines", words->power_lines, "Whether lines are near")
        ->check(CLI::IsMember({"near", "none_seen", "unknown"}));
    command->add_option("--power-line", words->power_line, "From the nest to the nearest line");
    command->add_option("--first-seen", words->first_seen, "Day");
    command->add_option("--entrance", words->entrance, "Where they fly in");
    command->add_flag("--near-door", words->near_door, "Near a door or window in use");
    command->add_flag("--allergic", words->allergic, "Someone allergic to stings is there");
    command->add_flag("--insecticide", words->insecticide, "Poison was used on it");
    command->add_flag("--must", words->must, "Promised: it is taken on its day");
    command->add_option("--hours", words->hours, "Allowed hours, as 08:00-12:00; may be repeated");
    command->add_option("--not-before", words->not_before, "First day that suits");
    command->add_option("--not-after", words->not_after, "Last day that suits");
    add_second_options(*command, words->second_after, words->second_min);
    command->add_option("--ladder", words->ladder, "Permission for a ladder at the house")
        ->check(CLI::IsMember({"given", "refused", "unknown"}));
    command->add_option("--client-name", words->client_name, "Kept private");
    command->add_option("--client-phone", words->client_phone, "Kept private");
    command->add_option("--note", words->note, "Free text");
    command->add_option("--roads", words->roads, "Road file, to check that a road is near");
    command->add_option("--places", words->places, "File of places, to find addresses");
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->callback([words] { add_one(*words); });
}

}  // namespace

void add_call(CLI::App& app)
{
    auto* call = app.add_subcommand("call", "The calls that wait");
    call->require_subcommand(1);
    add_add(*call);
    add_second(*call);
    add_import(*call);
    auto* listing = call->add_subcommand("list", "Waiting calls, oldest first");
    const auto book = std::make_shared<std::string>();
    const auto on = std::make_shared<std::string>("today");
    listing->add_option("book", *book, "The book")->required();
    listing->add_option("--on", *on, "Day")->capture_default_str();
    listing->callback([book, on] { list(*book, *on); });
}

}  // namespace nestround::commands
