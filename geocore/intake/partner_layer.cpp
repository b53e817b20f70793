#include "geocore/intake/partner_layer.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "geocore/base/error.hpp"
#include "geocore/intake/darwin_archive.hpp"
#include "geocore/intake/fields.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/foreign_file.hpp"
#include "geocore/intake/partner_columns.hpp"
#include "geocore/intake/partner_places.hpp"
#include "geocore/intake/partner_row.hpp"
#include "geocore/intake/partner_shapes.hpp"

namespace nestround::intake {

namespace {

constexpr std::size_t kLongestName = 200;
constexpr std::size_t kMostNamedColumns = 12;

[[noreturn]] void refuse(const std::string& file, std::string why)
{
    throw Failure{ErrorCode::InvalidInput, std::move(why), file};
}

bool is_text(const std::string& name)
{
    const auto ending = folded(std::filesystem::path{name}.extension().string());
    return ending == ".csv" || ending == ".tsv" || ending == ".txt" || ending == ".gz";
}

/// The only text table of a packed file that holds nothing else.
std::optional<std::string> packed_text(const ForeignFile& file)
{
    if (file.inside.size() == 1 && is_text(file.inside.front())) {
        return file.inside.front();
    }
    return std::nullopt;
}

/// A table whose places stand in its columns.
struct TextTable {
    Grid grid;
    std::string layer;
};

std::optional<TextTable> text_table(const std::filesystem::path& path, const ForeignFile& file)
{
    if (file.packed() && file.holds("meta.xml")) {
        return TextTable{read_darwin_archive(file), "occurrence"};
    }
    if (const auto inside = packed_text(file)) {
        const auto read = decode_text(
            bytes_of_foreign(file.in(*inside), kMostForeignBytes, file.shown), file.shown);
        return TextTable{value_or_throw(parse_text_grid(read.text, file.shown)),
                         std::filesystem::path{*inside}.stem().string()};
    }
    if (!file.packed() && is_text(path.string())) {
        return TextTable{read_text_grid(path), path.stem().string()};
    }
    return std::nullopt;
}

void read_rows(const Grid& grid, const std::map<std::string, std::string>& chosen,
               const std::vector<PlacedShape>& shapes, const std::string& place_field,
               bool generalised, const Columns& columns, Day on, PartnerBatch& batch)
{
    std::map<std::string, std::size_t> keys;
    for (std::size_t i = 0; i < grid.rows.size(); ++i) {
        auto nest =
            read_partner_row(columns, grid.rows[i], shapes[i], {on, place_field, generalised});
        if (!nest) {
            batch.refused.push_back(nest.error());
            continue;
        }
        if (!nest->source_key.empty()) {
            const auto [first, is_new] = keys.emplace(nest->source_key, grid.rows[i].number);
            if (!is_new) {
                batch.refused.push_back(
                    {grid.rows[i].number,
                     chosen.contains("key") ? shown(chosen.at("key")) : "square",
                     fmt::format("'{}' is the key of row {} as well", shown(nest->source_key),
                                 first->second),
                     "ask for a key of its own, or name another column by --column key=..."});
                continue;
            }
        }
        batch.rows.push_back(std::move(*nest));
    }
}

void finish(const Grid& grid, const std::vector<std::string>& unused, PartnerBatch& batch)
{
    batch.refused.insert(batch.refused.end(), grid.refused.begin(), grid.refused.end());
    std::stable_sort(batch.refused.begin(), batch.refused.end(),
                     [](const RefusedRow& a, const RefusedRow& b) { return a.row < b.row; });
    batch.notes.insert(batch.notes.end(), grid.notes.begin(), grid.notes.end());
    if (!unused.empty()) {
        auto named = unused;
        const bool more = named.size() > kMostNamedColumns;
        named.resize(std::min(named.size(), kMostNamedColumns));
        batch.notes.push_back(
            "columns that nothing reads: " + joined(named) +
            (more ? fmt::format(" and {} more", unused.size() - named.size()) : std::string{}));
    }
    if (batch.rows.empty() && batch.refused.empty()) {
        batch.notes.emplace_back("the layer holds no rows");
    }
}

Vocabulary vocabulary_of(const std::map<std::string, std::string>& chosen)
{
    Vocabulary words;
    for (const auto& [ours, theirs] : chosen) {
        words.names.push_back(ours);
    }
    return words;
}

}  // namespace

PartnerBatch read_partner_layer(const std::filesystem::path& path, const PartnerMapping& mapping)
{
    const auto file = look_at(path);
    PartnerBatch batch;
    batch.file = plain_words(path.filename().string(), 255);
    batch.sha256 = digest_of(path);
    std::map<std::string, std::string> chosen;
    if (auto text = text_table(path, file)) {
        if (text->grid.rows.size() > kMostForeignRows) {
            refuse(file.shown, fmt::format("has more than {} rows; ask for the land of your crew "
                                           "alone",
                                           kMostForeignRows));
        }
        const auto choice = choose_columns(text->grid.header, 0, mapping.columns, file.shown);
        chosen = choice.theirs;
        text->grid.notes.insert(text->grid.notes.end(), choice.notes.begin(), choice.notes.end());
        const Columns columns{text->grid, vocabulary_of(chosen), chosen};
        const auto places = read_places(text->grid, columns, mapping.crs);
        batch.layer = plain_words(text->layer, kLongestName);
        batch.crs = places.systems.empty() ? "EPSG:4326" : joined(places.systems);
        read_rows(text->grid, chosen, places.shapes, places.field, false, columns, mapping.on,
                  batch);
        finish(text->grid, choice.unused, batch);
        return batch;
    }
    const auto table = read_shapes(file, mapping.layer, mapping.crs, mapping.columns, chosen);
    const Columns columns{table.grid, vocabulary_of(chosen), chosen};
    batch.layer = plain_words(table.layer, kLongestName);
    batch.crs = table.crs;
    read_rows(table.grid, chosen, table.shapes, "place", table.generalised, columns, mapping.on,
              batch);
    finish(table.grid, table.unused, batch);
    return batch;
}

}  // namespace nestround::intake
