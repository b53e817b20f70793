/// \file names.hpp
/// \brief Made-up names for places, streets and people, composed of syllables.
///
/// Purpose:  no name of the demo county belongs to a place, a firm or a person.
/// Units:    none.
/// Range:    some 60,000 different stems; a stem is never given twice.
/// Accuracy: is_invented tells whether a name can be read as composed by this file.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <set>
#include <string>
#include <string_view>

#include "geocore/base/random.hpp"

namespace nestround::demo {

class NameMaker {
public:
    explicit NameMaker(std::uint64_t seed) : random_{seed} {}

    [[nodiscard]] std::string place();                        ///< "Quovendrel"
    [[nodiscard]] std::string street(std::string_view kind);  ///< "Tirvosk Lane"
    [[nodiscard]] std::string person();                       ///< "Ulvi Drossamek"

private:
    std::string stem();
    Random random_;
    std::set<std::string> given_;
};

/// Whether every word of `name` is a stem of this file, a street kind or a plain word such as
/// "Ferry" or "Bridge".
[[nodiscard]] bool is_invented(std::string_view name);

}  // namespace nestround::demo
