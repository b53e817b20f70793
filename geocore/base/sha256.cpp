#include "geocore/base/sha256.hpp"

#include <nettle/sha2.h>

#include <array>

namespace nestround {

std::string sha256(std::string_view bytes)
{
    sha256_ctx context;
    sha256_init(&context);
    sha256_update(&context, bytes.size(),
                  reinterpret_cast<const std::uint8_t*>(bytes.data()));  // NOLINT
    std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest{};
    sha256_digest(&context, digest.size(), digest.data());
    constexpr std::string_view digits = "0123456789abcdef";
    std::string out;
    out.reserve(2 * digest.size());
    for (const auto byte : digest) {
        out += digits[byte >> 4U];
        out += digits[byte & 15U];
    }
    return out;
}

}  // namespace nestround
