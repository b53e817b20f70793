#include "geocore/nature/traits.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace nestround::nature {

namespace {

constexpr std::string_view kNest = "trait.nest.";
constexpr std::string_view kWasp = "trait.wasp.";
constexpr double kSumSlack = 1e-6;

std::string begin_of(const Trait& trait)
{
    return fmt::format("{}{}.", trait.of_wasp ? kWasp : kNest, trait.key);
}

/// What stands behind the beginning, when `text` begins so.
std::optional<std::string_view> behind(std::string_view text, std::string_view begin)
{
    if (!text.starts_with(begin)) {
        return std::nullopt;
    }
    return text.substr(begin.size());
}

/// The answer that a row speaks of, as a key; nothing when the row is of something else. The site
/// has rows of its own that forecasts read too.
std::optional<std::string_view> answer_of(const Figure& row, const Trait& trait,
                                          std::string_view begin)
{
    if (const auto key = behind(row.parameter, begin)) {
        return key;
    }
    return trait.key == "site" ? behind(row.parameter, "site.") : std::nullopt;
}

std::vector<std::string> words_of(std::string_view text)
{
    std::vector<std::string> words;
    while (!text.empty()) {
        const auto space = text.find(' ');
        words.emplace_back(text.substr(0, space));
        text.remove_prefix(space == std::string_view::npos ? text.size() : space + 1);
    }
    return words;
}

void read_condition(std::string_view text, Trait& trait)
{
    const auto equals = text.find('=');
    trait.needs = text.substr(0, equals);
    if (equals != std::string_view::npos) {
        trait.needs_one_of = words_of(text.substr(equals + 1));
    }
}

std::string where(const Figure& row, std::string_view column)
{
    return fmt::format("{}:{}, column {}", row.file, row.line, column);
}

const Trait* find(const std::vector<Trait>& traits, std::string_view key)
{
    const auto found = std::find_if(traits.begin(), traits.end(),
                                    [&](const Trait& trait) { return trait.key == key; });
    return found == traits.end() ? nullptr : &*found;
}

Result<void> check_trait(const TaxaTable& table, const std::vector<Trait>& traits,
                         const Trait& trait)
{
    const auto begin = begin_of(trait);
    const auto* asked = table.figure("all", begin.substr(0, begin.size() - 1));
    const auto refuse = [&](const std::string& message) {
        return fail(ErrorCode::InvalidInput, fmt::format("trait '{}' {}", trait.key, message),
                    where(*asked, "parameter"));
    };
    if (std::count_if(traits.begin(), traits.end(),
                      [&](const Trait& other) { return other.key == trait.key; }) > 1) {
        return refuse("is there twice, of the nest and of the wasp; rename one");
    }
    if (trait.answers.size() < 2) {
        return refuse("needs two answers or more, as rows of 'all' below it");
    }
    if (!trait.unit.empty()) {
        for (std::size_t i = 0; i < trait.answers.size(); ++i) {
            const auto& answer = trait.answers[i];
            const bool joined = i == 0 || trait.answers[i - 1].to == answer.from;
            if (!answer.from || !joined || (!answer.to && i + 1 < trait.answers.size())) {
                return refuse("needs a bin row for each answer; each begins where the last ends");
            }
        }
        if (trait.unit != "m" && trait.unit != "cm" && trait.unit != "mm") {
            return refuse("is measured in '" + trait.unit + "'; use m, cm or mm");
        }
    }
    if (!trait.needs.empty()) {
        const auto* other = find(traits, trait.needs);
        const bool known =
            other != nullptr && !trait.needs_one_of.empty() &&
            std::all_of(trait.needs_one_of.begin(), trait.needs_one_of.end(),
                        [&](const auto& key) { return other->answer(key).has_value(); });
        if (!known || !other->needs.empty()) {
            return refuse("hangs on '" + trait.needs +
                          "', which must be a trait that hangs on none, with such answers");
        }
    }
    std::map<std::string_view, double> sums;
    for (const auto& row : table.figures()) {
        const auto key = answer_of(row, trait, begin);
        if (!key || row.subject == "all") {
            continue;
        }
        if (!trait.answer(*key)) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("trait '{}' has no answer '{}'; add it as a row of 'all'",
                                    trait.key, *key),
                        where(row, "parameter"));
        }
        if (row.unit != "share" || !(row.middle() >= 0)) {
            return fail(ErrorCode::InvalidInput, "a trait's row is a share", where(row, "unit"));
        }
        double& sum = sums[row.subject];
        sum += row.middle();
        if (sum > 1 + kSumSlack) {
            return fail(
                ErrorCode::InvalidInput,
                fmt::format(
                    "the shares of '{}' for '{}' add up to more than 1; lower or replace the "
                    "others too",
                    trait.key, row.subject),
                where(row, "typical"));
        }
    }
    return {};
}

}  // namespace

