#include "geocore/roads/make_engine.hpp"

#include <algorithm>
#include <mutex>
#include <utility>
#include <vector>

#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/contraction_engine.hpp"
#include "geocore/roads/dijkstra_engine.hpp"

namespace nestround::roads {
namespace {

/// Rows searched before it is clear how long the others will take.
constexpr std::size_t kTrialRows = 8;
/// Preparing takes as long as settling each state so many times by plain search (measured: 30 to
/// 75, see docs/benchmarks.md), and then some, so that plain search is never beaten by itself.
constexpr std::size_t kSettledAState = 100;

/// Plain search while it is the quickest.
class PatientEngine final : public TravelEngine {
public:
    PatientEngine(std::shared_ptr<const RoadNetwork> network, EngineOptions options)
        : network_{std::move(network)}, options_{std::move(options)}, plain_{network_, options_}
    {
    }

    [[nodiscard]] TravelMatrix matrix(std::span<const RoadStop> sources,
                                      std::span<const RoadStop> targets) const override
    {
        if (const auto* prepared = engine_if_ready()) {
            return prepared->matrix(sources, targets);
        }
        const auto trial = std::min(kTrialRows, sources.size());
        std::size_t settled = 0;
        auto costs = plain_.exact_costs(sources.first(trial), targets, &settled);
        const auto rest = sources.subspan(trial);
        if (trial > 0 && settled / trial * rest.size() >
                             kSettledAState * std::size_t{network_->graph().state_count()}) {
            if (const auto* prepared = prepare()) {
                return prepared->matrix(sources, targets);
            }
        }
        const auto others = plain_.exact_costs(rest, targets);
        costs.insert(costs.end(), others.begin(), others.end());
        return matrix_of(costs, sources.size(), targets.size());
    }

    [[nodiscard]] std::optional<Route> route(const RoadStop& from,
                                             const RoadStop& to) const override
    {
        const auto* prepared = engine_if_ready();
        return prepared != nullptr ? prepared->route(from, to) : plain_.route(from, to);
    }

private:
    [[nodiscard]] const ContractionEngine* engine_if_ready() const
    {
        const std::lock_guard lock{guard_};
        return prepared_.get();
    }

    /// Nothing when the network cannot be prepared.
    [[nodiscard]] const ContractionEngine* prepare() const
    {
        const std::lock_guard lock{guard_};
        if (!prepared_ && !tried_) {
            tried_ = true;
            ContractOptions options;
            options.workers = options_.workers;
            if (auto hierarchy = contract_graph(network_->graph(), options)) {
                if (auto made = network_->with_hierarchy(std::move(*hierarchy))) {
                    prepared_ = std::make_unique<ContractionEngine>(
                        std::make_shared<const RoadNetwork>(std::move(*made)), options_);
                }
            }
        }
        return prepared_.get();
    }

    std::shared_ptr<const RoadNetwork> network_;
    EngineOptions options_;
    DijkstraEngine plain_;
    mutable std::mutex guard_;
    mutable bool tried_ = false;
    mutable std::unique_ptr<ContractionEngine> prepared_;
};

}  // namespace

std::unique_ptr<TravelEngine> make_engine(std::shared_ptr<const RoadNetwork> network,
                                          EngineOptions options)
{
    if (network->has_hierarchy()) {
        return std::make_unique<ContractionEngine>(std::move(network), std::move(options));
    }
    return std::make_unique<PatientEngine>(std::move(network), std::move(options));
}

}  // namespace nestround::roads
