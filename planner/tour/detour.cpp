#include "planner/tour/detour.hpp"

#include <algorithm>
#include <tuple>

namespace nestround::tour {

std::vector<Detour> detours(const roads::TravelMatrix& matrix, std::span<const std::size_t> order,
                            std::size_t stop)
{
    const auto seconds = [&](std::size_t a, std::size_t b) -> std::int64_t {
        return matrix.duration_s[a * matrix.columns + b];
    };
    const auto metres = [&](std::size_t a, std::size_t b) -> std::int64_t {
        return matrix.length_m[a * matrix.columns + b];
    };
    std::vector<Detour> out;
    for (std::size_t i = 0; i + 1 < order.size(); ++i) {
        const auto a = order[i];
        const auto b = order[i + 1];
        if (seconds(a, stop) >= roads::kUnreachable || seconds(stop, b) >= roads::kUnreachable ||
            seconds(a, b) >= roads::kUnreachable) {
            continue;
        }
        out.push_back({i, seconds(a, stop) + seconds(stop, b) - seconds(a, b),
                       metres(a, stop) + metres(stop, b) - metres(a, b)});
    }
    std::sort(out.begin(), out.end(), [](const Detour& x, const Detour& y) {
        return std::tuple{x.seconds, x.metres, x.after} < std::tuple{y.seconds, y.metres, y.after};
    });
    return out;
}

}  // namespace nestround::tour
