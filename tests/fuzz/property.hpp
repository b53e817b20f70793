// How a fuzz target says that a property does not hold: the input stays visible, the process ends.
#pragma once

#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string_view>

namespace nestround::fuzz {

inline std::string_view as_text(const std::uint8_t* data, std::size_t size)
{
    return size == 0 ? std::string_view{}
                     : std::string_view{reinterpret_cast<const char*>(data), size};
}

inline void must(bool holds, const char* property, std::string_view input)
{
    if (!holds) {
        std::fprintf(stderr, "does not hold: %s\ninput: '%.*s'\n", property,
                     static_cast<int>(input.size()), input.data());
        std::abort();
    }
}

}  // namespace nestround::fuzz
