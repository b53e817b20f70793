#include "geocore/nature/naming.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "geocore/nature/courses.hpp"
#include "geocore/nature/season.hpp"

namespace nestround::nature {

namespace {

using Chances = std::vector<double>;

/// Below this share of what guesswork would say, a trait speaks against a taxon.
constexpr double kAgainst = 0.4;

double number(const TaxaTable& table, std::string_view parameter, double otherwise)
{
    const auto* row = table.figure("all", parameter);
    return row == nullptr ? otherwise : row->middle();
}

void normalise(Chances& chances)
{
    const double sum = std::accumulate(chances.begin(), chances.end(), 0.0);
    for (double& chance : chances) {
        chance = sum > 0 ? chance / sum : 1 / static_cast<double>(chances.size());
    }
}

double entropy(const Chances& chances)
{
    double bits = 0;
    for (const double p : chances) {
        bits -= p > 0 ? p * std::log2(p) : 0;
    }
    return bits;
}

/// A trait with its answer, or without one.
struct Asked {
    Trait trait;
    std::optional<std::size_t> answer;
    std::vector<TraitShares> shares;  ///< of each taxon, slips allowed for
};

Asked* find(std::vector<Asked>& asked, std::string_view key)
{
    const auto found = std::find_if(asked.begin(), asked.end(),
                                    [&](const Asked& one) { return one.trait.key == key; });
    return found == asked.end() ? nullptr : &*found;
}

std::string list_of(const std::vector<Asked>& asked)
{
    std::string list;
    for (const auto& one : asked) {
        list += (list.empty() ? "" : ", ") + one.trait.key;
    }
    return list;
}

std::string list_of(const Trait& trait)
{
    std::string list;
    for (const auto& answer : trait.answers) {
        list += answer.key + ", ";
    }
    return list + (trait.unit.empty() ? "unknown" : "unknown, or a length as 25cm");
}

Result<void> take(std::vector<Asked>& asked, const Seen& seen)
{
    auto* one = find(asked, seen.trait);
    if (one == nullptr) {
        return fail(
            ErrorCode::InvalidInput,
            fmt::format("there is no trait '{}'; there are: {}", seen.trait, list_of(asked)),
            "trait " + seen.trait);
    }
    if (seen.answer == "unknown") {
        return {};
    }
    const auto answer = one->trait.answer(seen.answer);
    if (!answer) {
        return fail(
            ErrorCode::InvalidInput,
            fmt::format("'{}' is no answer; there are: {}", seen.answer, list_of(one->trait)),
            "trait " + seen.trait);
    }
    if (one->answer && one->answer != answer) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("it is given as '{}' and as '{}'; keep one",
                                one->trait.answers[*one->answer].key, seen.answer),
                    "trait " + seen.trait);
    }
    one->answer = answer;
    return {};
}

/// What a trait that was seen says of the one it hangs on: the texture of an envelope, that there
/// is one.
Result<void> follow_conditions(std::vector<Asked>& asked)
{
    for (const auto& one : asked) {
        if (!one.answer || one.trait.needs.empty()) {
            continue;
        }
        auto& other = *find(asked, one.trait.needs);
        const auto& fit = one.trait.needs_one_of;
        if (!other.answer && fit.size() == 1) {
            other.answer = other.trait.answer(fit.front());
        } else if (other.answer && std::find(fit.begin(), fit.end(),
                                             other.trait.answers[*other.answer].key) == fit.end()) {
            return fail(
                ErrorCode::InvalidInput,
                fmt::format("it makes no sense with {} '{}'; give one of the two as unknown",
                            other.trait.key, other.trait.answers[*other.answer].key),
                "trait " + one.trait.key);
        }
    }
    return {};
}

/// Whether looking at this trait has sense, as far as is known.
bool may_be_asked(std::vector<Asked>& asked, const Asked& one)
{
    if (one.trait.needs.empty()) {
        return true;
    }
    const auto& other = *find(asked, one.trait.needs);
    const auto& fit = one.trait.needs_one_of;
    return other.answer &&
           std::find(fit.begin(), fit.end(), other.trait.answers[*other.answer].key) != fit.end();
}

