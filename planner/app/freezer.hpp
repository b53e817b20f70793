/// \file freezer.hpp
/// \brief Use cases: seal a lot, put it elsewhere, put it right, follow it, call it back.
///
/// Purpose:  `nestround lot seal|list|show|trace|move|correct|recall|excursion`.
/// Units:    in the types.
/// Range:    a change is one transaction that looks before it writes, so that two processes at once
///           or the same command twice make one lot.
/// Accuracy: as entered.
/// Errors:   Failure: NotFound and InvalidInput name the key; RuleBroken when the schema refuses.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/freezer/family.hpp"
#include "planner/freezer/warm_time.hpp"

namespace nestround::app {

/// Who writes, when, and whether an early clock was confirmed.
struct Hand {
    std::string who;
    Instant now{};
    bool clock_is_right = false;
    std::optional<Deed> deed{};  ///< as which the change is remembered
};

struct SealWishes {
    std::vector<std::string> catches;      ///< ends of keys; KEY=GRAMS for a part of one
    std::vector<std::string> collections;  ///< likewise
    std::vector<std::string> calls;        ///< all that is loose of their nests
    std::optional<Grams> mass;             ///< net; empty: the sum of what went in
    std::optional<int> count;
    std::optional<Instant> frozen;  ///< empty: when the first of it was
    FreezingMethod method = FreezingMethod::Unknown;
    FreezerPlace place;
    std::string container;
    std::string note;
    LotPurpose purpose = LotPurpose::Venom;
    std::optional<Grams> foreign;  ///< other matter found in the bag
    bool again = false;            ///< another bag like one that is there
};

struct Sealed {
    freezer::LotStory story;
    std::vector<std::string> notes;
};

[[nodiscard]] Sealed seal_lot(book::Book& book, const nature::TaxaTable& taxa,
                              const SealWishes& wishes, const Hand& hand, KeyMaker& keys);

/// A lot by its code as typed.
[[nodiscard]] LotId find_lot(const book::Book& book, const std::string& code);
[[nodiscard]] freezer::LotStory story_of(const book::Book& book, LotId lot);
/// All lots, corrections applied; those frozen last come last.
[[nodiscard]] std::vector<freezer::LotStory> all_lots(const book::Book& book);

void move_lots(book::Book& book, const std::vector<std::string>& codes, const FreezerPlace& place,
               const std::string& note, const Hand& hand, KeyMaker& keys);

/// `field` "withdrawn" takes no value.
LotCorrection correct_lot(book::Book& book, const std::string& code, const std::string& field,
                          const std::string& value, const std::string& why, const Hand& hand,
                          KeyMaker& keys);

/// A nest by the end of its key, or by a call about it.
[[nodiscard]] NestId find_nest(const book::Book& book, const std::string& key);
/// What is in no lot, or only in part, of one nest; without looking through the whole book.
[[nodiscard]] std::vector<Ancestor> loose_of(const book::Book& book, NestId nest);
/// `key` is a lot's code, or names a nest as above.
[[nodiscard]] freezer::Recall recall(const book::Book& book, const std::string& key);

struct ExcursionWishes {
    FreezerPlace place;
    Celsius limit{};
    std::string note;
};
/// One record a warm time with the lots that lay there; those entered before are passed over.
[[nodiscard]] std::vector<Excursion> enter_excursions(
    book::Book& book, const std::vector<freezer::LoggerReading>& readings,
    const ExcursionWishes& wishes, const Hand& hand, KeyMaker& keys);

}  // namespace nestround::app
