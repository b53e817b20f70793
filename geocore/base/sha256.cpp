#include "geocore/base/sha256.hpp"

#include <fmt/format.h>
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
    std::string out;
    for (const auto byte : digest) {
        out += fmt::format("{:02x}", byte);
    }
    return out;
}

}  // namespace nestround