/// A trait may be misread: then any answer is as likely.
void allow_slips(TraitShares& shares, double slip)
{
    for (double& share : shares.share) {
        share = (1 - slip) * share + slip / static_cast<double>(shares.share.size());
    }
}

/// How much more likely an answer is for a taxon than by guesswork.
double lift(const Asked& one, std::size_t taxon)
{
    return one.shares[taxon].share[*one.answer] * static_cast<double>(one.trait.answers.size());
}

/// The pair of traits that least go together: for which even the best taxon does worst.
std::vector<std::string> worst_pair(const std::vector<const Asked*>& seen, std::size_t taxa)
{
    double worst = 0;
    std::vector<std::string> pair;
    for (std::size_t i = 0; i < seen.size(); ++i) {
        for (std::size_t j = i + 1; j < seen.size(); ++j) {
            double best = 0;
            for (std::size_t t = 0; t < taxa; ++t) {
                best = std::max(best, lift(*seen[i], t) * lift(*seen[j], t));
            }
            if (pair.empty() || best < worst) {
                worst = best;
                pair = {seen[i]->trait.key, seen[j]->trait.key};
            }
        }
    }
    if (pair.empty() && !seen.empty()) {
        pair = {seen.front()->trait.key};
    }
    return pair;
}

double bits_of(const Asked& one, const Chances& chances, double entropy_now)
{
    double left = 0;
    for (std::size_t a = 0; a < one.trait.answers.size(); ++a) {
        Chances after = chances;
        double chance_of_answer = 0;
        for (std::size_t t = 0; t < after.size(); ++t) {
            after[t] *= one.shares[t].share[a];
            chance_of_answer += after[t];
        }
        if (chance_of_answer > 0) {
            normalise(after);
            left += chance_of_answer * entropy(after);
        }
    }
    return std::max(0.0, entropy_now - left);
}

void add_look_alikes(const TaxaTable& table, WaspName& name)
{
    constexpr std::string_view begin = "look_alike.";
    const auto* leader = name.taxa.front().taxon;
    for (const auto* row : table.own_rows(leader->code)) {
        if (!row->parameter.starts_with(begin)) {
            continue;
        }
        const auto* other = table.find(std::string_view{row->parameter}.substr(begin.size()));
        const auto at = std::find_if(name.taxa.begin(), name.taxa.end(),
                                     [&](const TaxonChance& one) { return one.taxon == other; });
        // A wasp of another part of the world is no help.
        if (other != nullptr && at != name.taxa.end()) {
            name.look_alikes.push_back({other, row->words, row->mark});
        }
    }
}

void add_genera(WaspName& name)
{
    for (const auto& one : name.taxa) {
        const auto at =
            std::find_if(name.genera.begin(), name.genera.end(),
                         [&](const GenusChance& genus) { return genus.genus == one.taxon->genus; });
        if (at == name.genera.end()) {
            name.genera.push_back({one.taxon->genus, one.chance});
        } else {
            at->chance += one.chance;
        }
    }
    std::stable_sort(name.genera.begin(), name.genera.end(),
                     [](const auto& a, const auto& b) { return a.chance > b.chance; });
}

}  // namespace

double chance_alive(const TaxaTable& table, const Taxon& taxon, Latitude latitude, Day on)
{
    const auto courses = draw_courses(table, taxon, latitude, kEnsemble);
    const auto alive_in = [&](int year) {
        const double day = season_day(on, latitude, year);
        const auto alive = std::count_if(courses.begin(), courses.end(), [&](const Course& one) {
            return day >= one.founding && day < one.end;
        });
        return static_cast<double>(alive) / static_cast<double>(courses.size());
    };
    // Late in a season the next year's has not begun, and the last may still live.
    const int year = season_of(on, latitude);
    return std::clamp(std::max(alive_in(year), alive_in(year - 1)), 0.0, 1.0);
}

