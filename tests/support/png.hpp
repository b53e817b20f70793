/// \file png.hpp
/// \brief Reads a PNG of eight-bit RGB back into pixels, without the library that wrote it.
///
/// Purpose:  lets tests look at a picture. Source: PNG specification, second edition (W3C 2003).
#pragma once

#include <zlib.h>

#include <cstdint>
#include <cstdlib>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

namespace nestround::testing {

struct Picture {
    unsigned width = 0;
    unsigned height = 0;
    std::vector<std::uint8_t> rgb;

    [[nodiscard]] std::uint32_t at(unsigned x, unsigned y) const
    {
        const std::size_t k = (static_cast<std::size_t>(y) * width + x) * 3;
        return static_cast<std::uint32_t>(rgb[k] << 16U | rgb[k + 1] << 8U | rgb[k + 2]);
    }
};

inline std::uint32_t big_endian(std::string_view bytes, std::size_t at)
{
    std::uint32_t value = 0;
    for (std::size_t k = 0; k < 4; ++k) {
        value = value << 8U | static_cast<std::uint8_t>(bytes.at(at + k));
    }
    return value;
}

inline Picture read_png(std::string_view png)
{
    if (png.substr(0, 8) != std::string_view{"\x89PNG\r\n\x1a\n", 8}) {
        throw std::runtime_error{"not a PNG"};
    }
    Picture picture;
    std::string packed;
    for (std::size_t at = 8; at + 12 <= png.size();) {
        const std::uint32_t length = big_endian(png, at);
        const std::string_view kind = png.substr(at + 4, 4);
        if (kind == "IHDR") {
            picture.width = big_endian(png, at + 8);
            picture.height = big_endian(png, at + 12);
            if (png[at + 16] != 8 || png[at + 17] != 2 || png[at + 20] != 0) {
                throw std::runtime_error{"not eight-bit RGB, row by row"};
            }
        } else if (kind == "IDAT") {
            packed += png.substr(at + 8, length);
        }
        at += 12 + length;
    }
    const std::size_t row = static_cast<std::size_t>(picture.width) * 3;
    std::vector<std::uint8_t> raw((row + 1) * picture.height);
    uLongf size = raw.size();
    if (uncompress(raw.data(), &size, reinterpret_cast<const Bytef*>(packed.data()),
                   packed.size()) != Z_OK ||
        size != raw.size()) {
        throw std::runtime_error{"broken PNG data"};
    }
    picture.rgb.resize(row * picture.height);
    const auto old = [&](std::size_t y, std::size_t x) -> int { return picture.rgb[y * row + x]; };
    for (std::size_t y = 0; y < picture.height; ++y) {
        const std::uint8_t filter = raw[y * (row + 1)];
        for (std::size_t x = 0; x < row; ++x) {
            const int a = x >= 3 ? old(y, x - 3) : 0;
            const int b = y > 0 ? old(y - 1, x) : 0;
            const int c = x >= 3 && y > 0 ? old(y - 1, x - 3) : 0;
            int guess = 0;
            if (filter == 1) {
                guess = a;
            } else if (filter == 2) {
                guess = b;
            } else if (filter == 3) {
                guess = (a + b) / 2;
            } else if (filter == 4) {
                const int p = a + b - c;
                const int pa = std::abs(p - a);
                const int pb = std::abs(p - b);
                const int pc = std::abs(p - c);
                guess = pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
            }
            picture.rgb[y * row + x] =
                static_cast<std::uint8_t>(raw[y * (row + 1) + 1 + x] + guess);
        }
    }
    return picture;
}

}  // namespace nestround::testing
