/// \file file_text.hpp
/// \brief The text of a file as UTF-8, whatever a spreadsheet made of it.
///
/// Purpose:  one way to read a text file; the parsers take text and are tested with any bytes.
/// Units:    bytes.
/// Range:    up to 1 GiB; .gz is unpacked; a byte order mark is dropped; text that is not UTF-8 is
///           read as Windows-1252, of which Latin-1 is a part.
/// Accuracy: not applicable.
/// Errors:   Failure: NotFound, or InvalidInput for a directory, an empty file, UTF-16, and bytes
///           that are no text.
/// Source:   Windows-1252 as in the WHATWG Encoding Standard.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace nestround::intake {

struct FileText {
    std::string text;
    bool recoded = false;  ///< was not UTF-8
};

[[nodiscard]] FileText read_text(const std::filesystem::path& file);
/// The same for bytes at hand; `name` is named in messages.
[[nodiscard]] FileText decode_text(std::string bytes, const std::string& name);

[[nodiscard]] bool is_utf8(std::string_view text);
[[nodiscard]] std::string utf8_from_windows_1252(std::string_view text);

/// Throws NotFound or InvalidInput unless `file` is a regular file that is not empty.
void require_file(const std::filesystem::path& file);

}  // namespace nestround::intake
