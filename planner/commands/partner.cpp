// nestround partner import, list, matches, accept, refuse, reopen
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <filesystem>
#include <iostream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/intake/partner_layer.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/partners.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/partners/partner_figures.hpp"

namespace nestround::commands {

namespace {

using Json = nlohmann::ordered_json;

struct ImportWords {
    std::string book;
    std::string file;
    std::string from;
    std::string layer;
    std::string crs;
    std::vector<std::string> columns;
    std::string on = "today";
    std::string taxa;
    bool json = false;
};

struct LookWords {
    std::string book;
    std::string from;
    std::string taxa;
    double least = 0;
    std::size_t limit = 20;
    bool rows = false;
    bool json = false;
};

struct DecideWords {
    std::string book;
    std::string key;
    std::string as;
    std::string who;
};

void print(const Json& json)
{
    std::cout << json.dump(2, ' ', false, Json::error_handler_t::replace) << '\n';
}

/// "taxon=wasp" as {"taxon", "wasp"}.
std::map<std::string, std::string> mapping_of(const std::vector<std::string>& typed)
{
    std::map<std::string, std::string> out;
    for (const auto& one : typed) {
        const auto equals = one.find('=');
        if (equals == std::string::npos || equals == 0 || equals + 1 == one.size()) {
            throw Failure{ErrorCode::BadUsage, "is written OURS=THEIRS, as taxon=wasp",
                          "--column " + one};
        }
        out[one.substr(0, equals)] = one.substr(equals + 1);
    }
    return out;
}

/// GDAL would close the book's own file, and drop its locks.
void require_other_file(const std::string& book, const std::string& file)
{
    std::error_code error;
    if (std::filesystem::equivalent(book, file, error)) {
        throw Failure{ErrorCode::InvalidInput, "is the book itself; name what the partner sent",
                      file};
    }
}

Json json_of(const PartnerNest& row, const std::string& partner)
{
    Json out{{"key", row.id.text()},
             {"partner", partner},
             {"row", row.row},
             {"lon", row.place.lon.value()},
             {"lat", row.place.lat.value()},
             {"place_is", text(row.form)}};
    const auto put = [&](const char* name, const std::string& words) {
        if (!words.empty()) {
            out[name] = words;
        }
    };
    if (row.uncertainty) {
        out["uncertainty_m"] = row.uncertainty->value();
    }
    put("sender_key", row.source_key);
    put("taxon", row.taxon);
    put("taxon_as_sent", row.taxon_as_sent);
    put("date_as_sent", row.date_as_sent);
    if (row.season) {
        out["season"] = *row.season;
    }
    if (row.count) {
        out["nests"] = *row.count;
    }
    put("note", row.note);
    out["decision"] = text(row.decision);
    if (row.nest) {
        out["nest"] = row.nest->text();
    }
    put("decided_by", row.decided_by);
    return out;
}

std::string row_line(const PartnerNest& row)
{
    const auto when = !row.date_as_sent.empty() ? row.date_as_sent
                      : row.season              ? fmt::format("{}", *row.season)
                                                : std::string{"no date"};
    return fmt::format(
        "{}  {:<10}  {}{}", book::short_key(row.id.uuid()), when,
        row.taxon_as_sent.empty() ? "wasp not said" : row.taxon_as_sent,
        row.count.value_or(1) > 1 ? fmt::format(", {} nests", *row.count) : std::string{});
}

void show_import(const ImportWords& words, const intake::PartnerBatch& read,
                 const app::PartnerTally& tally)
{
    if (words.json) {
        Json out{{"file", read.file},
                 {"partner", words.from},
                 {"layer", read.layer},
                 {"crs", read.crs},
                 {"sha256", read.sha256}};
        out["read_before_on"] =
            tally.before ? Json(format_day(tally.before->read_on)) : Json(nullptr);
        out["new"] = tally.added;
        out["changed"] = tally.changed;
        out["as_before"] = tally.same;
        out["decided_and_different"] = tally.differ;
        out["missing"] = tally.missing;
        out["without_key"] = tally.without_key;
        out["refused"] = Json::array();
        for (const auto& row : tally.refused) {
            out["refused"].push_back({{"row", row.row},
                                      {"column", row.column},
                                      {"reason", row.reason},
                                      {"way_out", row.way_out}});
        }
        out["notes"] = tally.notes;
        print(out);
        return;
    }
    if (tally.before) {
        std::cout << fmt::format("{}: read from {} on {} already; nothing changed\n", read.file,
                                 words.from, format_day(tally.before->read_on));
        return;
    }
    show_notes(tally.notes);
    show_refused(words.file, tally.refused);
    std::cout << fmt::format("{}, layer {}, {}: {} new, {} changed, {} as before, {} refused\n",
                             read.file, read.layer, read.crs, tally.added, tally.changed,
                             tally.same, tally.refused.size());
    for (const auto& one : tally.differ) {
        std::cout << fmt::format(
            "{} was decided on and now reads otherwise; it was left: reopen "
            "it to take the new one\n",
            one);
    }
    if (tally.missing > 0) {
        std::cout << fmt::format(
            "{} rows of earlier files of this layer are not in it; they stay\n", tally.missing);
    }
    if (tally.without_key > 0) {
        std::cout << fmt::format(
            "{} rows have no key of their own: a newer file cannot change "
            "them\n",
            tally.without_key);
    }
    if (tally.added + tally.changed > 0) {
        std::cout << fmt::format("next: nestround partner matches {}\n", words.book);
    }
}

void import(const ImportWords& words)
{
    require_other_file(words.book, words.file);
    intake::PartnerMapping mapping;
    mapping.columns = mapping_of(words.columns);
    mapping.layer = words.layer;
    mapping.crs = words.crs;
    app::Taxa table;
    {
        const auto book = book::Book::open(words.book);
        const auto preferences = preferences_with(book, words.taxa);
        table = app::taxa_in_use(book, preferences);
        mapping.on = day_option(words.on, preferences.time_zone);
    }
    // The file is read before the book is held open.
    auto read = intake::read_partner_layer(words.file, mapping);
    std::string how = words.crs;
    for (const auto& [ours, theirs] : mapping.columns) {
        how += "\n" + ours + "=" + theirs;
    }
    auto book = book::Book::open(words.book);
    const auto tally =
        app::import_partner(book, read, words.from, how, mapping.on, app::present(), *table);
    show_import(words, read, tally);
}

void list(const LookWords& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto imports = book.partner_imports();
    std::map<PartnerImportId, std::string> partner_of;
    Json files = Json::array();
    std::size_t shown_files = 0;
    for (const auto& one : imports) {
        partner_of[one.id] = one.partner;
        if (!words.from.empty() && one.partner != words.from) {
            continue;
        }
        ++shown_files;
        if (words.json) {
            files.push_back({{"partner", one.partner},
                             {"file", one.file},
                             {"sha256", one.sha256},
                             {"layer", one.layer},
                             {"crs", one.crs},
                             {"read_on", format_day(one.read_on)},
                             {"rows", one.rows_read},
                             {"refused", one.rows_refused}});
        } else {
            std::cout << fmt::format("{}  {}  {}, layer {}, {}: {} rows, {} refused\n",
                                     format_day(one.read_on), one.partner, one.file, one.layer,
                                     one.crs, one.rows_read, one.rows_refused);
        }
    }
    std::map<std::string, std::map<std::string_view, int>> tally;
    Json rows = Json::array();
    for (const auto& row : book.partner_nests(words.from)) {
        const auto& partner = partner_of[row.import];
        ++tally[partner][text(row.decision)];
        if (words.json) {
            rows.push_back(json_of(row, partner));
        } else if (words.rows) {
            std::cout << fmt::format(
                "{}  {:<7}  {}{}{}\n", partner, text(row.decision), row_line(row),
                row.nest ? ", our nest " + book::short_key(row.nest->uuid()) : std::string{},
                row.note.empty() ? std::string{} : "  [" + row.note + "]");
        }
    }
    if (words.json) {
        print({{"files", files}, {"rows", rows}});
        return;
    }
    if (shown_files == 0) {
        std::cout << fmt::format("nothing was taken in{}; see nestround partner import --help\n",
                                 words.from.empty() ? "" : " from " + words.from);
    }
    for (const auto& [partner, counts] : tally) {
        std::string line;
        for (const auto& [decision, count] : counts) {
            line += fmt::format("{}{} {}", line.empty() ? "" : ", ", count, decision);
        }
        std::cout << fmt::format("{}: {}\n", partner, line);
    }
}

Json json_of(const app::PartnerMatches& found)
{
    Json matches = Json::array();
    for (const auto& match : found.likely) {
        const auto& evidence = match.evidence;
        matches.push_back({{"row", json_of(match.sent, match.partner)},
                           {"nest", match.nest.text()},
                           {"chance", match.chance},
                           {"metres_apart", evidence.apart.value()},
                           {"metres_within", evidence.within.value()},
                           {"weight_place", evidence.place},
                           {"weight_season", evidence.season},
                           {"weight_taxon", evidence.taxon},
                           {"words", partners::words_of(evidence)},
                           {"rivals", match.rivals}});
    }
    Json counts = Json::array();
    for (const auto& count : found.counts) {
        counts.push_back({{"row", json_of(count.sent, count.partner)}, {"ours", count.ours}});
    }
    return {{"matches", matches},
            {"counts", counts},
            {"open", found.open},
            {"below_least", found.below},
            {"without_a_nest_of_ours", found.unpaired},
            {"share_known", found.known}};
}

void matches(const LookWords& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto preferences = preferences_with(book, words.taxa);
    const auto table = app::taxa_in_use(book, preferences);
    const auto found = app::partner_matches(book, words.from, words.least, *table);
    if (words.json) {
        print(json_of(found));
        return;
    }
    const double likely = partners::partner_figure("show", "likely");
    std::size_t shown_pairs = 0;
    for (const auto& match : found.likely) {
        if (words.limit > 0 && shown_pairs++ == words.limit) {
            std::cout << fmt::format("       and {} pairs more; --limit 0 shows all\n",
                                     found.likely.size() - words.limit);
            break;
        }
        std::cout << fmt::format(
            "{:>3.0f} %  {}  {}\n       {}: our nest {}, {}\n       {}{}\n", 100 * match.chance,
            match.chance >= likely ? "likely" : "maybe ", row_line(match.sent), match.partner,
            match.nest_key, match.label.empty() ? "without a name" : match.label,
            partners::words_of(match.evidence),
            match.rivals == 0 ? std::string{}
                              : fmt::format("; {} other{} of ours may be it", match.rivals,
                                            match.rivals == 1 ? "" : "s"));
    }
    std::size_t shown_counts = 0;
    for (const auto& count : found.counts) {
        if (words.limit > 0 && shown_counts++ == words.limit) {
            std::cout << fmt::format("       and {} counts more; --limit 0 shows all\n",
                                     found.counts.size() - words.limit);
            break;
        }
        std::cout << fmt::format("       {}: {}; ours there: {}\n", count.partner,
                                 row_line(count.sent), count.ours);
    }
    std::cout << fmt::format(
        "{} rows of single nests are open: {} pairs, {} below {:.0f} %, {} near none of "
        "ours\n",
        found.open, found.likely.size(), found.below, 100 * words.least, found.unpaired);
    for (const auto& [partner, known] : found.known) {
        std::cout << fmt::format("of {}'s nests about {:.0f} % seem known to us\n", partner,
                                 100 * known);
    }
    if (!found.likely.empty()) {
        std::cout << fmt::format(
            "to say that the first is one: nestround partner accept {} {} "
            "--as {}\n",
            words.book, book::short_key(found.likely.front().sent.id.uuid()),
            found.likely.front().nest_key);
    }
}

void decide(const DecideWords& words, PartnerDecision decision)
{
    auto book = book::Book::open(words.book);
    const auto row = app::find_partner_nest(book, words.key);
    std::optional<NestId> nest;
    if (!words.as.empty()) {
        nest = app::find_nest(book, words.as);
        decision = PartnerDecision::Same;
    }
    const auto done = app::decide(book, row, decision, nest, words.who, app::present());
    const auto key = book::short_key(done.id.uuid());
    switch (done.decision) {
        case PartnerDecision::Same:
            std::cout << fmt::format("{} is our nest {}\n", key, book::short_key(nest->uuid()));
            break;
        case PartnerDecision::Other:
            std::cout << fmt::format("{} is a nest of theirs and none of ours\n", key);
            break;
        case PartnerDecision::Refused:
            std::cout << fmt::format("{} is not looked at again\n", key);
            break;
        case PartnerDecision::Open:
            std::cout << fmt::format("{} is open again\n", key);
            break;
    }
}

void add_import(CLI::App& partner)
{
    auto* command = partner.add_subcommand(
        "import",
        "Take nests from a partner's layer: GeoPackage, GeoJSON, shapefile, FlatGeobuf, KML, CSV, "
        "Darwin Core archive");
    const auto words = std::make_shared<ImportWords>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("file", words->file, "What the partner sent")->required();
    command->add_option("--from", words->from, "The partner, as the crew calls them")->required();
    command->add_option("--layer", words->layer, "Layer of a file with several");
    command->add_option("--crs", words->crs,
                        "Coordinate system of a file that names none: EPSG:32632");
    command->add_option("--column", words->columns,
                        "OURS=THEIRS for a column that is not found by itself, as taxon=wasp; may "
                        "be repeated");
    command->add_option("--on", words->on, "Day of reading; later dates are refused")
        ->capture_default_str();
    command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
    command->add_flag("--json", words->json, "Answer as JSON");
    command->callback([words] { import(*words); });
}

void add_decision(CLI::App& partner, const char* name, const char* help, PartnerDecision decision)
{
    auto* command = partner.add_subcommand(name, help);
    const auto words = std::make_shared<DecideWords>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("key", words->key, "The row: its key's end, or the sender's own key")
        ->required();
    if (decision == PartnerDecision::Other) {
        command->add_option("--as", words->as, "Our nest that it is, by its key or its call's");
    }
    if (decision != PartnerDecision::Open) {
        command->add_option("--who", words->who, "Who decides");
    }
    command->callback([words, decision] { decide(*words, decision); });
}

}  // namespace

void add_partner(CLI::App& app)
{
    auto* partner =
        app.add_subcommand("partner", "Nests that partners sent, and which of them are ours");
    partner->require_subcommand(1);
    add_import(*partner);
    {
        auto* command = partner->add_subcommand("list", "What was taken in, and what was decided");
        const auto words = std::make_shared<LookWords>();
        command->add_option("book", words->book, "The book")->required();
        command->add_option("--from", words->from, "One partner");
        command->add_flag("--rows", words->rows, "Each row");
        command->add_flag("--json", words->json, "Answer as JSON, with each row");
        command->callback([words] { list(*words); });
    }
    {
        auto* command = partner->add_subcommand(
            "matches", "Open rows that may be nests of ours, likeliest first; nothing is changed");
        const auto words = std::make_shared<LookWords>();
        words->least = partners::partner_figure("show", "least");
        command->add_option("book", words->book, "The book")->required();
        command->add_option("--from", words->from, "One partner");
        command->add_option("--least", words->least, "Least chance of a pair that is shown")
            ->check(CLI::Range(0.0, 1.0))
            ->capture_default_str();
        command->add_option("--limit", words->limit, "Pairs to print; 0: all")
            ->capture_default_str();
        command->add_option("--taxa", words->taxa, "Folder of your own figures of wasps");
        command->add_flag("--json", words->json, "Answer as JSON");
        command->callback([words] { matches(*words); });
    }
    add_decision(*partner, "accept",
                 "The row is a nest: with --as one of ours, else theirs alone; never a call",
                 PartnerDecision::Other);
    add_decision(*partner, "refuse", "The row is no nest, or not worth keeping",
                 PartnerDecision::Refused);
    add_decision(*partner, "reopen", "Take a decision back", PartnerDecision::Open);
}

}  // namespace nestround::commands
