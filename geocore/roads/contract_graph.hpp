/// \file contract_graph.hpp
/// \brief Prepares a travel graph: orders its states and adds shortcuts.
///
/// Purpose:  done once a network, so that a matrix takes milliseconds.
/// Units:    as contraction_hierarchy.hpp.
/// Range:    any graph. A network without main roads, such as a plain grid, has no hierarchy: once
///           the rest grows too dense it is left as a core, and time stays bounded.
/// Accuracy: exact, whatever the order: it decides speed alone.
/// Cost:     about 10 us and 200 bytes a state on road networks.
/// Errors:   nothing when it was cancelled, or when ways may be too long for the packed weights.
/// Source:   R. Geisberger and others 2012 (see contraction_hierarchy.hpp); contracting independent
///           states at once as C. Vetter, Parallel Time-Dependent Contraction Hierarchies, 2009.
///           States are taken when no neighbour comes before them, and counted again only then.
#pragma once

#include <functional>
#include <optional>

#include "geocore/base/workers.hpp"
#include "geocore/roads/contraction_hierarchy.hpp"

namespace nestround::roads {

struct ContractOptions {
    /// Told the share done, 0 to 1; the work ends when it answers false.
    std::function<bool(double share)> progress;
    Workers workers;  ///< the result is the same for any number
};

[[nodiscard]] std::optional<HierarchyData> contract_graph(TravelGraph graph,
                                                          const ContractOptions& options = {});

/// Whether every quickest way of the graph, with its ends cut, fits into a packed weight.
[[nodiscard]] bool packing_fits(TravelGraph graph);

}  // namespace nestround::roads
