#include <nlohmann/json.hpp>
#include <set>

#include "geocore/nature/season.hpp"
#include "planner/sheets/taxa_text.hpp"

namespace nestround::sheets {

namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& json)
{
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

/// A number, a month and day for dates, or null.
Json value_of(const Figure& row, const std::optional<double>& value)
{
    if (!value) {
        return nullptr;
    }
    if (row.unit == "date") {
        return format_day(nature::calendar_day(*value, Latitude{45}, 2001)).substr(5);
    }
    return *value;
}

Json or_null(const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); }

Json taxon_of(const nature::Taxon& taxon)
{
    return {{"code", taxon.code},
            {"name", taxon.name},
            {"english", or_null(taxon.english)},
            {"genus", taxon.genus},
            {"group", taxon.group}};
}

std::vector<std::string> keys_of(std::string_view text)
{
    std::vector<std::string> keys;
    while (!text.empty()) {
        const auto space = text.find(' ');
        keys.emplace_back(text.substr(0, space));
        text.remove_prefix(space == std::string_view::npos ? text.size() : space + 1);
    }
    return keys;
}

}  // namespace

std::string taxa_list_json(const nature::TaxaTable& table)
{
    Json taxa = Json::array();
    for (const auto& taxon : table.taxa()) {
        taxa.push_back(taxon_of(taxon));
    }
    return dumped({{"taxa", std::move(taxa)}});
}

std::string taxa_json(const nature::TaxaTable& table, std::string_view subject)
{
    Json out;
    const auto* taxon = table.find(subject);
    out["subject"] = subject;
    out["taxon"] = taxon == nullptr ? Json(nullptr) : taxon_of(*taxon);
    out["takes_from"] = table.chain(subject);
    Json figures = Json::array();
    std::set<std::string> cited;
    for (const auto& section : taxa_sections(table, subject)) {
        for (const auto* row : section.figures) {
            const auto keys = keys_of(row->source);
            cited.insert(keys.begin(), keys.end());
            figures.push_back({{"section", section.title},
                               {"parameter", row->parameter},
                               {"of", row->subject},
                               {"low", value_of(*row, row->low)},
                               {"typical", value_of(*row, row->typical)},
                               {"high", value_of(*row, row->high)},
                               {"words", or_null(row->words)},
                               {"unit", or_null(row->unit)},
                               {"latitude_deg", row->latitude ? Json(*row->latitude) : nullptr},
                               {"condition", or_null(row->condition)},
                               {"sources", keys},
                               {"mark", text(row->mark)}});
        }
    }
    out["figures"] = std::move(figures);
    Json sources = Json::object();
    for (const auto& entry : table.sources()) {
        if (cited.count(entry.key) != 0) {
            sources[entry.key] = entry.citation;
        }
    }
    out["sources"] = std::move(sources);
    return dumped(out);
}

}  // namespace nestround::sheets
