/// \file lot_code.hpp
/// \brief The short code of a lot: six characters and a check character, as K7F4-TQ7.
///
/// Purpose:  read aloud, typed with cold fingers and written on a bag, without being mistaken: the
///           characters are not easily confused, and the check character tells every single wrong
///           character and almost every swap of neighbours.
/// Units:    none.
/// Range:    22 characters: no 0 1 2 5 8, no B G I L O S U V Z; 113 million codes. A payload whose
///           check character would be one of those left out is never given.
/// Accuracy: exact.
/// Errors:   InvalidInput that says what does not fit.
/// Source:   ISO/IEC 7064:2003, hybrid system MOD 37,36.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/base/random.hpp"

namespace nestround::freezer {

/// The check character MOD 37,36 of a text of 0-9 and A-Z; empty for any other text.
[[nodiscard]] std::optional<char> check_character(std::string_view payload);
/// Whether the last character is the check character of those before it.
[[nodiscard]] bool is_checked(std::string_view text);

/// A code drawn by chance; whether it is free is the caller's affair.
[[nodiscard]] std::string make_lot_code(Random& random);
/// What was typed, in the form that is printed; small letters, spaces and hyphens do not matter.
[[nodiscard]] Result<std::string> read_lot_code(std::string_view text);

}  // namespace nestround::freezer
