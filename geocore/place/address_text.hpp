/// \file address_text.hpp
/// \brief The words of an address, made comparable.
///
/// Purpose:  "12 Müller-Str." and "muller strasse 12" are the same words in another order.
/// Units:    none; text is UTF-8.
/// Range:    diacritics of Latin letters are dropped, other scripts are kept as they stand (Greek
/// and
///           Cyrillic in small letters). Abbreviations: the table in the source file, English,
///           German and French street words and the points of the compass.
/// Accuracy: not applicable.
/// Errors:   none; bytes that are no UTF-8 divide words.
/// Source:   own table of abbreviations; distance: F. J. Damerau, Comm. ACM 7 (1964) 171, in its
///           form without overlapping exchanges.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace nestround::place {

/// Small letters without diacritics, split at everything that is no letter or digit; an apostrophe
/// joins ("Mary's" is "marys"), a hyphen or slash between digits stays ("12-14").
[[nodiscard]] std::vector<std::string> folded_words(std::string_view text);

/// The one form that stands for a word and its abbreviations: "street", "saint" and "st" give "st";
/// "hauptstrasse" gives "hauptstr". A word without one stands for itself.
[[nodiscard]] std::string canonical_word(std::string_view word);

/// Letters put in, left out, changed or exchanged with their neighbour; more than `most` gives
/// most + 1.
[[nodiscard]] int edit_distance(std::string_view a, std::string_view b, int most);

/// "12", "12a", "12-14", "12/3" as folded_words gives them.
struct HouseNumber {
    int first = 0;
    int last = 0;      ///< the same as first unless a span
    std::string rest;  ///< "a"
};
[[nodiscard]] std::optional<HouseNumber> house_number(std::string_view word);

}  // namespace nestround::place
