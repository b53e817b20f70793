// nestround lot seal | list | loose | show | label | trace | move | correct | withdraw | recall |
// excursion | ship | papers
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <iostream>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/freezer_log.hpp"
#include "planner/access/parcel.hpp"
#include "planner/app/freezer.hpp"
#include "planner/app/orders.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/freezer/lot_code.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/family_tree.hpp"
#include "planner/sheets/label_sheet.hpp"
#include "planner/sheets/lot_papers.hpp"
#include "planner/sheets/lot_text.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string taxa;
    std::string who;
    std::string at;  ///< the moment; empty: now
    bool clock_is_right = false;

    app::SealWishes seal;
    std::string frozen;
    std::string method = "unknown";
    std::optional<double> mass;
    std::optional<double> foreign;
    bool other = false;

    std::vector<std::string> codes;
    std::string key;
    FreezerPlace place;
    std::string note;
    std::string field;
    std::string value;
    std::string why;

    std::string to;
    std::string label = "63x38";
    std::string sheet = "a4";
    std::string margin = "auto";
    std::string gap = "0x0";
    int skip = 0;
    bool outlines = false;
    std::string picture;

    std::string file;
    std::string limit;
    std::string zone;

    app::ShipWishes ship;
    std::string on = "today";
    std::optional<double> ice_kg;
    std::string by = "air";
    int packages = 1;
};

app::Hand hand_of(const Words& words)
{
    app::Hand hand;
    hand.who = words.who;
    hand.now = words.at.empty() ? app::present() : value_or_throw(parse_instant(words.at));
    hand.clock_is_right = words.clock_is_right;
    return hand;
}

/// "63x38" in millimetres.
std::pair<double, double> size_option(const std::string& option, const std::string& text)
{
    double width = 0;
    double height = 0;
    const char* end = text.data() + text.size();
    const auto first = std::from_chars(text.data(), end, width);
    if (first.ec == std::errc{} && first.ptr != end && *first.ptr == 'x') {
        const auto second = std::from_chars(first.ptr + 1, end, height);
        if (second.ec == std::errc{} && second.ptr == end && width >= 0 && height >= 0) {
            return {width, height};
        }
    }
    throw Failure{
        ErrorCode::BadUsage,
        fmt::format("{} wants width x height in millimetres, as 63x38, not '{}'", option, text)};
}

void seal(const Words& words)
{
    auto book = book::Book::open(words.book);
    const auto preferences = preferences_with(book, words.taxa);
    const auto taxa = app::taxa_in_use(book, preferences);
    auto wishes = words.seal;
    wishes.place = words.place;
    wishes.note = words.note;
    wishes.purpose = words.other ? LotPurpose::Other : LotPurpose::Venom;
    wishes.method = *freezing_method(words.method);
    if (words.mass) {
        wishes.mass = Grams{*words.mass};
    }
    if (words.foreign) {
        wishes.foreign = Grams{*words.foreign};
    }
    if (!words.frozen.empty()) {
        wishes.frozen = value_or_throw(parse_instant(words.frozen));
    }
    app::KeyMaker keys;
    const auto sealed = app::seal_lot(book, *taxa, wishes, hand_of(words), keys);
    show_notes(sealed.notes);
    const auto& lot = sealed.story.now;
    const auto& inside = sealed.story.ancestors;
    const auto catches = std::count_if(inside.begin(), inside.end(), [](const Ancestor& thing) {
        return thing.catch_id.has_value();
    });
    std::cout << fmt::format(
        "sealed lot {}: {:.1f} g of {} from {} catches and {} collections, {}\n", lot.code,
        lot.mass->value(), lot.taxon, catches, static_cast<std::ptrdiff_t>(inside.size()) - catches,
        freezer::whereabouts(sealed.story));
}

void list(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    std::cout << sheets::lot_list_text(app::all_lots(book));
}

void loose(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    std::cout << sheets::loose_text(book.loose());
}

