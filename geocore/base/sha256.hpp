/// \file sha256.hpp
/// \brief SHA-256 of bytes, as 64 hexadecimal digits.
///
/// Purpose:  a digest against forgery, for the chain of sealed lots; base/checksum.hpp is quicker
///           and guards against accidents only.
/// Units:    bytes.
/// Range:    any length.
/// Accuracy: exact.
/// Cost:     about 5 ns a byte at worst; a record is some hundred bytes.
/// Errors:   none.
/// Source:   FIPS PUB 180-4; the Nettle library; docs/decisions/0005-chain-of-sealed-lots.md.
#pragma once

#include <string>
#include <string_view>

namespace nestround {

[[nodiscard]] std::string sha256(std::string_view bytes);

}  // namespace nestround
