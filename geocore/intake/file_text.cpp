#include "geocore/intake/file_text.hpp"

#include <cpl_vsi.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <fstream>

#include "geocore/base/error.hpp"
#include "geocore/intake/gdal_quiet.hpp"

namespace nestround::intake {

namespace {

constexpr std::size_t kLargest = std::size_t{1} << 30U;

/// What 0x80 to 0x9f mean; the five that mean nothing are kept as control characters.
constexpr std::array<char32_t, 32> kWindows1252{
    0x20ac, 0x81,   0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160,
    0x2039, 0x0152, 0x8d,   0x017d, 0x8f,   0x90,   0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
    0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0x9d,   0x017e, 0x0178};

void append_utf8(std::string& out, char32_t c)
{
    if (c < 0x80) {
        out += static_cast<char>(c);
    } else if (c < 0x800) {
        out += static_cast<char>(0xc0U | (c >> 6U));
        out += static_cast<char>(0x80U | (c & 0x3fU));
    } else {
        out += static_cast<char>(0xe0U | (c >> 12U));
        out += static_cast<char>(0x80U | ((c >> 6U) & 0x3fU));
        out += static_cast<char>(0x80U | (c & 0x3fU));
    }
}

std::string unpack(const std::filesystem::path& file)
{
    const GdalQuiet quiet;
    const std::string name = "/vsigzip/" + std::filesystem::absolute(file).string();
    GByte* bytes = nullptr;
    vsi_l_offset size = 0;
    const bool done = VSIIngestFile(nullptr, name.c_str(), &bytes, &size, kLargest) != FALSE;
    std::string text;
    if (done && bytes != nullptr) {
        text.assign(bytes, bytes + size);
    }
    VSIFree(bytes);
    if (!done || quiet.failed()) {
        throw Failure{ErrorCode::InvalidInput,
                      "cannot be unpacked (" + quiet.text("damaged, or over 1 GiB") +
                          "); fetch it again or unpack it yourself",
                      file.string()};
    }
    return text;
}

}  // namespace

void require_file(const std::filesystem::path& file)
{
    std::error_code ignored;
    const auto status = std::filesystem::status(file, ignored);
    if (!std::filesystem::exists(status)) {
        throw Failure{ErrorCode::NotFound, "there is no such file; check the path", file.string()};
    }
    if (std::filesystem::is_directory(status)) {
        throw Failure{ErrorCode::InvalidInput, "is a folder; name the file in it", file.string()};
    }
    if (!std::filesystem::is_regular_file(status)) {
        throw Failure{ErrorCode::InvalidInput, "is not a plain file; copy it to one",
                      file.string()};
    }
    if (std::filesystem::file_size(file, ignored) == 0) {
        throw Failure{ErrorCode::InvalidInput, "is empty; export it again", file.string()};
    }
}

bool is_utf8(std::string_view text)
{
    for (std::size_t i = 0; i < text.size();) {
        const auto byte = static_cast<std::uint8_t>(text[i]);
        const std::size_t length = byte < 0x80                   ? 1
                                   : byte >= 0xc2 && byte < 0xe0 ? 2
                                   : byte >= 0xe0 && byte < 0xf0 ? 3
                                   : byte >= 0xf0 && byte < 0xf5 ? 4
                                                                 : 0;
        if (length == 0 || i + length > text.size()) {
            return false;
        }
        for (std::size_t k = 1; k < length; ++k) {
            if ((static_cast<std::uint8_t>(text[i + k]) & 0xc0U) != 0x80U) {
                return false;
            }
        }
        if (length > 1) {
            const auto second = static_cast<std::uint8_t>(text[i + 1]);
            // too long a form, a surrogate, or beyond Unicode
            if ((byte == 0xe0 && second < 0xa0) || (byte == 0xed && second >= 0xa0) ||
                (byte == 0xf0 && second < 0x90) || (byte == 0xf4 && second >= 0x90)) {
                return false;
            }
        }
        i += length;
    }
    return true;
}

std::string utf8_from_windows_1252(std::string_view text)
{
    std::string out;
    out.reserve(text.size() + text.size() / 8);
    for (const char c : text) {
        const auto byte = static_cast<std::uint8_t>(c);
        append_utf8(out, byte >= 0x80 && byte < 0xa0 ? kWindows1252[byte - 0x80U] : byte);
    }
    return out;
}

FileText decode_text(std::string bytes, const std::string& name)
{
    const auto begins = [&](std::string_view mark) { return bytes.starts_with(mark); };
    if (begins("\xff\xfe") || begins("\xfe\xff")) {
        throw Failure{ErrorCode::InvalidInput, "is UTF-16 text; save it as UTF-8", name};
    }
    if (begins("\xef\xbb\xbf")) {
        bytes.erase(0, 3);
    }
    if (bytes.find('\0') != std::string::npos) {
        throw Failure{ErrorCode::InvalidInput,
                      "is not text (it holds zero bytes); export it as CSV in UTF-8", name};
    }
    if (std::all_of(bytes.begin(), bytes.end(),
                    [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; })) {
        throw Failure{ErrorCode::InvalidInput, "is empty; export it again", name};
    }
    if (is_utf8(bytes)) {
        return {std::move(bytes), false};
    }
    return {utf8_from_windows_1252(bytes), true};
}

FileText read_text(const std::filesystem::path& file)
{
    require_file(file);
    if (file.extension() == ".gz") {
        return decode_text(unpack(file), file.string());
    }
    if (std::filesystem::file_size(file) > kLargest) {
        throw Failure{ErrorCode::InvalidInput, "is larger than 1 GiB; split it", file.string()};
    }
    std::ifstream in{file, std::ios::binary};
    std::string bytes{std::istreambuf_iterator<char>{in}, {}};
    if (!in) {
        throw Failure{ErrorCode::NotFound, "cannot be read; check its permissions", file.string()};
    }
    return decode_text(std::move(bytes), file.string());
}

}  // namespace nestround::intake
