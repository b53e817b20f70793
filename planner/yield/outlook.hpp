/// \file outlook.hpp
/// \brief What one nest is expected to be and to give on a day.
///
/// Purpose:  the value that ranking, planning and sheets share.
/// Units:    in the types; workers are a count.
/// Range:    low <= middle <= high; a colony that is over gives zeros.
/// Accuracy: the notes say what it rests on; unknown makes it wide, never absent.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/base/spread.hpp"
#include "geocore/units/units.hpp"

namespace nestround::yield {

struct NestOutlook {
    std::string taxon;               ///< code of the taxa table, or empty when unknown
    std::string taxon_name;          ///< scientific name, or "unknown social wasp"
    std::string stage;               ///< in words: "build-up", "raising queens and males", ...
    Spread<double> workers;          ///< alive in the nest
    Spread<Grams> grams;             ///< of frozen workers, as a crew would catch them
    std::vector<std::string> notes;  ///< what the forecast rests on, and its doubts
};

}  // namespace nestround::yield
