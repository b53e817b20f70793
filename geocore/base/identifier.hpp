/// \file identifier.hpp
/// \brief Time-ordered UUIDs as keys, one C++ type for each kind of row.
///
/// Purpose:  rows of two books can be merged by key; a key of a site cannot be used for a nest.
/// Units:    128 bits; text form is 36 characters, lower case.
/// Range:    any UUID is read; only version 7 is made.
/// Accuracy: 74 random bits beside the millisecond.
/// Errors:   parse gives InvalidInput.
/// Source:   RFC 9562, UUID version 7 (section 5.7).
#pragma once

#include <array>
#include <chrono>
#include <compare>
#include <cstdint>
#include <functional>
#include <string>
#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/base/random.hpp"

namespace nestround {

class Uuid {
public:
    constexpr Uuid() = default;
    explicit constexpr Uuid(std::array<std::uint8_t, 16> bytes) : bytes_{bytes} {}

    /// A version 7 UUID of the moment `when`, its other bits from `random`.
    [[nodiscard]] static Uuid make(std::chrono::sys_time<std::chrono::milliseconds> when,
                                   Random& random);
    [[nodiscard]] static Result<Uuid> parse(std::string_view text);

    [[nodiscard]] std::string text() const;
    [[nodiscard]] bool is_nil() const { return *this == Uuid{}; }
    [[nodiscard]] const std::array<std::uint8_t, 16>& bytes() const { return bytes_; }

    friend constexpr auto operator<=>(const Uuid&, const Uuid&) = default;

private:
    std::array<std::uint8_t, 16> bytes_{};
};

/// A key of the kind `Tag`.
template <class Tag>
class Id {
public:
    constexpr Id() = default;
    explicit constexpr Id(Uuid uuid) : uuid_{uuid} {}

    [[nodiscard]] static Result<Id> parse(std::string_view text)
    {
        return Uuid::parse(text).map([](Uuid uuid) { return Id{uuid}; });
    }
    [[nodiscard]] const Uuid& uuid() const { return uuid_; }
    [[nodiscard]] std::string text() const { return uuid_.text(); }
    [[nodiscard]] bool is_nil() const { return uuid_.is_nil(); }

    friend constexpr auto operator<=>(const Id&, const Id&) = default;

private:
    Uuid uuid_;
};

}  // namespace nestround

template <>
struct std::hash<nestround::Uuid> {
    std::size_t operator()(const nestround::Uuid& uuid) const noexcept
    {
        // FNV-1a over the 16 bytes.
        std::uint64_t h = 0xcbf29ce484222325U;
        for (const auto byte : uuid.bytes()) {
            h = (h ^ byte) * 0x100000001b3U;
        }
        return static_cast<std::size_t>(h);
    }
};
template <class Tag>
struct std::hash<nestround::Id<Tag>> {
    std::size_t operator()(const nestround::Id<Tag>& id) const noexcept
    {
        return std::hash<nestround::Uuid>{}(id.uuid());
    }
};
