/// \file terminal_code.hpp
/// \brief A QR code in letters of a terminal.
///
/// Purpose:  a phone opens the desk's address without typing.
/// Units:    modules; two stand in one letter, one above the other.
/// Range:    texts of up to 200 bytes.
/// Accuracy: dark on light with a margin of two modules, drawn light on the usual dark ground as
///           dark blocks reversed; error correction M.
/// Errors:   an empty text when it cannot be coded.
/// Source:   ISO/IEC 18004; libqrencode.
#pragma once

#include <string>

namespace nestround::desk {

[[nodiscard]] std::string terminal_code(const std::string& text);

}  // namespace nestround::desk
