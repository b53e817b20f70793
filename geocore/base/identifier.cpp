#include "geocore/base/identifier.hpp"

namespace nestround {

namespace {

constexpr std::string_view kHex = "0123456789abcdef";

int hex_value(char c)
{
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    if (c >= 'a' && c <= 'f') {
        return c - 'a' + 10;
    }
    if (c >= 'A' && c <= 'F') {
        return c - 'A' + 10;
    }
    return -1;
}

constexpr bool dash_before(std::size_t byte)
{
    return byte == 4 || byte == 6 || byte == 8 || byte == 10;
}

}  // namespace

Uuid Uuid::make(std::chrono::sys_time<std::chrono::milliseconds> when, Random& random)
{
    const auto ms = static_cast<std::uint64_t>(when.time_since_epoch().count());
    const std::uint64_t a = random.next();
    const std::uint64_t b = random.next();
    std::array<std::uint8_t, 16> bytes{};
    for (unsigned i = 0; i < 6; ++i) {
        bytes[i] = static_cast<std::uint8_t>(ms >> (40 - 8 * i));
    }
    bytes[6] = static_cast<std::uint8_t>(0x70U | ((a >> 8U) & 0x0fU));
    bytes[7] = static_cast<std::uint8_t>(a);
    for (unsigned i = 0; i < 8; ++i) {
        bytes[8 + i] = static_cast<std::uint8_t>(b >> (56 - 8 * i));
    }
    bytes[8] = static_cast<std::uint8_t>(0x80U | (bytes[8] & 0x3fU));
    return Uuid{bytes};
}

Result<Uuid> Uuid::parse(std::string_view text)
{
    const auto refuse = [&] {
        return fail(ErrorCode::InvalidInput,
                    "'" + std::string{text} + "' is not a UUID (36 characters, 8-4-4-4-12)");
    };
    if (text.size() != 36) {
        return refuse();
    }
    std::array<std::uint8_t, 16> bytes{};
    std::size_t at = 0;
    for (std::size_t i = 0; i < 16; ++i) {
        if (dash_before(i) && text[at++] != '-') {
            return refuse();
        }
        const int high = hex_value(text[at++]);
        const int low = hex_value(text[at++]);
        if (high < 0 || low < 0) {
            return refuse();
        }
        bytes[i] = static_cast<std::uint8_t>(high * 16 + low);
    }
    return Uuid{bytes};
}

std::string Uuid::text() const
{
    std::string out;
    out.reserve(36);
    for (std::size_t i = 0; i < 16; ++i) {
        if (dash_before(i)) {
            out.push_back('-');
        }
        out.push_back(kHex[bytes_[i] >> 4U]);
        out.push_back(kHex[bytes_[i] & 0x0fU]);
    }
    return out;
}

}  // namespace nestround
