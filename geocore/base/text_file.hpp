/// \file text_file.hpp
/// \brief A text file that was compiled in.
///
/// Purpose:  tables stay readable files in the repository and yet travel inside the program.
/// Units:    none.
/// Range:    the text is the file's, byte for byte.
/// Accuracy: exact.
/// Errors:   none.
/// Source:   written by geocore/cmake/EmbedText.cmake.
#pragma once

#include <span>
#include <string_view>

namespace nestround {

struct TextFile {
    std::string_view name;  ///< without its folder
    std::string_view text;
};

}  // namespace nestround
