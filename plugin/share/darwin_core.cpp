#include "plugin/share/darwin_core.hpp"

#include <cpl_conv.h>
#include <cpl_vsi.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <initializer_list>
#include <string_view>

#include "geocore/base/error.hpp"
#include "planner/sheets/gdal_memory.hpp"
#include "planner/sheets/morning_gpx.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::share {

namespace {

constexpr std::string_view kTerms = "http://rs.tdwg.org/dwc/terms/";
constexpr std::string_view kDublin = "http://purl.org/dc/terms/";

// The first column of each file is the key of the core.
constexpr std::array kOccurrence{"occurrenceID",
                                 "license",
                                 "basisOfRecord",
                                 "informationWithheld",
                                 "dataGeneralizations",
                                 "occurrenceStatus",
                                 "organismQuantity",
                                 "organismQuantityType",
                                 "eventID",
                                 "eventDate",
                                 "year",
                                 "habitat",
                                 "decimalLatitude",
                                 "decimalLongitude",
                                 "geodeticDatum",
                                 "coordinateUncertaintyInMeters",
                                 "footprintWKT",
                                 "scientificName",
                                 "kingdom",
                                 "phylum",
                                 "class",
                                 "order",
                                 "family",
                                 "genus",
                                 "taxonRank"};
constexpr std::array kEvent{"eventID", "eventDate", "year", "samplingProtocol", "eventRemarks"};
constexpr std::array kMeasurement{"measurementID", "measurementType", "measurementValue",
                                  "measurementUnit"};

/// Rows without tabs or line ends in their fields, as meta.xml promises; given away as they come.
class Lines {
public:
    template <class Names>
    Lines(const Sink& sink, const Names& names, bool with_key = false) : sink_{sink}
    {
        text_.reserve(2 * kPart);
        if (with_key) {
            text_ += "coreID\t";
        }
        for (const auto* name : names) {
            text_ += name;
            text_ += name == names.back() ? '\n' : '\t';
        }
    }
    ~Lines() = default;
    Lines(const Lines&) = delete;
    Lines& operator=(const Lines&) = delete;

    void add(std::initializer_list<std::string_view> fields)
    {
        bool first = true;
        for (const auto field : fields) {
            if (!first) {
                text_ += '\t';
            }
            first = false;
            const auto from = static_cast<std::ptrdiff_t>(text_.size());
            text_ += field;
            std::replace_if(
                text_.begin() + from, text_.end(),
                [](char letter) { return static_cast<unsigned char>(letter) < ' '; }, ' ');
        }
        text_ += '\n';
        if (text_.size() >= kPart) {
            end();
        }
    }
    /// What is still held.
    void end()
    {
        sink_(text_);
        text_.clear();
    }

private:
    static constexpr std::size_t kPart = 1U << 18U;  // bytes

