#include "geocore/nature/taxa_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>
#include <utility>

#include "geocore/base/ascii.hpp"
#include "geocore/base/text_file.hpp"

namespace nestround::embedded {
std::span<const TextFile> taxa();
}  // namespace nestround::embedded

namespace nestround::nature {

namespace {

/// Deeper than any sensible nesting of groups: what runs longer is a circle.
constexpr std::size_t kMostGroups = 8;

std::string where(const Figure& row) { return fmt::format("{}:{}", row.file, row.line); }

using Name = std::pair<std::string_view, std::string_view>;

Name name_of(const Figure& row) { return {row.subject, row.parameter}; }

bool same_words(std::string_view a, std::string_view b) { return ascii_lower(a) == ascii_lower(b); }

}  // namespace

Result<TaxaTable> TaxaTable::make(std::vector<Figure> figures, std::vector<SourceEntry> sources)
{
    TaxaTable table;
    table.figures_ = std::move(figures);
    table.sources_ = std::move(sources);
    table.by_name_.resize(table.figures_.size());
    std::iota(table.by_name_.begin(), table.by_name_.end(), 0U);
    std::stable_sort(table.by_name_.begin(), table.by_name_.end(),
                     [&](std::uint32_t a, std::uint32_t b) {
                         return name_of(table.figures_[a]) < name_of(table.figures_[b]);
                     });
    const auto words = [&](std::string_view subject, std::string_view parameter) {
        const auto rows = table.named(subject, parameter);
        return rows.empty() ? std::string{} : table.figures_[rows.front()].words;
    };
    for (const auto& row : table.figures_) {
        if (row.parameter != "name") {
            continue;
        }
        if (table.find(row.subject) != nullptr) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("taxon '{}' is named twice", row.subject), where(row));
        }
        table.taxa_.push_back({row.subject, row.words, words(row.subject, "english"),
                               words(row.subject, "genus"), words(row.subject, "group")});
    }
    if (table.taxa_.empty()) {
        return fail(ErrorCode::InvalidInput,
                    "the table names no taxon (a row with the parameter 'name')");
    }
    for (const auto& taxon : table.taxa_) {
        if (taxon.name.empty() || taxon.genus.empty() || taxon.group.empty()) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("taxon '{}' needs rows for name, genus and group", taxon.code),
                        where(*table.figure(taxon.code, "name")));
        }
        const auto chain = table.chain(taxon.code);
        if (chain.back() != "all") {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("the groups of taxon '{}' end at '{}', not at 'all'",
                                    taxon.code, chain.back()),
                        where(*table.figure(taxon.code, "name")));
        }
    }
    return table;
}

const Taxon* TaxaTable::find(std::string_view code) const
{
    for (const auto& taxon : taxa_) {
        if (taxon.code == code) {
            return &taxon;
        }
    }
    return nullptr;
}

const Taxon* TaxaTable::recognise(std::string_view text) const
{
    for (const auto& taxon : taxa_) {
        if (same_words(text, taxon.code) || same_words(text, taxon.name) ||
            (!taxon.english.empty() && same_words(text, taxon.english))) {
            return &taxon;
        }
    }
    return nullptr;
}

std::vector<std::string> TaxaTable::chain(std::string_view subject) const
{
    std::vector<std::string> subjects{std::string{subject}};
    while (subjects.size() < kMostGroups) {
        const auto* group = group_of(subjects.back());
        if (group == nullptr) {
            break;
        }
        subjects.push_back(group->words);
    }
    return subjects;
}

std::span<const std::uint32_t> TaxaTable::named(std::string_view subject,
                                                std::string_view parameter) const
{
    const Name name{subject, parameter};
    const auto first =
        std::partition_point(by_name_.begin(), by_name_.end(),
                             [&](std::uint32_t at) { return name_of(figures_[at]) < name; });
    const auto last = std::partition_point(
        first, by_name_.end(), [&](std::uint32_t at) { return name_of(figures_[at]) == name; });
    return {first, last};
}

const Figure* TaxaTable::group_of(std::string_view subject) const
{
    const auto rows = named(subject, "group");
    return rows.empty() ? nullptr : &figures_[rows.front()];
}

std::vector<const Figure*> TaxaTable::rows(std::string_view subject,
                                           std::string_view parameter) const
{
    std::vector<const Figure*> found;
    for (std::size_t level = 0; level < kMostGroups; ++level) {
        for (const auto at : named(subject, parameter)) {
            found.push_back(&figures_[at]);
        }
        const auto* group = found.empty() ? group_of(subject) : nullptr;
        if (group == nullptr) {
            break;
        }
        subject = group->words;
    }
    return found;
}

const Figure* TaxaTable::figure(std::string_view subject, std::string_view parameter) const
{
    const auto found = rows(subject, parameter);
    return found.empty() ? nullptr : found.front();
}

std::vector<const Figure*> TaxaTable::own_rows(std::string_view subject) const
{
    std::vector<const Figure*> found;
    for (const auto& row : figures_) {
        if (row.subject == subject) {
            found.push_back(&row);
        }
    }
    return found;
}

std::string_view TaxaTable::citation(std::string_view key) const
{
    for (const auto& source : sources_) {
        if (source.key == key) {
            return source.citation;
        }
    }
    return {};
}

Result<TaxaTable> parse_taxa(std::string_view figures_csv, std::string_view sources_csv)
{
    auto sources = parse_sources(sources_csv);
    if (!sources) {
        return tl::unexpected{std::move(sources).error()};
    }
    auto figures = parse_figures(figures_csv, *sources, "taxa");
    if (!figures) {
        return tl::unexpected{std::move(figures).error()};
    }
    return TaxaTable::make(std::move(*figures), std::move(*sources));
}

const TaxaTable& standard_taxa()
{
    static const TaxaTable table = [] {
        std::vector<SourceEntry> sources;
        std::vector<Figure> figures;
        for (const auto& file : embedded::taxa()) {
            if (file.name == "sources.csv") {
                sources = value_or_throw(parse_sources(file.text, file.name));
            }
        }
        for (const auto& file : embedded::taxa()) {
            if (file.name != "sources.csv") {
                auto rows = value_or_throw(parse_figures(file.text, sources, file.name));
                figures.insert(figures.end(), rows.begin(), rows.end());
            }
        }
        return value_or_throw(TaxaTable::make(std::move(figures), std::move(sources)));
    }();
    return table;
}

}  // namespace nestround::nature
