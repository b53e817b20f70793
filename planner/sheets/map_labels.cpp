#include "planner/sheets/map_labels.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace nestround::sheets {

namespace {

PageBox around(PagePoint middle, double half)
{
    return {middle.x - half, middle.y - half, 2 * half, 2 * half};
}

constexpr double kGap = 0.7;  // mm between a mark and its name

/// Sides of a mark on which its name may stand, the most readable first; x and y say where the
/// box's middle lies, in its own half sizes.
struct Side {
    double x;
    double y;
    double dislike;
};
constexpr std::array kSides{Side{1, 0, 0},      Side{-1, 0, 1},   Side{0, 1, 1.5},
                            Side{0, -1, 1.5},   Side{1, -0.8, 2}, Side{1, 0.8, 2},
                            Side{-1, -0.8, 3},  Side{-1, 0.8, 3}, Side{0.6, 1, 3},
                            Side{-0.6, 1, 3.5}, Side{0.6, -1, 3}, Side{-0.6, -1, 3.5}};

}  // namespace

bool Placer::free(const PageBox& box) const
{
    return bounds_.holds(box) && std::none_of(taken_.begin(), taken_.end(),
                                              [&](const PageBox& t) { return t.meets(box); });
}

PagePoint Placer::settle(PagePoint place, double half)
{
    PagePoint chosen = place;
    bool found = free(around(place, half));
    for (int ring = 1; ring <= 6 && !found; ++ring) {
        for (int k = 0; k < 12 && !found; ++k) {
            const double angle = k * std::numbers::pi / 6 - std::numbers::pi / 4;
            const double reach = ring * half * 1.15;
            const PagePoint there{place.x + reach * std::cos(angle),
                                  place.y + reach * std::sin(angle)};
            if (free(around(there, half))) {
                chosen = there;
                found = true;
            }
        }
    }
    block(around(chosen, half));
    return chosen;
}

std::optional<PageBox> Placer::name_beside(PagePoint mark, double half, double width, double height)
{
    std::optional<PageBox> best;
    double best_cost = 0;
    for (const Side& side : kSides) {
        const double x = mark.x + side.x * (half + kGap + width / 2) -
                         (std::abs(side.x) < 1 ? side.x * half : 0);
        const double y = mark.y + side.y * (half + height / 2 + (std::abs(side.x) < 1 ? kGap : 0));
        const PageBox box{x - width / 2, y - height / 2, width, height};
        if (!free(box)) {
            continue;
        }
        const auto covered = std::count_if(tender_.begin(), tender_.end(),
                                           [&](PagePoint p) { return box.holds(p); });
        const double cost = side.dislike + 2.0 * static_cast<double>(covered);
        if (!best || cost < best_cost) {
            best = box;
            best_cost = cost;
        }
    }
    if (best) {
        block(*best);
    }
    return best;
}

}  // namespace nestround::sheets
