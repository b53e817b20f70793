/// \file row_key.hpp
/// \brief Keys of what partners sent, made from what was sent.
///
/// Purpose:  the same row read in two books, or twice in one, has the same key.
/// Units:    none.
/// Range:    UUIDs of version 8; unlike version 7 they tell no time.
/// Accuracy: 122 bits of SHA-256.
/// Errors:   none.
/// Source:   RFC 9562, UUID version 8 (section 5.8).
#pragma once

#include <span>
#include <string>

#include "geocore/base/identifier.hpp"

namespace nestround::partners {

/// Of the parts in their order; ("ab", "c") and ("a", "bc") differ.
[[nodiscard]] Uuid key_of(std::span<const std::string> parts);

}  // namespace nestround::partners