Result<WaspName> name_wasp(const TaxaTable& table, std::span<const Seen> seen, LonLat place, Day on)
{
    // What may be there on that day, before anything is looked at.
    const auto possible = candidates(table, "", "unknown", place);
    const std::size_t count = possible.size();
    const double least = number(table, "trait.out_of_season", 0.02);
    Chances before;
    std::vector<double> alive;
    for (const auto& one : possible) {
        alive.push_back(chance_alive(table, *one.taxon, place.lat, on));
        before.push_back(one.chance * std::max(least, alive.back()));
    }
    normalise(before);

    // What was seen.
    const ShareTable shares{table};
    const double slip = number(table, "trait.slip", 0.02);
    std::vector<Asked> asked;
    for (auto& trait : naming_traits(table)) {
        Asked one{std::move(trait), {}, {}};
        for (const auto& candidate : possible) {
            one.shares.push_back(shares.shares(candidate.taxon->code, one.trait));
            allow_slips(one.shares.back(), slip);
        }
        asked.push_back(std::move(one));
    }
    for (const auto& one : seen) {
        if (auto taken = take(asked, one); !taken) {
            return tl::unexpected{std::move(taken).error()};
        }
    }
    if (auto fitting = follow_conditions(asked); !fitting) {
        return tl::unexpected{std::move(fitting).error()};
    }

    // Bayes' rule, with everything measured against guesswork.
    WaspName name;
    std::vector<const Asked*> known;
    for (const auto& one : asked) {
        if (one.answer) {
            known.push_back(&one);
            name.heeded.push_back({one.trait.key, one.trait.answers[*one.answer].key});
            name.wasp_seen = name.wasp_seen || one.trait.of_wasp;
        }
    }
    Chances after = before;
    for (std::size_t t = 0; t < count; ++t) {
        for (const auto* one : known) {
            after[t] *= lift(*one, t);
        }
    }
    const double evidence = std::accumulate(after.begin(), after.end(), 0.0);
    const double doubt = known.empty() ? 0 : number(table, "trait.doubt", 0.1);
    name.trust = (1 - doubt) * evidence / ((1 - doubt) * evidence + doubt);
    name.contradiction = !known.empty() && evidence < number(table, "trait.contradiction", 0.3);
    normalise(after);
    const double keep = name.wasp_seen ? 1 : 1 - number(table, "trait.nest_doubt", 0.1);
    const double weight = name.contradiction ? 0 : name.trust * (known.empty() ? 1 : keep);
    Chances now(count);
    for (std::size_t t = 0; t < count; ++t) {
        now[t] = weight * after[t] + (1 - weight) * before[t];
    }

    std::vector<std::size_t> order(count);
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return now[a] > now[b]; });
    for (const auto t : order) {
        name.taxa.push_back({possible[t].taxon, now[t], before[t], alive[t]});
    }
    add_genera(name);
    add_look_alikes(table, name);
    name.entropy_bits = entropy(now);
    for (const auto* one : known) {
        const auto leader = order.front();
        if (!name.contradiction && lift(*one, leader) < kAgainst) {
            name.against.push_back(one->trait.key);
        }
        if (const auto mark = one->shares[leader].mark) {
            ++name.shares_used;
            name.shares_read += *mark <= Mark::Derived ? 1 : 0;
        }
    }
    if (name.contradiction) {
        name.contradictory = worst_pair(known, count);
    }
    for (auto& one : asked) {
        if (!one.answer && may_be_asked(asked, one)) {
            name.looks.push_back({one.trait, bits_of(one, now, name.entropy_bits)});
        }
    }
    std::stable_sort(name.looks.begin(), name.looks.end(),
                     [](const NextLook& a, const NextLook& b) { return a.bits > b.bits; });
    return name;
}

}  // namespace nestround::nature