std::string name_of(const nature::TaxaTable& taxa, const std::string& code)
{
    const auto* taxon = taxa.find(code);
    return taxon == nullptr ? code : taxon->name;
}

void show(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto taxa = app::taxa_in_use(book, preferences_with(book, words.taxa));
    const auto story = app::story_of(book, app::find_lot(book, words.key));
    std::cout << sheets::lot_text(story, name_of(*taxa, story.now.taxon));
}

void label(const Words& words)
{
    sheets::LabelSheet sheet;
    std::tie(sheet.label_width, sheet.label_height) = size_option("--label", words.label);
    std::tie(sheet.gap_x, sheet.gap_y) = size_option("--gap", words.gap);
    std::tie(sheet.page_width, sheet.page_height) = words.sheet == "a4" ? std::pair{210.0, 297.0}
                                                    : words.sheet == "letter"
                                                        ? std::pair{215.9, 279.4}
                                                        : size_option("--sheet", words.sheet);
    if (words.margin != "auto") {
        sheet.margin = size_option("--margin", words.margin);
    }
    sheet.skip = words.skip;
    sheet.outlines = words.outlines;
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto taxa = app::taxa_in_use(book, preferences_with(book, words.taxa));
    std::vector<sheets::LotLabel> labels;
    for (const auto& code : words.codes) {
        const auto story = app::story_of(book, app::find_lot(book, code));
        if (!story.card.lot.sealed_at) {
            throw Failure{ErrorCode::InvalidInput, "it is not sealed: seal it first",
                          "lot " + code};
        }
        if (story.card.withdrawn) {
            throw Failure{ErrorCode::InvalidInput, "it is withdrawn: it gets no label",
                          "lot " + code};
        }
        labels.push_back({story.now, name_of(*taxa, story.now.taxon)});
    }
    sheets::write_file(words.to, sheets::label_sheet_pdf(labels, sheet));
    std::cout << fmt::format("{}: {} {}, {} to a sheet of {} by {}\n", words.to, labels.size(),
                             labels.size() == 1 ? "label" : "labels",
                             sheets::columns_of(sheet) * sheets::rows_of(sheet),
                             sheets::columns_of(sheet), sheets::rows_of(sheet));
}

void trace(const Words& words)
{
    const auto format =
        words.picture.empty() ? sheets::MapFormat::Png : sheets::picture_format(words.picture);
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    std::vector<freezer::LotStory> lots;
    std::vector<Ancestor> loose;
    std::string title;
    // A lot's code, or whatever names a nest.
    if (book.lot_by_code(words.key) || freezer::read_lot_code(words.key)) {
        lots.push_back(app::story_of(book, app::find_lot(book, words.key)));
        title = "Lot " + lots.front().now.code;
        std::cout << sheets::trace_text(lots.front());
    } else {
        auto family = app::recall(book, words.key);
        title = "Nest " + freezer::tail(family.nests.front().uuid());
        lots = std::move(family.lots);
        loose = std::move(family.loose);
        for (auto& story : lots) {
            std::erase_if(story.ancestors, [&](const Ancestor& thing) {
                return thing.nest != family.nests.front();
            });
        }
        std::cout << sheets::nest_text(family.nests.front(), lots, loose);
    }
    if (!words.picture.empty()) {
        sheets::write_file(words.picture, sheets::family_tree_picture(title, lots, loose, format));
    }
}

void recall(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    std::cout << sheets::recall_text(app::recall(book, words.key));
}

void move(const Words& words)
{
    auto book = book::Book::open(words.book);
    app::KeyMaker keys;
    app::move_lots(book, words.codes, words.place, words.note, hand_of(words), keys);
    std::cout << fmt::format("{} {} now in {}\n", words.codes.size(),
                             words.codes.size() == 1 ? "lot lies" : "lots lie", words.place.text());
}

