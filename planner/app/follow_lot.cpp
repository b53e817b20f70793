#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "planner/app/freezer.hpp"
#include "planner/freezer/lot_code.hpp"
#include "planner/freezer/lot_values.hpp"

namespace nestround::app {

namespace {

void refuse_open(const LotCard& card)
{
    if (!card.lot.sealed_at) {
        throw Failure{ErrorCode::InvalidInput, "it is not sealed", "lot " + card.lot.code};
    }
}

freezer::LotStory short_story(const book::Book& book, LotCard card)
{
    freezer::LotStory story;
    story.now = card.lot;
    if (card.corrections > 0) {
        story.corrections = book.lot_corrections(card.lot.id);
        story.now = freezer::as_corrected(card.lot, story.corrections);
    }
    if (card.shipment) {
        story.shipment = book.shipment(*card.shipment);
        if (story.shipment && story.shipment->order) {
            if (const auto order = book.order(*story.shipment->order)) {
                story.laboratory = order->laboratory;
            }
        }
    }
    story.card = std::move(card);
    return story;
}

}  // namespace

LotId find_lot(const book::Book& book, const std::string& code)
{
    if (const auto lot = book.lot_by_code(code)) {
        return *lot;
    }
    const auto typed = freezer::read_lot_code(code);
    if (!typed) {
        throw Failure{ErrorCode::InvalidInput, typed.error().message, book.path().string()};
    }
    if (const auto lot = book.lot_by_code(*typed)) {
        return *lot;
    }
    throw Failure{ErrorCode::NotFound,
                  fmt::format("no lot has the code {}; 'nestround lot list' shows them", *typed),
                  book.path().string()};
}

freezer::LotStory story_of(const book::Book& book, LotId lot)
{
    auto card = book.lot_card(lot);
    if (!card) {
        throw Failure{ErrorCode::NotFound, "no such lot", book.path().string()};
    }
    auto story = short_story(book, std::move(*card));
    story.moves = book.lot_moves(lot);
    story.excursions = book.excursions_of(lot);
    story.ancestors = book.ancestors(lot);
    return story;
}

std::vector<freezer::LotStory> all_lots(const book::Book& book)
{
    std::vector<freezer::LotStory> out;
    for (auto& card : book.lot_cards()) {
        out.push_back(short_story(book, std::move(card)));
    }
    return out;
}

void move_lots(book::Book& book, const std::vector<std::string>& codes, const FreezerPlace& place,
               const std::string& note, const Hand& hand, KeyMaker& keys)
{
    book::Change change{book, hand.now};
    if (hand.clock_is_right) {
        change.clock_is_right();
    }
    for (const auto& code : codes) {
        const auto lot = find_lot(book, code);
        const auto card = book.lot_card(lot);
        refuse_open(*card);
        if (card->shipment) {
            throw Failure{ErrorCode::InvalidInput,
                          "it was shipped on " + format_day(*card->shipped), "lot " + code};
        }
        change.insert(
            LotMove{keys.make<LotMoveId>(hand.now), lot, hand.now, hand.who, place, note});
    }
    change.commit();
}

LotCorrection correct_lot(book::Book& book, const std::string& code, const std::string& field,
                          const std::string& value, const std::string& why, const Hand& hand,
                          KeyMaker& keys)
{
    book::Change change{book, hand.now};
    if (hand.clock_is_right) {
        change.clock_is_right();
    }
    const auto story = story_of(book, find_lot(book, code));
    refuse_open(story.card);
    LotCorrection correction;
    correction.id = keys.make<LotCorrectionId>(hand.now);
    correction.lot = story.card.lot.id;
    correction.at = hand.now;
    correction.who = hand.who;
    correction.field = field;
    correction.why = why;
    if (field == "withdrawn") {
        if (story.card.withdrawn) {
            throw Failure{ErrorCode::InvalidInput, "it is withdrawn already", "lot " + code};
        }
    } else {
        const auto read = freezer::read_correction(field, value);
        if (!read) {
            throw Failure{ErrorCode::BadUsage, read.error().message, "lot " + code};
        }
        correction.was = freezer::value_of(story.now, field);
        correction.becomes = *read;
        if (correction.was == correction.becomes) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("its {} is '{}' already", field, correction.was),
                          "lot " + code};
        }
    }
    change.insert(correction);
    change.commit();
    return correction;
}

