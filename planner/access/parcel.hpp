/// \file parcel.hpp
/// \brief What a parcel with dry ice to a laboratory has to carry on its outside, and how much.
///
/// Purpose:  the rules by name and source. Decision support: the carrier and the codes in force
/// come
///           first.
/// Units:    grams net of dry ice.
/// Range:    up to a tonne; by air, vessel or road.
/// Accuracy: rules as read on the day of the sources; they change every year.
/// Errors:   InvalidInput for a mass or a number of packages that cannot be.
/// Source:   rows `parcel` of planner/access/access.csv.
#pragma once

#include <string>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/base/figure.hpp"
#include "geocore/units/units.hpp"

namespace nestround::access {

enum class Carriage { Air, Vessel, Road };

struct ParcelRule {
    std::string words;
    std::string source;  ///< what it was read in
    Mark mark = Mark::Assumption;
};

/// `ice` in each of `packages`. A package over the limit gets a rule that says so first.
[[nodiscard]] Result<std::vector<ParcelRule>> parcel_rules(Grams ice, int packages, Carriage by);

/// The line for the outside of one package: "UN 1845 DRY ICE  net 2.5 kg".
[[nodiscard]] std::string parcel_mark(Grams ice);

}  // namespace nestround::access