void correct(const Words& words, const std::string& field)
{
    auto book = book::Book::open(words.book);
    app::KeyMaker keys;
    const auto made =
        app::correct_lot(book, words.key, field, words.value, words.why, hand_of(words), keys);
    std::cout << (field == "withdrawn" ? fmt::format("lot {} is withdrawn\n", words.key)
                                       : fmt::format("lot {}: {} was '{}', is '{}'\n", words.key,
                                                     made.field, made.was, made.becomes));
}

void excursion(const Words& words)
{
    auto book = book::Book::open(words.book);
    const auto preferences = preferences_with(book, words.taxa);
    const auto log = intake::read_freezer_log(
        words.file, words.zone.empty() ? preferences.time_zone : words.zone);
    show_notes(log.notes);
    show_refused(words.file, log.refused);
    std::vector<freezer::LoggerReading> readings;
    for (const auto& reading : log.readings) {
        readings.push_back({reading.at, reading.temperature});
    }
    app::KeyMaker keys;
    const auto entered = app::enter_excursions(
        book, readings, {words.place, celsius_option("--limit", words.limit), words.note},
        hand_of(words), keys);
    for (const auto& each : entered) {
        std::string lots;
        for (const auto& lot : each.lots) {
            lots += (lots.empty() ? "" : ", ") + book.lot_card(lot)->lot.code;
        }
        std::cout << fmt::format("{} to {}: up to {:.1f} C; {}\n", format_instant(each.began),
                                 format_instant(each.ended), each.warmest.value(),
                                 lots.empty() ? "no lot lay there" : "marked " + lots);
    }
    std::cout << fmt::format("{} readings of {}, {} new {}\n", readings.size(), words.place.text(),
                             entered.size(), entered.size() == 1 ? "excursion" : "excursions");
}

access::Carriage carriage_of(const std::string& by)
{
    return by == "road"     ? access::Carriage::Road
           : by == "vessel" ? access::Carriage::Vessel
                            : access::Carriage::Air;
}

/// The two papers of a shipment, as text and as PDF.
void write_papers(const book::Book& book, const app::Sent& sent, const Words& words)
{
    const auto preferences = preferences_with(book, words.taxa);
    const auto taxa = app::taxa_in_use(book, preferences);
    sheets::ShipmentPaper paper;
    paper.shipment = sent.shipment;
    paper.order = sent.order;
    paper.region = preferences.region;
    paper.link = sent.link;
    for (const auto& story : sent.lots) {
        paper.lots.push_back({story, name_of(*taxa, story.now.taxon)});
    }
    if (sent.shipment.ice && sent.shipment.ice->value() > 0) {
        const auto each = *sent.shipment.ice / static_cast<double>(words.packages);
        for (const auto& rule :
             value_or_throw(access::parcel_rules(each, words.packages, carriage_of(words.by)))) {
            paper.parcel.push_back({rule.words, rule.source, std::string{text(rule.mark)}});
        }
        paper.parcel_mark = access::parcel_mark(each);
    }
    for (const auto& [name, document] :
         {std::pair{std::string{"packing-list"}, sheets::packing_list(paper)},
          {std::string{"certificate"}, sheets::certificate_of_origin(paper)}}) {
        sheets::write_file(words.to + name + ".txt", sheets::document_text(document));
        sheets::write_file(words.to + name + ".pdf",
                           sheets::document_pdf(document, words.sheet == "letter"));
        std::cout << words.to << name << ".txt\n" << words.to << name << ".pdf\n";
    }
}

void ship(const Words& words)
{
    auto book = book::Book::open(words.book);
    const auto preferences = preferences_with(book, words.taxa);
    auto wishes = words.ship;
    wishes.lots = words.codes;
    wishes.shipped = day_option(words.on, preferences.time_zone);
    wishes.note = words.note;
    if (words.ice_kg) {
        wishes.ice = Grams{*words.ice_kg * 1000};
    }
    app::KeyMaker keys;
    const auto sent = app::ship_lots(book, wishes, hand_of(words), keys);
    std::cout << fmt::format(
        "shipment {}: {} {}{}\n", freezer::tail(sent.shipment.id.uuid()), sent.lots.size(),
        sent.lots.size() == 1 ? "lot" : "lots",
        sent.order && sent.order->state == OrderState::Filled ? "; the order is filled" : "");
    if (!words.to.empty()) {
        write_papers(book, sent, words);
    }
}

