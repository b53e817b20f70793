/// \file noise.hpp
/// \brief A smooth field of small shifts that bends straight roads.
///
/// Purpose:  lanes that curve, without any road knowing of another.
/// Units:    metres.
/// Range:    any place; each component within [-1, 1].
/// Accuracy: the same for the same seed.
/// Errors:   none.
/// Source:   own; value noise on a square lattice, blended by 3t^2 - 2t^3.
#pragma once

#include <cstdint>

#include "demo-region/plane.hpp"

namespace nestround::demo {

class ShiftField {
public:
    ShiftField(std::uint64_t seed, double wavelength) : seed_{seed}, wavelength_{wavelength} {}

    /// A smooth shift at p, each component within [-1, 1].
    [[nodiscard]] Vec at(Vec p) const;

private:
    std::uint64_t seed_;
    double wavelength_;
};

}  // namespace nestround::demo
