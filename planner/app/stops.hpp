/// \file stops.hpp
/// \brief Crews at work and the stops of their tours on the roads.
///
/// Purpose:  what planning a day and planning a season share.
/// Units:    as roads/travel.hpp.
/// Range:    any number of stops; one too far from a road has none, with the reason.
/// Accuracy: as the engine.
/// Errors:   Failure: NotFound for a crew that is not there; a depot without a road, naming it.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/roads/snapper.hpp"
#include "geocore/roads/travel.hpp"
#include "planner/rank/ranked_call.hpp"

namespace nestround::app {

/// The active crews named, or all when none is.
[[nodiscard]] std::vector<Crew> chosen_crews(const book::Book& book,
                                             const std::vector<std::string>& names);

/// The stops of the day on the roads: depots first, then calls; which calls have none, and why.
struct Stops {
    std::vector<std::optional<roads::RoadStop>> at;
    std::vector<std::string> no_road;  ///< a call each
    std::vector<std::string> notes;    ///< stops whose nearest road cannot be reached
};

[[nodiscard]] Stops find_stops(const roads::Snapper& snapper, const std::vector<Crew>& crews,
                               const std::vector<rank::RankedCall>& calls);

/// The full square matrix; stops off the roads are unreachable.
[[nodiscard]] roads::TravelMatrix travel_between(const roads::TravelEngine& engine,
                                                 const Stops& stops);

}  // namespace nestround::app