void papers(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    write_papers(book, app::find_shipment(book, words.key), words);
}

class Group {
public:
    explicit Group(CLI::App& app)
        : group_{app.add_subcommand("lot", "Bags in the freezer: seal, label, follow, ship")}
    {
        group_->require_subcommand(1);
    }

    CLI::App* add(const std::string& name, const std::string& help, void (*run)(const Words&))
    {
        auto* command = group_->add_subcommand(name, help);
        words = std::make_shared<Words>();
        command->add_option("book", words->book, "The book")->required();
        command->callback([run, all = words] { run(*all); });
        return command;
    }
    void add_hand(CLI::App* command)
    {
        command->add_option("--who", words->who, "Who does it")->required();
        command->add_option("--at", words->at, "When, as 2026-08-04T06:30:00Z; else now");
        command->add_flag("--clock-is-right", words->clock_is_right,
                          "The last record has a later instant, and yet this one is right");
    }
    void add_place(CLI::App* command)
    {
        command->add_option("--freezer", words->place.freezer, "Name of the freezer")->required();
        command->add_option("--shelf", words->place.shelf, "Name of the shelf");
        command->add_option("--box", words->place.box, "Name of the box");
    }
    void add_codes(CLI::App* command)
    {
        command->add_option("lots", words->codes, "Codes of lots")->required()->delimiter(',');
    }
    void add_papers(CLI::App* command, bool required)
    {
        auto* to = command->add_option("--to", words->to,
                                       "Beginning of the names of the papers, as out/august-");
        if (required) {
            to->required();
        }
        command->add_option("--by", words->by, "How the dry ice travels")
            ->check(CLI::IsMember({"air", "road", "vessel"}))
            ->capture_default_str();
        command->add_option("--packages", words->packages, "Among so many packages")
            ->check(CLI::Range(1, 1000))
            ->capture_default_str();
        command->add_option("--sheet", words->sheet, "Paper")
            ->check(CLI::IsMember({"a4", "letter"}))
            ->capture_default_str();
    }

    std::shared_ptr<Words> words;

private:
    CLI::App* group_;
};

