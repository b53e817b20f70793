#include "planner/app/name_wasp.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/base/error.hpp"

namespace nestround::app {

namespace {

double in_unit(Metres length, const std::string& unit)
{
    const double factor = unit == "mm" ? 1000 : unit == "cm" ? 100 : 1;
    return length.value() * factor;
}

const nature::Trait* find(const std::vector<nature::Trait>& traits, std::string_view key)
{
    const auto found = std::find_if(traits.begin(), traits.end(),
                                    [&](const nature::Trait& one) { return one.key == key; });
    return found == traits.end() ? nullptr : &*found;
}

}  // namespace

nature::Seen read_trait(const nature::TaxaTable& table, const TypedTrait& typed)
{
    const auto traits = nature::naming_traits(table);
    const auto* trait = find(traits, typed.trait);
    if (trait == nullptr || !typed.length) {
        return {typed.trait, typed.answer};
    }
    if (trait->unit.empty()) {
        throw Failure{ErrorCode::InvalidInput,
                      "it is no length; see 'nestround wasp' for its answers",
                      "trait " + typed.trait};
    }
    const double measured = in_unit(*typed.length, trait->unit);
    const auto at = trait->answer_for(measured);
    if (!at) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("{:g} {} lies in none of its bins", measured, trait->unit),
                      "trait " + typed.trait};
    }
    return {typed.trait, trait->answers[*at].key};
}

std::vector<nature::Seen> traits_of_nest(const nature::TaxaTable& table, const Nest& nest,
                                         const std::vector<nature::Seen>& typed)
{
    const auto traits = nature::naming_traits(table);
    std::vector<nature::Seen> seen;
    const auto given = [&](std::string_view key) {
        return std::any_of(typed.begin(), typed.end(),
                           [&](const nature::Seen& one) { return one.trait == key; });
    };
    const auto add = [&](std::string_view key, std::optional<std::size_t> at) {
        const auto* trait = find(traits, key);
        if (trait != nullptr && at && !given(key)) {
            seen.push_back({trait->key, trait->answers[*at].key});
        }
    };
    const auto measure = [&](std::string_view key, const std::optional<Metres>& length) {
        const auto* trait = find(traits, key);
        if (trait != nullptr && length) {
            add(key, trait->answer_for(in_unit(*length, trait->unit)));
        }
    };
    if (const auto* site = find(traits, "site"); site != nullptr) {
        add("site", site->answer(text(nest.kind)));
    }
    // A height says nothing of a nest in the ground; a width at the first call is the nest's own.
    const bool in_ground = nest.kind == NestKind::Ground ||
                           std::any_of(typed.begin(), typed.end(), [](const nature::Seen& one) {
                               return one.trait == "site" && one.answer == "ground";
                           });
    if (!in_ground) {
        measure("height", nest.height);
    }
    measure("nest_width", nest.width);
    return seen;
}

}  // namespace nestround::app