std::optional<std::size_t> Trait::answer(std::string_view answer_key) const
{
    const auto found = std::find_if(answers.begin(), answers.end(), [&](const TraitAnswer& answer) {
        return answer.key == answer_key;
    });
    if (found == answers.end()) {
        return std::nullopt;
    }
    return static_cast<std::size_t>(found - answers.begin());
}

std::optional<std::size_t> Trait::answer_for(double measured) const
{
    for (std::size_t i = 0; i < answers.size(); ++i) {
        const auto& one = answers[i];
        if (one.from && measured >= *one.from && (!one.to || measured < *one.to)) {
            return i;
        }
    }
    return std::nullopt;
}

std::vector<Trait> naming_traits(const TaxaTable& table)
{
    std::vector<Trait> traits;
    const auto rows = table.own_rows("all");
    for (const auto* row : rows) {
        auto key = behind(row->parameter, kNest);
        const bool of_wasp = !key;
        if (of_wasp) {
            key = behind(row->parameter, kWasp);
        }
        if (key && key->find('.') == std::string_view::npos) {
            Trait trait;
            trait.key = *key;
            trait.of_wasp = of_wasp;
            trait.question = row->words;
            traits.push_back(std::move(trait));
        }
    }
    for (auto& trait : traits) {
        const auto begin = begin_of(trait);
        for (const auto* row : rows) {
            const auto key = behind(row->parameter, begin);
            if (key && *key == "if") {
                read_condition(row->words, trait);
            } else if (key) {
                trait.answers.push_back({std::string{*key}, row->words, {}, {}});
            }
        }
        const auto bins = "bin" + begin.substr(begin.find('.'));
        for (const auto* row : rows) {
            const auto key = behind(row->parameter, bins);
            const auto at = key ? trait.answer(*key) : std::nullopt;
            if (at) {
                trait.unit = row->unit;
                trait.answers[*at].from = row->low;
                trait.answers[*at].to = row->high;
            }
        }
    }
    return traits;
}

ShareTable::ShareTable(const TaxaTable& table) : table_{&table}
{
    for (const auto& row : table.figures()) {
        if (row.subject != "all" &&
            (row.parameter.starts_with("trait.") || row.parameter.starts_with("site."))) {
            rows_[row.subject].push_back(&row);
        }
    }
}

TraitShares ShareTable::shares(std::string_view taxon, const Trait& trait) const
{
    const auto count = trait.answers.size();
    const auto begin = begin_of(trait);
    for (const auto& level : table_->chain(taxon)) {
        const auto here = rows_.find(level);
        if (here == rows_.end()) {
            continue;
        }
        TraitShares found{std::vector<double>(count, -1), {}};
        double sum = 0;
        std::size_t named = 0;
        for (const auto* row : here->second) {
            const auto key = answer_of(*row, trait, begin);
            const auto at = key ? trait.answer(*key) : std::nullopt;
            if (at && found.share[*at] < 0) {
                found.share[*at] = row->middle();
                sum += row->middle();
                ++named;
                found.mark = found.mark ? std::max(*found.mark, row->mark) : row->mark;
            }
        }
        if (named == 0) {
            continue;
        }
        // Answers that are not named share what is left; when all are named they are scaled.
        const double rest =
            named < count ? std::max(0.0, 1 - sum) / static_cast<double>(count - named) : 0;
        double total = 0;
        for (double& share : found.share) {
            share = share < 0 ? rest : share;
            total += share;
        }
        if (!(total > 0)) {
            continue;
        }
        for (double& share : found.share) {
            share /= total;
        }
        return found;
    }
    return {std::vector<double>(count, 1 / static_cast<double>(count)), {}};
}

Result<void> check_traits(const TaxaTable& table)
{
    const auto traits = naming_traits(table);
    for (const auto& trait : traits) {
        if (auto good = check_trait(table, traits, trait); !good) {
            return good;
        }
    }
    return {};
}

}  // namespace nestround::nature