    const Sink& sink_;
    std::string text_;
};

std::string term_of(std::string_view name)
{
    return std::string{name == "license" ? kDublin : kTerms} + std::string{name};
}

template <class Names>
std::string fields_of(const Names& names, int first)
{
    std::string out;
    for (const auto* name : names) {
        out += fmt::format("    <field index=\"{}\" term=\"{}\"/>\n", first++, term_of(name));
    }
    return out;
}

std::string meta()
{
    constexpr const char* how =
        "encoding=\"UTF-8\" fieldsTerminatedBy=\"\\t\" linesTerminatedBy=\"\\n\" "
        "fieldsEnclosedBy=\"\" ignoreHeaderLines=\"1\"";
    std::string out = fmt::format(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<archive xmlns=\"http://rs.tdwg.org/dwc/text/\" metadata=\"eml.xml\">\n"
        "  <core rowType=\"{}Occurrence\" {}>\n    <files><location>occurrence.txt</location>"
        "</files>\n    <id index=\"0\"/>\n{}  </core>\n",
        kTerms, how, fields_of(kOccurrence, 0));
    out += fmt::format(
        "  <extension rowType=\"{}Event\" {}>\n    <files><location>event.txt</location></files>\n"
        "    <coreid index=\"0\"/>\n{}  </extension>\n",
        kTerms, how, fields_of(kEvent, 1));
    out += fmt::format(
        "  <extension rowType=\"{}MeasurementOrFact\" {}>\n    <files><location>"
        "measurementorfact.txt</location></files>\n    <coreid index=\"0\"/>\n{}  </extension>\n",
        kTerms, how, fields_of(kMeasurement, 1));
    return out + "</archive>\n";
}

std::string eml(const Shared& shared, const Statement& statement)
{
    const auto from = sheets::xml_text(statement.from);
    const auto party = [&](const char* role) {
        return fmt::format("    <{0}><organizationName>{1}</organizationName></{0}>\n", role, from);
    };
    const auto rights = statement.licence.empty()
                            ? std::string{"No licence was stated; ask before use."}
                            : statement.licence;
    return fmt::format(
               "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
               "<eml:eml xmlns:eml=\"eml://ecoinformatics.org/eml-2.1.1\" "
               "packageId=\"{}\" system=\"nestround\" scope=\"system\" xml:lang=\"en\">\n"
               "  <dataset>\n    <title>{}</title>\n",
               sheets::xml_text("nests-" + statement.to + "-" + format_day(statement.on)),
               sheets::xml_text(title_of(statement))) +
           party("creator") + party("metadataProvider") +
           fmt::format(
               "    <pubDate>{}</pubDate>\n    <language>en</language>\n"
               "    <abstract><para>{}</para></abstract>\n"
               "    <intellectualRights><para>{}</para></intellectualRights>\n",
               format_day(statement.on), sheets::xml_text(held_back_words(shared)),
               sheets::xml_text(rights)) +
           party("contact") + "  </dataset>\n</eml:eml>\n";
}

std::string_view habitat_of(NestKind kind)
{
    switch (kind) {
        case NestKind::Aerial:
            return "nest in the open";
        case NestKind::Ground:
            return "nest in the ground";
        case NestKind::Void:
            return "nest in a hollow of a building or tree";
        case NestKind::Unknown:
            break;
    }
    return {};
}

struct Taxonomy {
    std::string name, genus, rank;
};

Taxonomy taxonomy_of(const nature::TaxaTable& table, const std::string& code)
{
    const auto name = scientific_name(table, code);
    const auto* taxon = table.find(code);
    if (taxon == nullptr) {
        return {name, "", "family"};
    }
    return {name, taxon->genus, name.find(' ') == std::string::npos ? "genus" : "species"};
}

std::string degrees(double value) { return fmt::format("{:.7f}", value); }

constexpr const char* kProtocol =
    "nest reported by a resident; where taken, the wasps alive by suction and without poison";
constexpr const char* kRemarks = "calls are no survey: where nobody called, nothing is known";

/// What differs from row to row.
struct Occurrence {
    std::string id, quantity, event, date, year;
    std::string_view quantity_type, habitat;
    LonLat place{};
    std::string uncertainty, footprint;
    const Taxonomy* taxonomy = nullptr;
    std::optional<CallState> outcome;
    std::optional<Metres> height;
    std::optional<Grams> caught;
    bool counted = false;
};

Occurrence occurrence_of(const SharedNest& nest, const Shared& shared, const Taxonomy& taxonomy)
{
    Occurrence one;
    one.id = "urn:nest:" + id_text(nest);
    one.quantity = "1";
    one.quantity_type = "nest";
    one.event = one.id + ":report";
    one.date = date_text(shared, nest);
    one.year = nest.season == 0 ? std::string{} : fmt::format("{}", nest.season);
    one.habitat = habitat_of(nest.kind);
    one.place = nest.place;
    if (nest.uncertainty) {
        // Zero is not allowed by the term.
        one.uncertainty = fmt::format("{:.0f}", std::max(1.0, nest.uncertainty->value()));
    }
    one.taxonomy = &taxonomy;
    one.outcome = nest.outcome;
    one.height = nest.height;
    one.caught = nest.caught;
    return one;
}

Occurrence occurrence_of(const SharedCount& count, const Taxonomy& taxonomy)
{
    const auto& square = count.square;
    Occurrence one;
    one.taxonomy = &taxonomy;
    std::string taxon_word = taxonomy.name;
    std::replace(taxon_word.begin(), taxon_word.end(), ' ', '_');
    one.id = fmt::format("urn:nests:{}:{}:{}", square.name, taxon_word, count.season);
    one.quantity = fmt::format("{}", count.nests);
    one.quantity_type = "nests";
    one.event = one.id + ":season";
    one.date = one.year = fmt::format("{}", count.season);
    one.place = square.middle;
    one.uncertainty = fmt::format("{:.0f}", square.uncertainty.value());
    one.footprint = fmt::format("POLYGON (({0} {1}, {2} {1}, {2} {3}, {0} {3}, {0} {1}))",
                                degrees(square.west.value()), degrees(square.south.value()),
                                degrees(square.east.value()), degrees(square.north.value()));
    one.counted = true;
    return one;
}

template <class Visit>
void each_occurrence(const Shared& shared, const nature::TaxaTable& table, const Visit& visit)
{
    std::vector<Taxonomy> taxonomies;
    for (const auto& code : shared.taxa) {
        taxonomies.push_back(taxonomy_of(table, code));
    }
    for (const auto& nest : shared.nests) {
        visit(occurrence_of(nest, shared, taxonomies[nest.taxon]));
    }
    for (const auto& count : shared.counts) {
        const auto taxonomy = taxonomy_of(table, count.taxon);
        visit(occurrence_of(count, taxonomy));
    }
}

/// In the order of kOccurrence.
void write_occurrences(const Sink& sink, const Shared& shared, const Statement& statement,
                       const nature::TaxaTable& table)
{
    Lines lines{sink, kOccurrence};
    each_occurrence(shared, table, [&](const Occurrence& one) {
        lines.add({one.id,
                   statement.licence,
                   "HumanObservation",
                   shared.withheld,
                   shared.generalised,
                   "detected",
                   one.quantity,
                   one.quantity_type,
                   one.event,
                   one.date,
                   one.year,
                   one.habitat,
                   degrees(one.place.lat.value()),
                   degrees(one.place.lon.value()),
                   "EPSG:4326",
                   one.uncertainty,
                   one.footprint,
                   one.taxonomy->name,
                   "Animalia",
                   "Arthropoda",
                   "Insecta",
                   "Hymenoptera",
                   "Vespidae",
                   one.taxonomy->genus,
                   one.taxonomy->rank});
    });
    lines.end();
}

void write_events(const Sink& sink, const Shared& shared, const nature::TaxaTable& table)
{
    Lines lines{sink, kEvent, true};
    each_occurrence(shared, table, [&](const Occurrence& one) {
        lines.add({one.id, one.event, one.date, one.year, kProtocol,
                   one.outcome ? fmt::format("nest {}; {}", text(*one.outcome), kRemarks)
                               : std::string{kRemarks}});
    });
    lines.end();
}

void write_measurements(const Sink& sink, const Shared& shared, const nature::TaxaTable& table)
{
    Lines lines{sink, kMeasurement, true};
    each_occurrence(shared, table, [&](const Occurrence& one) {
        if (one.height) {
            lines.add({one.id, one.id + ":height", "height of the nest above where one stands",
                       fmt::format("{:.1f}", one.height->value()), "m"});
        }
        if (one.caught) {
            lines.add({one.id, one.id + ":caught", "mass of workers caught and frozen",
                       fmt::format("{:.0f}", one.caught->value()), "g"});
        }
        if (one.counted) {
            lines.add({one.id, one.id + ":count", "nests that became known in the square",
                       one.quantity, "nests"});
        }
    });
    lines.end();
}

}  // namespace

