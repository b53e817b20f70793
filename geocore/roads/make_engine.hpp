/// \file make_engine.hpp
/// \brief The travel engine that suits a network.
///
/// Purpose:  the one place that knows which engines there are; a faster one is put in here.
/// Units:    none.
/// Range:    a stop on a road with two directions may be reached and left in either; with OwnOnly
///           only in the direction that has the stop on the near side of the road. A one-way road
///           is driven its way whatever the side. Turning round costs nothing, at a stop as at a
///           junction.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <memory>

#include "geocore/base/workers.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::roads {

enum class StopSide { Either, OwnOnly };
enum class Traffic { KeepsRight, KeepsLeft };

struct EngineOptions {
    StopSide stop_side = StopSide::Either;
    Traffic traffic = Traffic::KeepsRight;
    Workers workers{};  ///< answers are the same for any number
};

/// By the network's hierarchy if it has one. Without, by plain search, until a matrix is asked for
/// that takes longer so than preparing a hierarchy first.
[[nodiscard]] std::unique_ptr<TravelEngine> make_engine(std::shared_ptr<const RoadNetwork> network,
                                                        EngineOptions options = {});

}  // namespace nestround::roads
