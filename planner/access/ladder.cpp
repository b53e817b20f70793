#include "planner/access/ladder.hpp"

#include <cmath>
#include <numbers>

#include "planner/access/figures.hpp"

namespace nestround::access::ladder {

namespace {

double foot_share()
{
    static const double share = figure("ladder", "foot_share").middle();
    return share;
}

/// Height over working length.
double rise() { return std::sqrt(1 - foot_share() * foot_share()); }

Metres in_feet(std::string_view parameter)
{
    return metres_from_feet(figure("ladder", parameter).middle());
}

}  // namespace

double angle_degrees() { return std::acos(foot_share()) * 180 / std::numbers::pi; }

std::optional<SetUp> set_up(Metres height, double fall)
{
    const double slope = rise() - fall * foot_share();
    if (!(height.value() > 0) || !(slope > 0) || !std::isfinite(height.value())) {
        return std::nullopt;
    }
    const Metres working = height / slope;
    const Metres foot = working * foot_share();
    return SetUp{working, foot, height + fall * foot};
}

std::optional<Metres> overlap(Metres nominal)
{
    // A size that was typed in metres may miss the foot by a hair.
    const Metres hair{0.005};
    if (!(nominal.value() > 0)) {
        return std::nullopt;
    }
    if (nominal <= in_feet("overlap_first_to") + hair) {
        return in_feet("overlap_first");
    }
    if (nominal <= in_feet("overlap_second_to") + hair) {
        return in_feet("overlap_second");
    }
    if (nominal <= in_feet("overlap_third_to") + hair) {
        return in_feet("overlap_third");
    }
    return std::nullopt;
}

std::optional<Metres> longest(Metres nominal)
{
    const auto kept = overlap(nominal);
    if (!kept || !(nominal > *kept)) {
        return std::nullopt;
    }
    return nominal - *kept;
}

Metres support_height(Metres working_length) { return working_length * rise(); }

Metres standing_height(Metres extended)
{
    return (extended - in_feet("standing_from_top")) * rise();
}

Metres length_to_stand_at(Metres height) { return height / rise() + in_feet("standing_from_top"); }

Metres rail_for_landing(Metres height, Metres above) { return (height + above) / rise(); }

}  // namespace nestround::access::ladder

namespace nestround::access {

std::optional<Metres> pole_tip(Metres length, Metres grip, Metres stand_off, Fraction bend)
{
    const double straight = length.value() * (1 - bend.value());
    const double across = stand_off.value();
    const double rise = straight * straight - across * across;
    if (!(straight > 0) || !(rise >= 0) || !std::isfinite(rise)) {
        return std::nullopt;
    }
    return grip + Metres{std::sqrt(rise)};
}

}  // namespace nestround::access
