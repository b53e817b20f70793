/// \file random.hpp
/// \brief A small random generator whose numbers are the same on every machine.
///
/// Purpose:  seeded searches and demo data. Not for secrets. The standard distributions differ
///           between libraries, so the few needed ones are here.
/// Units:    none.
/// Range:    `below(n)` needs n > 0.
/// Accuracy: period 2^256 - 1; `below` is unbiased.
/// Errors:   n == 0 is a broken precondition (assert).
/// Source:   D. Blackman, S. Vigna, "Scrambled linear pseudorandom number generators", ACM TOMS 47
///           (2021), xoshiro256**, seeded by SplitMix64 as its authors advise; below(): D. Lemire,
///           "Fast random integer generation in an interval", ACM TOMACS 29 (2019).
#pragma once

#include <array>
#include <cassert>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace nestround {

class Random {
public:
    explicit constexpr Random(std::uint64_t seed)
    {
        for (auto& word : state_) {
            seed += 0x9e3779b97f4a7c15U;
            std::uint64_t z = seed;
            z = (z ^ (z >> 30U)) * 0xbf58476d1ce4e5b9U;
            z = (z ^ (z >> 27U)) * 0x94d049bb133111ebU;
            word = z ^ (z >> 31U);
        }
    }

    /// 64 random bits.
    constexpr std::uint64_t next()
    {
        const std::uint64_t result = rotate(state_[1] * 5, 7) * 9;
        const std::uint64_t t = state_[1] << 17U;
        state_[2] ^= state_[0];
        state_[3] ^= state_[1];
        state_[1] ^= state_[2];
        state_[0] ^= state_[3];
        state_[2] ^= t;
        state_[3] = rotate(state_[3], 45);
        return result;
    }

    /// A whole number in [0, n), each equally likely.
    constexpr std::uint64_t below(std::uint64_t n)
    {
        assert(n > 0);
        const std::uint64_t threshold = (0 - n) % n;
        for (;;) {
            __extension__ using Wide = unsigned __int128;
            const Wide product = static_cast<Wide>(next()) * n;
            if (static_cast<std::uint64_t>(product) >= threshold) {
                return static_cast<std::uint64_t>(product >> 64U);
            }
        }
    }

    /// A number in [0, 1), 53 bits.
    constexpr double uniform() { return static_cast<double>(next() >> 11U) * 0x1.0p-53; }
    constexpr double uniform(double low, double high) { return low + (high - low) * uniform(); }
    constexpr bool chance(double probability) { return uniform() < probability; }

    /// A normally distributed number (Box and Muller 1958; one value a call, the other is dropped).
    double normal(double mean, double deviation)
    {
        const double u = 1.0 - uniform();
        const double angle = 2 * std::numbers::pi * uniform();
        return mean + deviation * std::sqrt(-2 * std::log(u)) * std::cos(angle);
    }

private:
    static constexpr std::uint64_t rotate(std::uint64_t x, unsigned k)
    {
        return (x << k) | (x >> (64U - k));
    }
    std::array<std::uint64_t, 4> state_{};
};

}  // namespace nestround