std::vector<ArchiveFile> archive_files(const Shared& shared, const Statement& statement,
                                       const nature::TaxaTable& table)
{
    return {{"meta.xml", [](const Sink& sink) { sink(meta()); }},
            {"eml.xml", [&](const Sink& sink) { sink(eml(shared, statement)); }},
            {"occurrence.txt",
             [&](const Sink& sink) { write_occurrences(sink, shared, statement, table); }},
            {"event.txt", [&](const Sink& sink) { write_events(sink, shared, table); }},
            {"measurementorfact.txt",
             [&](const Sink& sink) { write_measurements(sink, shared, table); }}};
}

std::vector<std::pair<std::string, std::string>> darwin_core_files(const Shared& shared,
                                                                   const Statement& statement,
                                                                   const nature::TaxaTable& table)
{
    std::vector<std::pair<std::string, std::string>> files;
    for (const auto& [name, write] : archive_files(shared, statement, table)) {
        std::string text;
        write([&text](std::string_view part) { text += part; });
        files.emplace_back(name, std::move(text));
    }
    return files;
}

void check_archive_name(const std::string& path)
{
    if (!path.ends_with(".zip")) {
        throw Failure{ErrorCode::BadUsage, "a Darwin Core archive goes to a file that ends in .zip",
                      path};
    }
    sheets::refuse_present(path);
}

void write_darwin_core(const Shared& shared, const Statement& statement,
                       const nature::TaxaTable& table, const std::string& path)
{
    check_archive_name(path);
    const sheets::GdalSilence quiet;
    sheets::make_file(path, [&](const std::string& draft) {
        const auto root = "/vsizip/{" + draft + "}";  // whatever else ends in .zip on the way
        // The archive is open from here on, so that each file is added to it and not put in its
        // place.
        auto* archive = VSIFOpenL(root.c_str(), "wb");
        if (archive == nullptr) {
            sheets::refuse_output(path);
        }
        bool good = true;
        for (const auto& [name, write] : archive_files(shared, statement, table)) {
            auto* file = VSIFOpenL((root + "/" + name).c_str(), "wb");
            if (file == nullptr) {
                good = false;
                break;
            }
            write([&](std::string_view part) {
                good = good && VSIFWriteL(part.data(), 1, part.size(), file) == part.size();
            });
            good = VSIFCloseL(file) == 0 && good;
        }
        good = VSIFCloseL(archive) == 0 && good;
        if (!good) {
            sheets::refuse_output(path);
        }
    });
}

}  // namespace nestround::share
