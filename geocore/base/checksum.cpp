#include "geocore/base/checksum.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>

namespace nestround {
namespace {

constexpr std::uint64_t mixed(std::uint64_t state, std::uint64_t word)
{
    state = std::rotl(state ^ word, 29) * 0x9e3779b97f4a7c15U;
    return state ^ state >> 32U;
}

}  // namespace

std::uint64_t checksum(std::span<const char> bytes, std::uint64_t seed)
{
    std::array<std::uint64_t, 4> lane{seed, ~seed, seed + 0x243f6a8885a308d3U,
                                      seed ^ 0x13198a2e03707344U};
    std::size_t at = 0;
    for (; at + 32 <= bytes.size(); at += 32) {
        std::array<std::uint64_t, 4> word{};
        std::memcpy(word.data(), bytes.data() + at, 32);
        for (std::size_t i = 0; i < 4; ++i) {
            lane[i] = mixed(lane[i], word[i]);
        }
    }
    std::uint64_t state = mixed(seed, bytes.size());
    for (; at < bytes.size(); at += 8) {
        std::uint64_t word = 0;
        std::memcpy(&word, bytes.data() + at, std::min<std::size_t>(8, bytes.size() - at));
        state = mixed(state, word);
    }
    for (const auto l : lane) {
        state = mixed(state, l);
    }
    return state;
}

}  // namespace nestround