void add_changes(Group& group)
{
    auto* command =
        group.add("seal", "Close a bag of catches and collections of one species", seal);
    auto words = group.words;
    command
        ->add_option("--catch", words->seal.catches,
                     "End of a catch's key; KEY=GRAMS for a part of it")
        ->delimiter(',');
    command->add_option("--collection", words->seal.collections, "Likewise a collection")
        ->delimiter(',');
    command->add_option("--call", words->seal.calls, "All that is loose of that call's nest")
        ->delimiter(',');
    command->add_option("--mass", words->mass, "Net grams; else the sum of what went in")
        ->check(CLI::PositiveNumber);
    command->add_option("--count", words->seal.count, "Wasps, where counted")
        ->check(CLI::NonNegativeNumber);
    command->add_option("--frozen", words->frozen, "Instant; else that of the first of it");
    command->add_option("--method", words->method, "dry_ice, freezer, other")
        ->check(CLI::IsMember({"unknown", "dry_ice", "freezer", "other"}));
    command->add_option("--container", words->seal.container, "What kind of bag");
    command->add_option("--note", words->note, "Free words");
    command->add_option("--foreign", words->foreign, "Grams of other matter found in it")
        ->check(CLI::NonNegativeNumber);
    command->add_flag("--for-other", words->other, "Not for venom");
    command->add_flag("--again", words->seal.again, "One more bag just like one that is there");
    group.add_place(command);
    group.add_hand(command);

    command = group.add("move", "Put lots elsewhere", move);
    group.add_codes(command);
    group.add_place(command);
    group.add_hand(command);
    command->add_option("--note", group.words->note, "Free words");

    command = group.add("correct", "Put something right, by a further record",
                        [](const Words& all) { correct(all, all.field); });
    command->add_option("lot", group.words->key, "Code of the lot")->required();
    command->add_option("field", group.words->field, "mass, count, frozen_at, container or note")
        ->required()
        ->check(CLI::IsMember({"mass", "count", "frozen_at", "container", "note"}));
    command->add_option("value", group.words->value, "What it is")->required();
    command->add_option("--why", group.words->why, "The reason")->required();
    group.add_hand(command);

    command = group.add("withdraw", "Say that a lot must be neither used nor shipped",
                        [](const Words& all) { correct(all, "withdrawn"); });
    command->add_option("lot", group.words->key, "Code of the lot")->required();
    command->add_option("--why", group.words->why, "The reason")->required();
    group.add_hand(command);

    command = group.add("excursion", "Mark the lots that a logger says were too warm", excursion);
    command->add_option("file", group.words->file, "The logger's table")->required();
    command->add_option("--limit", group.words->limit, "Warmest allowed, as -20C")->required();
    command->add_option("--zone", group.words->zone, "Of times without an offset");
    command->add_option("--note", group.words->note, "Free words");
    group.add_place(command);
    group.add_hand(command);

    command = group.add("ship", "Send lots, and write their papers", ship);
    group.add_codes(command);
    words = group.words;
    command->add_option("--order", words->ship.order, "End of the order's key, or its laboratory");
    command->add_option("--on", words->on, "Day: 2026-08-04, today")->capture_default_str();
    command->add_option("--carrier", words->ship.carrier, "Who takes it");
    command->add_option("--tracking", words->ship.tracking, "The carrier's number");
    command->add_option("--ice-kg", words->ice_kg, "Dry ice packed with it, kilograms net")
        ->check(CLI::NonNegativeNumber);
    command->add_option("--note", words->note, "Free words");
    group.add_papers(command, false);
    group.add_hand(command);
}

void add_views(Group& group)
{
    group.add("list", "All lots and where they are", list);
    group.add("loose", "What is frozen and in no lot", loose);
    auto* command = group.add("show", "All that is known of a lot", show);
    command->add_option("lot", group.words->key, "Code of the lot")->required();

    command = group.add("label", "A sheet of labels as PDF", label);
    group.add_codes(command);
    auto words = group.words;
    command->add_option("--to", words->to, "The PDF file")->required();
    command->add_option("--label", words->label, "One label, millimetres")->capture_default_str();
    command->add_option("--sheet", words->sheet, "a4, letter, or millimetres")
        ->capture_default_str();
    command->add_option("--margin", words->margin, "Left and top, millimetres; auto: centred")
        ->capture_default_str();
    command->add_option("--gap", words->gap, "Between labels, millimetres")->capture_default_str();
    command->add_option("--skip", words->skip, "Labels already used of the first sheet")
        ->check(CLI::Range(0, 10000));
    command->add_flag("--outlines", words->outlines, "Draw the edges, to try a sheet out");

    command = group.add("trace", "From a lot to its calls, or from a nest to its lots", trace);
    command->add_option("key", group.words->key, "A lot's code, or a nest or call")->required();
    command->add_option("--picture", group.words->picture, "The family tree: .png, .svg or .pdf");

    command = group.add("recall", "All that shares a nest, and where it is now", recall);
    command->add_option("key", group.words->key, "A lot's code, or a nest or call")->required();

    command = group.add("papers", "Write the papers of a shipment once more", papers);
    command->add_option("key", group.words->key, "End of the shipment's key, or a lot in it")
        ->required();
    group.add_papers(command, true);
}

}  // namespace

void add_lot(CLI::App& app)
{
    Group group{app};
    add_changes(group);
    add_views(group);
}

}  // namespace nestround::commands
