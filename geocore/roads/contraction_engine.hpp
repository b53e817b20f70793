/// \file contraction_engine.hpp
/// \brief Travel times by the hierarchy of a network.
///
/// Purpose:  the quick engine: the same answers as plain search, to the millisecond and millimetre.
/// Units:    as travel.hpp.
/// Range:    a network that has a hierarchy.
/// Accuracy: exact; of equally quick ways the shorter is taken. Of ways equal in both, either.
/// Cost:     see many_to_many.hpp.
/// Errors:   Failure when the network's file turns out to be damaged.
/// Source:   as many_to_many.hpp.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/many_to_many.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/stop_access.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::roads {

class ContractionEngine final : public TravelEngine {
public:
    explicit ContractionEngine(std::shared_ptr<const RoadNetwork> network,
                               EngineOptions options = {});
    ~ContractionEngine() override;

    [[nodiscard]] TravelMatrix matrix(std::span<const RoadStop> sources,
                                      std::span<const RoadStop> targets) const override;
    [[nodiscard]] std::optional<Route> route(const RoadStop& from,
                                             const RoadStop& to) const override;

    /// Before rounding to seconds and metres; kNever where there is no way. Row-major.
    [[nodiscard]] std::vector<TravelCost> exact_costs(std::span<const RoadStop> sources,
                                                      std::span<const RoadStop> targets) const;

private:
    struct Queries;
    [[nodiscard]] std::vector<TravelWeight> weights(std::span<const RoadStop> sources,
                                                    std::span<const RoadStop> targets) const;

    std::shared_ptr<const RoadNetwork> network_;
    EngineOptions options_;
    ManyToMany many_;
    std::unique_ptr<Queries> queries_;
};

}  // namespace nestround::roads
