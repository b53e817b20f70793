#include "geocore/nature/own_taxa.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <numeric>
#include <set>
#include <utility>

#include "geocore/nature/traits.hpp"

namespace nestround::nature {

namespace {

/// What courses.cpp looks up for every taxon; a test holds the two together.
constexpr std::array<std::string_view, 12> kNeeded{"calendar.founding",
                                                   "calendar.first_workers_after",
                                                   "calendar.large_cells",
                                                   "calendar.sexuals_after",
                                                   "calendar.peak",
                                                   "calendar.decline",
                                                   "calendar.end",
                                                   "workers.first",
                                                   "workers.peak",
                                                   "mass.worker",
                                                   "calendar.latitude_shift",
                                                   "calendar.year_shift"};

/// Parameters that a user may name as he likes: nothing reads them by name.
constexpr std::array<std::string_view, 6> kFreeNames{"note.",       "observed.", "trait.nest.",
                                                     "trait.wasp.", "bin.",      "look_alike."};

using Key = std::pair<std::string, std::string>;

std::string where(const Figure& row, std::string_view column)
{
    return fmt::format("{}:{}, column {}", row.file, row.line, column);
}

/// How many letters must be changed, added or left out to make `b` of `a`.
std::size_t letters_apart(std::string_view a, std::string_view b)
{
    std::vector<std::size_t> above(b.size() + 1);
    std::iota(above.begin(), above.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::vector<std::size_t> here{i};
        for (std::size_t j = 1; j <= b.size(); ++j) {
            here.push_back(std::min(
                {above[j] + 1, here[j - 1] + 1, above[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1)}));
        }
        above = std::move(here);
    }
    return above.back();
}

/// The list of sources in a folder, by its name without the folder's.
bool is_sources(std::string_view name)
{
    return name.substr(name.find_last_of('/') + 1) == "sources.csv";
}

struct Known {
    std::set<std::string> units;
    bool may_be_negative = false;
};

std::map<std::string, Known> known_parameters(const TaxaTable& base)
{
    std::map<std::string, Known> known;
    for (const auto& row : base.figures()) {
        auto& one = known[row.parameter];
        one.units.insert(row.unit);
        one.may_be_negative = one.may_be_negative || row.lowest() < 0;
    }
    return known;
}

Result<void> check_name(const Figure& row, const std::map<std::string, Known>& known)
{
    const bool free =
        std::any_of(kFreeNames.begin(), kFreeNames.end(),
                    [&](std::string_view begin) { return row.parameter.starts_with(begin); });
    if (free || known.count(row.parameter) != 0) {
        return {};
    }
    const auto nearest =
        std::min_element(known.begin(), known.end(), [&](const auto& a, const auto& b) {
            return letters_apart(row.parameter, a.first) < letters_apart(row.parameter, b.first);
        });
    return fail(ErrorCode::InvalidInput,
                fmt::format("nothing reads a parameter '{}'; is '{}' meant? One of your own begins "
                            "with 'note.' or 'observed.'",
                            row.parameter, nearest->first),
                where(row, "parameter"));
}

Result<void> check_value(const Figure& row, const std::map<std::string, Known>& known)
{
    const auto found = known.find(row.parameter);
    if (found != known.end() && found->second.units.count(row.unit) == 0) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' has the unit '{}' here and '{}' in the table; convert the "
                                "figure to that",
                                row.parameter, row.unit, *found->second.units.begin()),
                    where(row, "unit"));
    }
    const double low = row.lowest();
    const double high = row.highest();
    if (row.unit == "share" && !(low >= 0 && high <= 1)) {
        return fail(ErrorCode::InvalidInput, "a share lies between 0 and 1", where(row, "typical"));
    }
    const bool may_be_negative = row.unit == "C" || row.unit == "date" ||
                                 (found != known.end() && found->second.may_be_negative);
    if (low < 0 && !may_be_negative) {
        return fail(ErrorCode::InvalidInput, fmt::format("{:g} {} is below zero", low, row.unit),
                    where(row, "low"));
    }
    return {};
}

/// Sources of `base`, those of the files added or put in their place.
Result<std::vector<SourceEntry>> merged_sources(const TaxaTable& base,
                                                std::span<const TextFile> files)
{
    std::vector<SourceEntry> sources{base.sources().begin(), base.sources().end()};
    for (const auto& file : files) {
        if (!is_sources(file.name)) {
            continue;
        }
        auto own = parse_sources(file.text, file.name);
        if (!own) {
            return tl::unexpected{std::move(own).error()};
        }
        for (auto& entry : *own) {
            const auto old =
                std::find_if(sources.begin(), sources.end(),
                             [&](const SourceEntry& one) { return one.key == entry.key; });
            if (old != sources.end()) {
                *old = std::move(entry);
            } else {
                sources.push_back(std::move(entry));
            }
        }
    }
    return sources;
}

Result<void> check_complete(const TaxaTable& table)
{
    for (const auto& taxon : table.taxa()) {
        for (const auto parameter : kNeeded) {
            const auto* row = table.figure(taxon.code, parameter);
            if (row == nullptr || row->unit.empty()) {
                const auto* name = table.figure(taxon.code, "name");
                return fail(ErrorCode::InvalidInput,
                            fmt::format("taxon '{}' has no figure '{}' and inherits none; add a "
                                        "row, or a group that has one",
                                        taxon.code, parameter),
                            fmt::format("{}:{}", name->file, name->line));
            }
        }
    }
    return {};
}

}  // namespace

std::span<const std::string_view> needed_parameters() { return kNeeded; }

Result<TaxaTable> with_own_rows(const TaxaTable& base, std::span<const TextFile> files)
{
    auto sources = merged_sources(base, files);
    if (!sources) {
        return tl::unexpected{std::move(sources).error()};
    }
    const auto known = known_parameters(base);
    std::vector<Figure> own;
    std::map<Key, std::string> file_of;
    for (const auto& file : files) {
        if (is_sources(file.name)) {
            continue;
        }
        auto rows = parse_figures(file.text, *sources, file.name);
        if (!rows) {
            return tl::unexpected{std::move(rows).error()};
        }
        for (auto& row : *rows) {
            if (auto good = check_name(row, known); !good) {
                return tl::unexpected{std::move(good).error()};
            }
            if (auto good = check_value(row, known); !good) {
                return tl::unexpected{std::move(good).error()};
            }
            const auto [at, is_new] =
                file_of.emplace(Key{row.subject, row.parameter}, std::string{file.name});
            if (!is_new && at->second != file.name) {
                return fail(ErrorCode::InvalidInput,
                            fmt::format("'{}' of '{}' is in {} too; keep one of them",
                                        row.parameter, row.subject, at->second),
                            where(row, "parameter"));
            }
            own.push_back(std::move(row));
        }
    }
    std::vector<Figure> all;
    all.reserve(base.figures().size() + own.size());
    for (const auto& row : base.figures()) {
        if (file_of.count(Key{row.subject, row.parameter}) == 0) {
            all.push_back(row);
        }
    }
    all.insert(all.end(), std::make_move_iterator(own.begin()), std::make_move_iterator(own.end()));
    auto table = TaxaTable::make(std::move(all), std::move(*sources));
    if (!table) {
        return table;
    }
    if (auto good = check_complete(*table); !good) {
        return tl::unexpected{std::move(good).error()};
    }
    if (auto good = check_traits(*table); !good) {
        return tl::unexpected{std::move(good).error()};
    }
    return table;
}

}  // namespace nestround::nature
