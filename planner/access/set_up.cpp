#include "planner/access/set_up.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "planner/access/figures.hpp"
#include "planner/access/ladder.hpp"

namespace nestround::access {

namespace {

double degrees(double radians) { return radians * 180 / std::numbers::pi; }

double work(std::string_view parameter) { return figure("work", parameter).middle(); }

Metres ladder_feet(std::string_view parameter)
{
    return metres_from_feet(figure("ladder", parameter).middle());
}

/// Height over working length of a ladder at its angle.
double rise() { return ladder::support_height(Metres{1}).value(); }

tl::unexpected<Error> no(std::string why) { return fail(ErrorCode::Infeasible, std::move(why)); }

/// How far a ladder goes out, and how far it goes together.
struct Lengths {
    Metres longest{};
    Metres shortest{};
    Metres overlap{};
};

Result<Lengths> lengths_of(const Gear& gear, LadderType type)
{
    const Metres nominal = *gear.length;
    const Metres hair{0.005};
    if (type == LadderType::Single) {
        if (nominal > ladder_feet("single_section_to") + hair) {
            return no("longer than a ladder of one section may be");
        }
        return Lengths{nominal, nominal, Metres{0}};
    }
    const auto overlap = ladder::overlap(nominal);
    if (!overlap) {
        return no("longer than the table of overlaps goes");
    }
    const auto longest = ladder::longest(nominal);
    const double sections = nominal <= ladder_feet("two_sections_to") + hair ? 2 : 3;
    if (!longest || *longest < nominal / sections) {
        return no(fmt::format("shorter than two overlaps of {}", in_both(*overlap)));
    }
    return Lengths{*longest, nominal / sections, *overlap};
}

Result<LadderSetUp> set_step_ladder(const WorkPlace& place, LadderSetUp set,
                                    const AccessSettings& settings)
{
    const Metres height = *place.height;
    const Metres stand = *set.gear.length - ladder_feet("step_not_stood_on");
    const Metres needed = std::max(height - settings.above_feet, Metres{0});
    const Metres arm{work("arm_reach")};
    if (stand < needed) {
        return no(fmt::format("its highest step to stand on is at {}, {} is needed",
                              in_both(std::max(stand, Metres{0})), in_both(needed)));
    }
    if (place.set_back > arm) {
        return no(fmt::format("it cannot stand nearer than {}", in_both(place.set_back)));
    }
    set.working_length = *set.gear.length;
    set.foot_distance = place.set_back;
    set.support_height = *set.gear.length;
    set.stand_height = needed;
    set.stand_out = place.set_back;
    set.hands = needed + settings.above_feet;
    set.angle = 90;
    return set;
}

}  // namespace

std::string in_both(Metres length)
{
    const double us = feet(length);
    return fmt::format("{:.1f} m ({:.{}f} ft)", length.value(), us, std::abs(us) < 10 ? 1 : 0);
}

std::string nest_height_words(Metres height)
{
    if (std::abs(height.value()) < 0.05) {
        return "nest at ground level";
    }
    return height.value() < 0 ? "nest " + in_both(-height) + " below the ground"
                              : "nest at " + in_both(height);
}

std::string named(const Gear& gear, std::string_view what)
{
    return gear.label.empty() ? std::string{what} : gear.label;
}

Result<WorkPlace> work_place(const Nest& nest)
{
    const GroundBefore& ground = nest.ground;
    WorkPlace place;
    if (nest.height && std::isfinite(nest.height->value())) {
        place.height = nest.height;
    }
    place.set_back_known = ground.set_back.has_value();
    place.set_back = ground.set_back.value_or(Metres{0});
    place.step = ground.step.value_or(Metres{0});
    const double slope = ground.slope_degrees.value_or(0);
    if (!(place.set_back.value() >= 0 && place.set_back.value() <= 20)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("a set-back of {:g} m is not between 0 and 20 m: it is measured "
                                "outwards from below the nest",
                                place.set_back.value()),
                    "set-back");
    }
    if (!(std::abs(slope) <= 60)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("a slope of {:g} degrees is not between -60 and 60", slope),
                    "slope");
    }
    if (!(std::abs(place.step.value()) <= 10)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("a step of {:g} m is not between -10 and 10 m", place.step.value()),
                    "step");
    }
    place.fall = std::tan(slope * std::numbers::pi / 180);
    place.structure = ground.structure;
    if (nest.kind == NestKind::Ground && place.structure == Structure::Unknown) {
        place.structure = Structure::Ground;
    }
    place.power_lines = ground.power_lines;
    place.power_line_distance = ground.power_line_distance;
    return place;
}

Metres power_line_clearance(double kilovolts)
{
    const Metres base = metres_from_feet(figure("power", "clearance_to_50kv").middle());
    const Metres each = metres_from_feet(figure("power", "clearance_per_10kv").middle() / 12);
    return base + std::max(0.0, (kilovolts - 50) / 10) * each;
}

