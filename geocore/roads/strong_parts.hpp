/// \file strong_parts.hpp
/// \brief The parts of a network within which every place can be reached from every other.
///
/// Purpose:  what is kept of a network, and which roads lie behind others.
/// Units:    none.
/// Range:    edges whose times are kClosed are no edges; `use` leaves out more of them.
/// Accuracy: exact.
/// Errors:   none.
/// Source:   Boost.Graph (R. Tarjan, SIAM J. Comput. 1, 1972).
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "geocore/roads/network.hpp"

namespace nestround::roads {

struct StrongParts {
    std::vector<std::uint32_t> of_node;
    std::vector<std::size_t> sizes;  ///< nodes of each
    std::uint32_t largest = 0;       ///< most nodes, then most road
};

[[nodiscard]] StrongParts strong_parts(std::uint32_t nodes, std::span<const RoadEdge> edges,
                                       const std::function<bool(std::uint32_t)>& use = {});

}  // namespace nestround::roads
