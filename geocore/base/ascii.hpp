/// \file ascii.hpp
/// \brief Letters A to Z in lower case, and nothing else changed.
///
/// Purpose:  names and words are compared without regard to case, whatever the machine's language.
/// Units:    bytes; UTF-8 stays UTF-8.
/// Range:    any text.
/// Accuracy: exact; letters beyond A to Z are left as they are.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <string_view>

namespace nestround {

[[nodiscard]] inline std::string ascii_lower(std::string_view text)
{
    std::string out{text};
    for (char& c : out) {
        if (c >= 'A' && c <= 'Z') {
            c = static_cast<char>(c - 'A' + 'a');
        }
    }
    return out;
}

}  // namespace nestround
