/// \file calls.hpp
/// \brief One invented call-out, and a table of them.
///
/// Purpose:  this season's calls and those of a past season are drawn alike.
/// Units:    metres.
/// Range:    calls from May to October of `year`.
/// Accuracy: the same for the same random numbers.
/// Errors:   none.
/// Source:   own; the mix of species and heights is a stage, no evidence.
#pragma once

#include <string>
#include <vector>

#include "demo-region/county.hpp"
#include "geocore/base/calendar.hpp"

namespace nestround::demo {

struct DrawnCall {
    Day received;
    std::string rest;     ///< of the line, from the place on
    std::string species;  ///< as the caller named it; may be empty
    std::string nest_kind;
    double height_m = 0;
    bool insecticide = false;
    std::string key;     ///< given by calls_table
    std::string worked;  ///< of a past season: the catch, as a line without its call
};

[[nodiscard]] DrawnCall draw_call(const County& county, Random& random, NameMaker& names, int year,
                                  bool promised);

/// Sorts the calls by day, numbers them after the letter, and gives the file.
[[nodiscard]] std::string calls_table(std::vector<DrawnCall>& calls, char letter);

}  // namespace nestround::demo
