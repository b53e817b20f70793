#include "demo-region/noise.hpp"

#include "geocore/base/random.hpp"

namespace nestround::demo {
namespace {

double lattice(std::uint64_t seed, std::int64_t i, std::int64_t j)
{
    return Random{seed + static_cast<std::uint64_t>(i) * 0x8da6b343U +
                  static_cast<std::uint64_t>(j) * 0xd8163841U}
        .uniform(-1, 1);
}

double value(std::uint64_t seed, double x, double y)
{
    const double fx = std::floor(x);
    const double fy = std::floor(y);
    const auto blend = [](double t) { return t * t * (3 - 2 * t); };
    const double u = blend(x - fx);
    const double v = blend(y - fy);
    const auto i = static_cast<std::int64_t>(fx);
    const auto j = static_cast<std::int64_t>(fy);
    const double low = std::lerp(lattice(seed, i, j), lattice(seed, i + 1, j), u);
    const double high = std::lerp(lattice(seed, i, j + 1), lattice(seed, i + 1, j + 1), u);
    return std::lerp(low, high, v);
}

}  // namespace

Vec ShiftField::at(Vec p) const
{
    const double x = p.x / wavelength_;
    const double y = p.y / wavelength_;
    return {value(seed_, x, y), value(seed_ ^ 0x5bd1e995U, x, y)};
}

}  // namespace nestround::demo
