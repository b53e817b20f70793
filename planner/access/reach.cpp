#include "planner/access/reach.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/access/figures.hpp"
#include "planner/access/ladder.hpp"

namespace nestround::access {

namespace {

double work(std::string_view parameter) { return figure("work", parameter).middle(); }

seconds minutes_of(std::string_view parameter)
{
    return seconds{std::lround(figure("minutes", parameter).middle() * 60)};
}

/// A ladder that does the job, and how it is set.
struct LadderChoice {
    const Gear* gear = nullptr;
    Metres extended{};
    bool rating_known = false;
};

/// In both systems: these words are read beside a ladder, where a mixed-up unit hurts.
std::string metres(Metres m)
{
    const double us = feet(m);
    return fmt::format("{:.1f} m ({:.{}f} ft)", m.value(), us, std::abs(us) < 10 ? 1 : 0);
}

/// The height of the nest: a bare "-0.2 m" is no place that one can picture.
std::string nest_height(Metres height)
{
    if (std::abs(height.value()) < 0.05) {
        return "nest at ground level";
    }
    return height.value() < 0 ? "nest " + metres(-height) + " below the ground"
                              : "nest at " + metres(height);
}

std::string named(const Gear& gear, std::string_view what)
{
    return gear.label.empty() ? std::string{what} : gear.label;
}

bool on_truck(const Gear& gear, GearKind kind)
{
    return gear.kind == kind && gear.count > 0 && gear.length && gear.length->value() > 0;
}

/// The shortest pole that reaches, or nothing; `best` is the highest tip of any.
const Gear* choose_pole(std::span<const Gear> gear, Metres height, const AccessSettings& settings,
                        std::optional<Metres>& best)
{
    const Gear* chosen = nullptr;
    for (const auto& one : gear) {
        if (!on_truck(one, GearKind::Pole)) {
            continue;
        }
        const auto tip =
            pole_tip(*one.length, settings.grip_height, settings.stand_off, settings.pole_bend);
        if (!tip) {
            continue;
        }
        best = best ? std::max(*best, *tip) : *tip;
        if (*tip >= height && (chosen == nullptr || *one.length < *chosen->length)) {
            chosen = &one;
        }
    }
    return chosen;
}

/// The shortest ladder that is long and strong enough. One whose rating is not entered comes after
/// those whose rating is.
LadderChoice choose_ladder(std::span<const Gear> gear, Metres height,
                           const AccessSettings& settings)
{
    const Metres stand = std::max(height - settings.above_feet, Metres{0});
    const Metres needed = ladder::length_to_stand_at(stand);
    LadderChoice chosen;
    for (const auto& one : gear) {
        if (!on_truck(one, GearKind::Ladder)) {
            continue;
        }
        const auto longest = ladder::longest(*one.length);
        if (!longest || *longest < needed ||
            (one.load_rating && *one.load_rating < settings.climber)) {
            continue;
        }
        const bool rated = one.load_rating.has_value();
        const bool better = chosen.gear == nullptr || (rated && !chosen.rating_known) ||
                            (rated == chosen.rating_known && *one.length < *chosen.gear->length);
        if (better) {
            chosen = {&one, needed, rated};
        }
    }
    return chosen;
}

void add_common_cautions(std::vector<std::string>& cautions)
{
    cautions.emplace_back(
        "local codes, the makers' instructions and the crew's own judgement come before this plan");
    cautions.emplace_back("full suit, veil, goggles, gloves and ear protection; no work alone");
}

void add_ladder_cautions(std::vector<std::string>& cautions, const LadderChoice& choice,
                         Metres height, const Call& call, const Nest& nest,
                         const AccessSettings& settings)
{
    if (call.ladder == LadderPermission::Unknown) {
        cautions.emplace_back("ask the client before leaning a ladder");
    }
    cautions.emplace_back(
        "ladder on firm, level ground against a rigid support, clear of doors; look for power "
        "lines before raising it");
    cautions.emplace_back("belt between the rails, nothing above the fourth rung from the top");
    cautions.push_back(fmt::format("not longer than {:.0f} minutes on the ladder in one place",
                                   figure("ladder", "single_task").middle()));
    if (!choice.rating_known) {
        cautions.push_back(
            fmt::format("the ladder's rating is not entered: it has to carry {:.0f} kg",
                        settings.climber.value() / 1000));
    }
    if (height >= settings.two_people_from) {
        cautions.emplace_back("a second person stays at the foot");
    }
    if (height >= metres_from_feet(figure("ladder", "tie_both_ends_from").middle())) {
        cautions.emplace_back("at this height the ladder is tied at top and bottom");
    }
    if (nest.kind == NestKind::Aerial) {
        cautions.emplace_back("a branch is no support for a ladder");
    }
}

std::string ladder_words(const LadderChoice& choice)
{
    const Metres foot = choice.extended * figure("ladder", "foot_share").middle();
    return fmt::format("{} extended to {}, foot {} out ({:.1f} degrees), feet at most {} up",
                       named(*choice.gear, "ladder"), metres(choice.extended), metres(foot),
                       ladder::angle_degrees(), metres(ladder::standing_height(choice.extended)));
}

/// What would do for a nest that this gear does not reach.
std::string what_would_do(Metres height, const Call& call, std::optional<Metres> pole_best,
                          const AccessSettings& settings)
{
    const double rise = std::max(0.0, (height - settings.grip_height).value());
    const Metres pole{std::hypot(rise, settings.stand_off.value()) /
                      (1 - settings.pole_bend.value())};
    std::string words = nest_height(height);
    if (pole_best) {
        words += fmt::format(", poles reach {}", metres(*pole_best));
    }
    // Beyond some length a pole cannot be held: to name one would be no help.
    const bool pole_would_do = pole <= Metres{work("longest_pole")};
    if (pole_would_do) {
        words += fmt::format("; would do: a pole of {}", metres(pole));
    }
    const Metres stand = std::max(height - settings.above_feet, Metres{0});
    const Metres length = ladder::length_to_stand_at(stand);
    if (call.ladder == LadderPermission::Refused) {
        return words + (pole_would_do ? " (the client refuses a ladder)"
                                      : "; no pole that can be held does, and the client refuses a "
                                        "ladder: a lift with its own rules, or leave it");
    }
    // The smallest nominal size, in whole feet by two, whose sections reach that far.
    for (int nominal = 8; nominal <= 60; nominal += 2) {
        const auto longest = ladder::longest(metres_from_feet(nominal));
        if (longest && *longest >= length) {
            return words + fmt::format("{} a ladder of {} that carries {:.0f} kg",
                                       pole_would_do ? " or" : "; would do:",
                                       metres(metres_from_feet(nominal)),
                                       settings.climber.value() / 1000);
        }
    }
    return words + "; no pole that can be held and no ladder in the table is long enough: a lift " +
           "with its own rules, or leave it";
}

}  // namespace

AccessSettings::AccessSettings()
    : hand_reach{work("hand_reach")},
      grip_height{work("grip_height")},
      stand_off{work("stand_off")},
      pole_bend{work("pole_bend")},
      above_feet{work("above_feet")},
      two_stage_from{work("two_stage_from")},
      two_people_from{work("two_people_from")},
      climber{work("climber") * 1000},
      arriving{minutes_of("arriving")},
      suiting{minutes_of("suiting")},
      hand_work{minutes_of("hand_work")},
      pole_work{minutes_of("pole_work")},
      ladder_work{minutes_of("ladder_work")},
      two_stage_work{minutes_of("two_stage_work")},
      void_extra{minutes_of("void_extra")},
      cleaning_up{minutes_of("cleaning_up")}
{
}

AccessPlan reach(const Nest& nest, const Call& call, std::span<const Gear> gear,
                 const AccessSettings& settings)
{
    AccessPlan plan;
    const bool height_given = nest.height && std::isfinite(nest.height->value());
    const bool low_kind = nest.kind == NestKind::Ground;
    // Without a height a nest is planned as low; the words and a caution say so.
    const Metres height = height_given ? *nest.height : Metres{0};

    std::optional<Metres> pole_best;
    const Gear* pole = choose_pole(gear, height, settings, pole_best);
    if (!height_given && pole_best) {
        pole = choose_pole(gear, *pole_best, settings, pole_best);  // the one that reaches farthest
    }
    const bool ladder_allowed = call.ladder != LadderPermission::Refused;
    const LadderChoice climb =
        ladder_allowed ? choose_ladder(gear, height, settings) : LadderChoice{};

    seconds work_time{};
    if (height <= settings.hand_reach && (height_given || low_kind || pole == nullptr)) {
        plan.method = WorkMethod::Hand;
        plan.words = height_given ? "by hand from the ground: " + nest_height(height)
                                  : std::string{"by hand from the ground: height not given"};
        work_time = settings.hand_work;
    } else if (pole != nullptr && climb.gear != nullptr && height >= settings.two_stage_from) {
        plan.method = WorkMethod::PoleThenLadder;
        plan.words = fmt::format(
            "two stages: pole from the ground ({}, pole reaches {}), then a short climb for the "
            "comb: {}",
            nest_height(height),
            metres(*pole_tip(*pole->length, settings.grip_height, settings.stand_off,
                             settings.pole_bend)),
            ladder_words(climb));
        work_time = settings.two_stage_work;
    } else if (pole != nullptr) {
        plan.method = WorkMethod::GroundPole;
        plan.words =
            height_given
                ? fmt::format("pole from the ground: {}, pole reaches {}", nest_height(height),
                              metres(*pole_tip(*pole->length, settings.grip_height,
                                               settings.stand_off, settings.pole_bend)))
                : std::string{"pole from the ground: height not given"};
        if (height >= settings.two_stage_from) {
            plan.words += ladder_allowed ? "; no ladder on the truck fetches the comb"
                                         : "; the client refuses a ladder, so the comb stays";
        }
        work_time = settings.pole_work;
    } else if (climb.gear != nullptr) {
        plan.method = WorkMethod::Ladder;
        plan.words = fmt::format("ladder: {}; {}", nest_height(height), ladder_words(climb));
        work_time = settings.ladder_work;
    } else {
        plan.method = WorkMethod::NotReached;
        plan.words = what_would_do(height, call, pole_best, settings);
        add_common_cautions(plan.cautions);
        return plan;
    }

    plan.service = settings.arriving + settings.suiting + work_time + settings.cleaning_up;
    if (nest.kind == NestKind::Void) {
        plan.service += settings.void_extra;
    }
    const bool uses_pole =
        plan.method == WorkMethod::GroundPole || plan.method == WorkMethod::PoleThenLadder;
    const bool uses_ladder =
        plan.method == WorkMethod::Ladder || plan.method == WorkMethod::PoleThenLadder;
    plan.gear = {"vacuum with container", "suits, veils, goggles, gloves, ear protection",
                 "water and cloth for cleaning up"};
    if (uses_pole) {
        plan.gear.push_back(named(*pole, "pole"));
    }
    if (uses_ladder) {
        plan.gear.push_back(named(*climb.gear, "ladder"));
        plan.gear.emplace_back("second container for comb and a bag for paper, tethered");
    }
    add_common_cautions(plan.cautions);
    if (!height_given) {
        plan.cautions.emplace_back(
            "the height is not given: ask before leaving; planned as a low nest");
    }
    if (uses_pole) {
        plan.cautions.emplace_back(
            "look for power lines within the pole's swing; stand aside of falling comb");
    }
    if (uses_ladder) {
        add_ladder_cautions(plan.cautions, climb, height, call, nest, settings);
    }
    if (plan.method == WorkMethod::Ladder && height >= settings.two_stage_from) {
        // Practice takes the defenders from the ground first; here nothing on the truck can.
        plan.cautions.emplace_back(
            "NO POLE REACHES IT: the wasps would be met on the ladder. Bring a longer pole to take "
            "most of them from the ground first, or leave it");
    }
    if (call.allergic) {
        plan.cautions.emplace_back(
            "someone allergic is there: they stay indoors with windows shut, or away");
    }
    if (nest.insecticide) {
        plan.cautions.emplace_back(
            "insecticide was used: keep catch and comb apart from all others");
    }
    return plan;
}

}  // namespace nestround::access