std::string power_line_stop(const WorkPlace& place)
{
    if (place.power_lines != PowerLines::Near) {
        return {};
    }
    const Metres kept = power_line_clearance(0) + Metres{figure("power", "tip_wander").middle()};
    if (!place.power_line_distance) {
        return fmt::format(
            "a power line is near and nobody has said how near: no pole or ladder is raised before "
            "its owner is asked and {} to nest and ladder are measured from the ground",
            in_both(kept));
    }
    if (*place.power_line_distance < kept) {
        return fmt::format(
            "a power line {} from the nest: no pole or ladder within {} of it (more above 50 kV); "
            "its owner can switch it off or cover it",
            in_both(*place.power_line_distance), in_both(kept));
    }
    return {};
}

Result<PoleSetUp> set_pole(const WorkPlace& place, const Gear& pole, const AccessSettings& settings)
{
    PoleSetUp set;
    set.gear = pole;
    set.stand_off = std::max(settings.stand_off, place.set_back);
    set.stand_level = place.ground_at(set.stand_off);
    set.grip = set.stand_level + settings.grip_height;
    const auto tip = pole_tip(*pole.length, set.grip, set.stand_off, settings.pole_bend);
    if (!tip) {
        return no(fmt::format("shorter than the {} that one stands off", in_both(set.stand_off)));
    }
    set.tip = *tip;
    set.left = *tip - *place.height;
    if (set.left < Metres{0}) {
        return no(
            fmt::format("its tip comes to {} from {} out", in_both(*tip), in_both(set.stand_off)));
    }
    const Metres up = *place.height - set.grip;
    const Metres line{std::hypot(up.value(), set.stand_off.value())};
    set.used = line / (1 - settings.pole_bend.value());
    set.angle = degrees(std::atan2(up.value(), set.stand_off.value()));
    set.heavy = set.used >= Metres{work("heavy_pole_from")};
    return set;
}

Result<LadderSetUp> set_ladder(const WorkPlace& place, const Gear& ladder,
                               const AccessSettings& settings)
{
    const Metres height = *place.height;
    LadderSetUp set;
    set.gear = ladder;
    set.type =
        ladder.ladder_type == LadderType::Unknown ? LadderType::Extension : ladder.ladder_type;
    set.load = settings.climber;
    set.rating_known = ladder.load_rating.has_value();
    if (ladder.load_rating && *ladder.load_rating < settings.climber) {
        return no(fmt::format("rated for {:.0f} kg ({:.0f} lb), has to carry {:.0f} kg ({:.0f} lb)",
                              ladder.load_rating->value() / 1000, pounds(*ladder.load_rating),
                              settings.climber.value() / 1000, pounds(settings.climber)));
    }
    const double refused = figure("ladder", "slope_refused").middle();
    if (const double slope = degrees(std::atan(place.fall)); std::abs(slope) > refused) {
        return no(
            fmt::format("the ground falls or rises by {:.0f} degrees: on more than {:.0f} "
                        "no ladder is planned",
                        std::abs(slope), refused));
    }
    if (set.type == LadderType::Step) {
        return set_step_ladder(place, std::move(set), settings);
    }
    if (place.structure == Structure::Tree) {
        return no("a branch is no support for a leaning ladder");
    }
    const auto lengths = lengths_of(ladder, set.type);
    if (!lengths) {
        return tl::unexpected{lengths.error()};
    }
    const double share = figure("ladder", "foot_share").middle();
    const Metres stand = std::max(height - settings.above_feet, Metres{0});
    const Metres top = stand + ladder_feet("standing_from_top") * rise();
    // Where the slope, drawn on inwards, meets the wall: set_up measures from there.
    const Metres at_wall = place.set_back * place.fall;
    const auto free = ladder::set_up(top - at_wall, place.fall);
    Metres working = std::max(place.set_back / share, lengths->shortest);
    if (free) {
        working = std::max(working, free->working_length);
    }
    if (working > lengths->longest + Metres{1e-9}) {
        return no(fmt::format("goes out to {}, {} is needed", in_both(lengths->longest),
                              in_both(working)));
    }
    set.working_length = working;
    set.foot_distance = working * share;
    set.foot_level = place.ground_at(set.foot_distance + Metres{1e-9});
    set.angle = ladder::angle_degrees();
    set.support_height = set.foot_level + ladder::support_height(working);
    set.overlap = set.type == LadderType::Single ? Metres{0} : *ladder.length - working;
    if (*ladder.length > ladder_feet("two_sections_to")) {
        set.overlap = lengths->overlap;
    }
    set.overlap_least = lengths->overlap;
    const Metres margin{
        work(place.structure == Structure::Soffit ? "top_above_soffit" : "top_above_nest")};
    if (set.support_height > height + margin) {
        return no(fmt::format("{} it would rest at {}, above what holds the nest",
                              place.set_back / share >= working
                                  ? "with its foot beyond the set-back"
                                  : "pushed together",
                              in_both(set.support_height)));
    }
    const Metres below_top =
        std::max(ladder_feet("standing_from_top"), (set.support_height - stand) / rise());
    set.stand_height = set.support_height - below_top * rise();
    set.stand_out = below_top * share;
    set.hands = set.stand_height + settings.above_feet;
    const Metres arm{work("arm_reach")};
    if (set.stand_out > arm) {
        return no(fmt::format("the nest would be {} in front of the feet, arms reach {}",
                              in_both(set.stand_out), in_both(arm)));
    }
    return set;
}

}  // namespace nestround::access