NestId find_nest(const book::Book& book, const std::string& key)
{
    std::string wanted = key;
    std::transform(wanted.begin(), wanted.end(), wanted.begin(), [](char c) {
        return c >= 'A' && c <= 'F' ? static_cast<char>(c - 'A' + 'a') : c;
    });
    const auto nests = book.ids_ending("nest", wanted);
    if (nests.size() > 1) {
        throw Failure{ErrorCode::InvalidInput, "more than one nest ends so; give more of its key",
                      "nest " + key};
    }
    if (nests.size() == 1) {
        return NestId{nests.front()};
    }
    return book.call(book.find_call(key))->nest.id;
}

std::vector<Ancestor> loose_of(const book::Book& book, NestId nest)
{
    std::vector<Ancestor> out;
    const auto rows = book.yields_of(nest);
    // Rows of one thing stand together: one for each lot that it is in.
    for (std::size_t i = 0; i < rows.size();) {
        std::size_t end = i;
        bool whole = false;
        for (; end < rows.size() && rows[end].catch_id == rows[i].catch_id &&
               rows[end].collection == rows[i].collection;
             ++end) {
            const auto& parent = rows[end].parent;
            whole = whole || (parent && !parent->mass && !book.lot_card(parent->lot)->withdrawn);
        }
        const auto& thing = rows[i];
        const bool shared_out =
            thing.mass && thing.taken && thing.taken->value() > thing.mass->value() - 0.0005;
        if (!whole && !shared_out) {
            out.push_back(thing);
            out.back().parent.reset();
        }
        i = end;
    }
    return out;
}

freezer::Recall recall(const book::Book& book, const std::string& key)
{
    freezer::Recall out;
    const auto typed = freezer::read_lot_code(key);
    if (book.lot_by_code(key) || typed) {
        const auto lot = find_lot(book, key);
        out.asked = "lot " + book.lot_card(lot)->lot.code;
        out.nests = book.nests_of(lot);
    } else {
        out.nests = {find_nest(book, key)};
        out.asked = "nest " + freezer::tail(out.nests.front().uuid());
    }
    std::set<LotId> lots;
    for (const auto& nest : out.nests) {
        for (const auto& lot : book.lots_of(nest)) {
            lots.insert(lot);
        }
    }
    for (const auto& lot : lots) {
        out.lots.push_back(story_of(book, lot));
    }
    for (const auto& nest : out.nests) {
        for (auto& thing : loose_of(book, nest)) {
            out.loose.push_back(std::move(thing));
        }
    }
    return out;
}

std::vector<Excursion> enter_excursions(book::Book& book,
                                        const std::vector<freezer::LoggerReading>& readings,
                                        const ExcursionWishes& wishes, const Hand& hand,
                                        KeyMaker& keys)
{
    std::vector<Excursion> out;
    book::Change change{book, hand.now};
    if (hand.clock_is_right) {
        change.clock_is_right();
    }
    const auto moves = book.moves_of_freezer(wishes.place.freezer);
    const auto known = book.excursions();
    std::map<LotId, Day> shipped;
    for (const auto& move : moves) {
        if (!shipped.contains(move.lot)) {
            if (const auto card = book.lot_card(move.lot); card && card->shipped) {
                shipped[move.lot] = *card->shipped;
            }
        }
    }
    for (const auto& warm : freezer::warm_times(readings, wishes.limit)) {
        Excursion excursion;
        excursion.id = keys.make<ExcursionId>(hand.now);
        excursion.place = wishes.place;
        excursion.began = warm.began;
        excursion.ended = warm.ended;
        excursion.limit = wishes.limit;
        excursion.warmest = warm.warmest;
        excursion.readings = warm.readings;
        excursion.who = hand.who;
        excursion.note = wishes.note;
        excursion.lots = freezer::lots_there(moves, shipped, wishes.place, warm.began, warm.ended);
        const bool is_known = std::any_of(known.begin(), known.end(), [&](const Excursion& other) {
            return other.place == excursion.place && other.began == excursion.began &&
                   other.ended == excursion.ended && other.limit == excursion.limit;
        });
        if (!is_known) {
            change.insert(excursion);
            out.push_back(std::move(excursion));
        }
    }
    change.commit();
    return out;
}

}  // namespace nestround::app
