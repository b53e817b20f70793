#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <set>

#include "geocore/nature/conversions.hpp"
#include "planner/app/freezer.hpp"
#include "planner/freezer/lot_code.hpp"

namespace nestround::app {

namespace {

/// What goes into the bag, and how much of it when not all.
struct Chosen {
    Ancestor thing;
    std::optional<Grams> part;
};

std::string name_of(const Ancestor& thing)
{
    return thing.catch_id ? "catch " + freezer::tail(thing.catch_id->uuid())
                          : "collection " + freezer::tail(thing.collection->uuid());
}

bool is_same(const Ancestor& a, const Ancestor& b)
{
    return a.catch_id == b.catch_id && a.collection == b.collection;
}

/// All rows of one catch or collection: one for each lot that it is in.
std::vector<Ancestor> rows_of(const book::Book& book, const Ancestor& thing)
{
    auto rows = book.yields_of(thing.nest);
    std::erase_if(rows, [&](const Ancestor& row) { return !is_same(row, thing); });
    return rows;
}

class Choice {
public:
    Choice(const book::Book& book, const SealWishes& wishes) : book_{book}, wishes_{wishes}
    {
        for (const auto& text : wishes.catches) {
            choose(text, true);
        }
        for (const auto& text : wishes.collections) {
            choose(text, false);
        }
        for (const auto& key : wishes.calls) {
            choose_all_of(key);
        }
        if (chosen.empty()) {
            throw Failure{ErrorCode::BadUsage,
                          "nothing to seal: name catches with --catch, collections with "
                          "--collection, or a call with --call ('nestround lot loose' lists them)"};
        }
    }

    std::vector<Chosen> chosen;

private:
    void choose(const std::string& text, bool is_catch)
    {
        const auto equals = text.find('=');
        const std::string key = text.substr(0, equals);
        Chosen one{find(key, is_catch), std::nullopt};
        if (equals != std::string::npos) {
            double grams = 0;
            const char* end = text.data() + text.size();
            const auto read = std::from_chars(text.data() + equals + 1, end, grams);
            if (read.ec != std::errc{} || (read.ptr != end && std::string{read.ptr, end} != "g") ||
                !(grams > 0)) {
                throw Failure{
                    ErrorCode::BadUsage,
                    fmt::format("a part of a catch is KEY=GRAMS, as {}=120, not '{}'", key, text)};
            }
            one.part = Grams{grams};
        }
        add(std::move(one));
    }

    void choose_all_of(const std::string& key)
    {
        const auto nest = find_nest(book_, key);
        bool found = false;
        for (auto& thing : loose_of(book_, nest)) {
            if (!thing.taken) {
                add({std::move(thing), std::nullopt});
                found = true;
            }
        }
        if (!found) {
            throw Failure{ErrorCode::NotFound,
                          "nothing of its nest is loose: it is all in lots, or nothing was caught",
                          "call " + key};
        }
    }

    void add(Chosen one)
    {
        if (std::any_of(chosen.begin(), chosen.end(),
                        [&](const Chosen& other) { return is_same(other.thing, one.thing); })) {
            throw Failure{ErrorCode::BadUsage, "it is named twice", name_of(one.thing)};
        }
        refuse_bagged(one);
        chosen.push_back(std::move(one));
    }

    Ancestor find(const std::string& key, bool is_catch)
    {
        const char* table = is_catch ? "catch" : "collection";
        std::string wanted = key;
        std::transform(wanted.begin(), wanted.end(), wanted.begin(), [](char c) {
            return c >= 'A' && c <= 'F' ? static_cast<char>(c - 'A' + 'a') : c;
        });
        const auto ids = book_.ids_ending(table, wanted);
        if (ids.size() != 1) {
            throw Failure{
                ids.empty() ? ErrorCode::NotFound : ErrorCode::InvalidInput,
                ids.empty() ? fmt::format("no {0} ends so; 'nestround lot loose' lists them", table)
                            : fmt::format("more than one {} ends so; give more of its key", table),
                fmt::format("{} {}", table, key)};
        }
        if (auto thing = book_.thing(ids.front(), is_catch)) {
            return std::move(*thing);
        }
        throw Failure{ErrorCode::RuleBroken, "no way leads back from it to a nest",
                      fmt::format("{} {}", table, key)};
    }

    /// By name, which the schema cannot.
    void refuse_bagged(const Chosen& one) const
    {
        for (const auto& row : rows_of(book_, one.thing)) {
            if (!row.parent) {
                continue;
            }
            const auto card = book_.lot_card(row.parent->lot);
            if (card && !card->withdrawn && !(row.parent->mass && one.part)) {
                throw Failure{
                    ErrorCode::InvalidInput,
                    fmt::format("it is in lot {} already; a large catch is shared among bags as "
                                "KEY=GRAMS in each",
                                card->lot.code),
                    name_of(one.thing)};
            }
        }
    }

