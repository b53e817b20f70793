#include "planner/partners/row_key.hpp"

#include <fmt/format.h>

#include <charconv>

#include "geocore/base/sha256.hpp"

namespace nestround::partners {

Uuid key_of(std::span<const std::string> parts)
{
    std::string text = "what a partner sent\n";
    for (const auto& part : parts) {
        text += fmt::format("{} {}\n", part.size(), part);
    }
    const auto digest = sha256(text);
    std::array<std::uint8_t, 16> bytes{};
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        std::from_chars(digest.data() + 2 * i, digest.data() + 2 * i + 2, bytes[i], 16);
    }
    bytes[6] = static_cast<std::uint8_t>((bytes[6] & 0x0fU) | 0x80U);
    bytes[8] = static_cast<std::uint8_t>((bytes[8] & 0x3fU) | 0x80U);
    return Uuid{bytes};
}

}  // namespace nestround::partners
