/// \file dijkstra_engine.hpp
/// \brief Travel times by plain search: one search a source, ended when every target is settled.
///
/// Purpose:  the first engine, and the measure of every later one.
/// Units:    as travel.hpp.
/// Range:    any network.
/// Accuracy: exact; of equally quick ways the shorter is taken, so that lengths are well defined.
/// Errors:   none.
/// Source:   E. W. Dijkstra, Numer. Math. 1 (1959), by Boost.Graph on compressed sparse rows.
#pragma once

#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "geocore/roads/make_engine.hpp"
#include "geocore/roads/network.hpp"
#include "geocore/roads/stop_access.hpp"
#include "geocore/roads/travel.hpp"

namespace nestround::roads {

class DijkstraEngine final : public TravelEngine {
public:
    explicit DijkstraEngine(std::shared_ptr<const RoadNetwork> network, EngineOptions options = {});
    ~DijkstraEngine() override;

    [[nodiscard]] TravelMatrix matrix(std::span<const RoadStop> sources,
                                      std::span<const RoadStop> targets) const override;
    [[nodiscard]] std::optional<Route> route(const RoadStop& from,
                                             const RoadStop& to) const override;

    /// Before rounding to seconds and metres; kNever where there is no way. Row-major.
    /// Adds to `settled`, if given, how many states the searches settled.
    [[nodiscard]] std::vector<TravelCost> exact_costs(std::span<const RoadStop> sources,
                                                      std::span<const RoadStop> targets,
                                                      std::size_t* settled = nullptr) const;

private:
    struct Search;
    std::shared_ptr<const RoadNetwork> network_;
    EngineOptions options_;
    std::unique_ptr<Search> search_;
};

}  // namespace nestround::roads