    const book::Book& book_;
    const SealWishes& wishes_;
};

/// One species, named; nothing poisoned in a bag for venom.
void refuse_mixture(const std::vector<Chosen>& chosen, LotPurpose purpose)
{
    const auto& first = chosen.front().thing;
    for (const auto& [thing, part] : chosen) {
        if (thing.taxon.empty()) {
            throw Failure{ErrorCode::InvalidInput,
                          "its species is not known, and a lot has one species: name the wasps "
                          "first",
                          name_of(thing)};
        }
        if (thing.taxon != first.taxon) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("it is {}, but {} is {}: a lot has one species", thing.taxon,
                                      name_of(first), first.taxon),
                          name_of(thing)};
        }
        if (thing.insecticide && purpose == LotPurpose::Venom) {
            throw Failure{ErrorCode::InvalidInput,
                          "its nest had insecticide: it may enter a lot --for other, never one "
                          "for venom",
                          name_of(thing)};
        }
    }
}

Grams mass_of(const std::vector<Chosen>& chosen, const SealWishes& wishes,
              std::vector<std::string>& notes)
{
    Grams sum{0};
    bool known = true;
    for (const auto& [thing, part] : chosen) {
        known = known && (part || thing.mass);
        sum += part.value_or(thing.mass.value_or(Grams{0}));
    }
    if (!wishes.mass) {
        if (!known || !(sum > Grams{0})) {
            throw Failure{ErrorCode::BadUsage,
                          "not everything in it was weighed: give the net mass with --mass"};
        }
        return sum;
    }
    constexpr double kScales = 1.05;  // more than a twentieth is no matter of scales
    if (known && *wishes.mass > sum * kScales) {
        notes.push_back(fmt::format("the lot weighs {:g} g, but only {:g} g went into it",
                                    wishes.mass->value(), sum.value()));
    }
    return *wishes.mass;
}

/// The same bag sealed twice, as by a command repeated after a power cut.
void refuse_double(const book::Book& book, const std::vector<Chosen>& chosen, Grams mass)
{
    for (const auto& row : rows_of(book, chosen.front().thing)) {
        if (!row.parent) {
            continue;
        }
        const auto card = book.lot_card(row.parent->lot);
        if (!card || card->withdrawn || card->lot.mass != mass) {
            continue;
        }
        const auto inside = book.ancestors(card->lot.id);
        const bool same =
            inside.size() == chosen.size() &&
            std::all_of(chosen.begin(), chosen.end(), [&](const Chosen& one) {
                return std::any_of(inside.begin(), inside.end(), [&](const Ancestor& other) {
                    return is_same(one.thing, other) && other.parent->mass == one.part;
                });
            });
        if (same) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("a lot with just this in it is there already, {}; if this "
                                      "is one more bag like it, add --again",
                                      card->lot.code)};
        }
    }
}

}  // namespace

Sealed seal_lot(book::Book& book, const nature::TaxaTable& taxa, const SealWishes& wishes,
                const Hand& hand, KeyMaker& keys)
{
    if (hand.who.empty() || wishes.place.freezer.empty()) {
        throw Failure{ErrorCode::BadUsage,
                      "a lot is sealed by someone and lies somewhere: say "
                      "who (--who) and in which freezer (--freezer)"};
    }
    // From here on no other process writes: what is looked at is what is written upon.
    book::Change change{book, hand.now};
    if (hand.clock_is_right) {
        change.clock_is_right();
    }
    if (hand.deed) {
        change.by(*hand.deed);
    }
    const auto chosen = Choice{book, wishes}.chosen;
    refuse_mixture(chosen, wishes.purpose);
    Sealed out;
    Lot lot;
    lot.mass = mass_of(chosen, wishes, out.notes);
    if (!wishes.again) {
        refuse_double(book, chosen, *lot.mass);
    }
    if (wishes.foreign && !nature::lot_is_pure(taxa, *lot.mass, *wishes.foreign)) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("{:g} g of other matter in {:g} g is more than the rule for "
                                  "source material allows: pick it over first",
                                  wishes.foreign->value(), lot.mass->value())};
    }
    lot.id = keys.make<LotId>(hand.now);
    Random random{std::hash<Uuid>{}(lot.id.uuid())};
    do {
        lot.code = freezer::make_lot_code(random);
    } while (book.lot_by_code(lot.code));
    lot.taxon = chosen.front().thing.taxon;
    lot.purpose = wishes.purpose;
    lot.frozen_at = wishes.frozen.value_or(
        std::min_element(chosen.begin(), chosen.end(), [](const Chosen& a, const Chosen& b) {
            return a.thing.at < b.thing.at;
        })->thing.at);
    if (lot.frozen_at > hand.now) {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("it was frozen at {}, which is still to come at {}: mend "
                                  "--frozen, or the clock",
                                  format_instant(lot.frozen_at), format_instant(hand.now))};
    }
    lot.count = wishes.count;
    lot.method = wishes.method;
    lot.container = wishes.container;
    lot.sealed_by = hand.who;
    lot.note = wishes.note;
    change.insert(lot);
    for (const auto& [thing, part] : chosen) {
        change.insert(LotParent{keys.make<LotParentId>(hand.now), lot.id, thing.catch_id,
                                thing.collection, part});
    }
    change.seal(lot.id, hand.now);
    change.insert(
        LotMove{keys.make<LotMoveId>(hand.now), lot.id, hand.now, hand.who, wishes.place, ""});
    change.commit();
    out.story = story_of(book, lot.id);
    return out;
}

}  // namespace nestround::app
