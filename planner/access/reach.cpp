#include "planner/access/reach.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/access/figures.hpp"
#include "planner/access/ladder.hpp"
#include "planner/access/set_up.hpp"

namespace nestround::access {

namespace {

double work(std::string_view parameter) { return figure("work", parameter).middle(); }

seconds minutes_of(std::string_view parameter)
{
    return seconds{std::lround(figure("minutes", parameter).middle() * 60)};
}

bool on_truck(const Gear& gear, GearKind kind)
{
    return gear.kind == kind && gear.count > 0 && gear.length && gear.length->value() > 0;
}

/// What one looks through the truck for, and what was found.
struct Chosen {
    std::optional<PoleSetUp> pole;
    std::optional<Metres> pole_best;  ///< highest tip of any
    std::optional<LadderSetUp> ladder;
};

/// The shortest pole that reaches; without a height, the one that reaches farthest.
void choose_pole(Chosen& chosen, std::span<const Gear> gear, const WorkPlace& place,
                 const AccessSettings& settings, bool farthest, std::vector<std::string>& ruled_out)
{
    for (const auto& one : gear) {
        if (!on_truck(one, GearKind::Pole)) {
            continue;
        }
        const Metres out = std::max(settings.stand_off, place.set_back);
        if (const auto tip = pole_tip(*one.length, place.ground_at(out) + settings.grip_height, out,
                                      settings.pole_bend)) {
            chosen.pole_best = chosen.pole_best ? std::max(*chosen.pole_best, *tip) : *tip;
        }
        auto set = set_pole(place, one, settings);
        if (!set) {
            ruled_out.push_back(named(one, "pole") + ": " + set.error().message);
            continue;
        }
        const bool better = !chosen.pole || (farthest ? set->tip > chosen.pole->tip
                                                      : *one.length < *chosen.pole->gear.length);
        if (better) {
            chosen.pole = std::move(*set);
        }
    }
}

/// The shortest ladder that is long and strong enough. One whose rating is not entered comes after
/// those whose rating is.
void choose_ladder(Chosen& chosen, std::span<const Gear> gear, const WorkPlace& place,
                   const AccessSettings& settings, std::vector<std::string>& ruled_out)
{
    for (const auto& one : gear) {
        if (!on_truck(one, GearKind::Ladder)) {
            continue;
        }
        auto set = set_ladder(place, one, settings);
        if (!set) {
            ruled_out.push_back(named(one, "ladder") + ": " + set.error().message);
            continue;
        }
        const bool better = !chosen.ladder || (set->rating_known && !chosen.ladder->rating_known) ||
                            (set->rating_known == chosen.ladder->rating_known &&
                             *one.length < *chosen.ladder->gear.length);
        if (better) {
            chosen.ladder = std::move(*set);
        }
    }
}

void add_common_cautions(std::vector<std::string>& cautions)
{
    cautions.emplace_back(
        "local codes, the makers' instructions and the crew's own judgement come before this plan");
    cautions.emplace_back("full suit, veil, goggles, gloves and ear protection; no work alone");
}

void add_footing_cautions(std::vector<std::string>& cautions, const LadderSetUp& set,
                          const WorkPlace& place)
{
    const double slope = std::atan(place.fall) * 180 / 3.14159265358979323846;
    const Figure& most = figure("ladder", "slope_back");
    if (std::abs(slope) > most.middle()) {
        cautions.push_back(fmt::format(
            "the ground {} by {:.0f} degrees; the figure recalled for a ladder's foot "
            "is {:.0f} ({}): level its feet with the maker's own leveller or find "
            "another place",
            slope > 0 ? "falls" : "rises", std::abs(slope), most.middle(), text(most.mark)));
    }
    if (place.step != Metres{0}) {
        cautions.push_back(
            fmt::format("a step of {} in the ground: both feet of the ladder stand on one level",
                        in_both(Metres{std::abs(place.step.value())})));
    }
    if (set.working_length > Metres{figure("ladder", "footing_to").middle()}) {
        cautions.push_back(fmt::format(
            "a person's weight at the foot helps only ladders up to {}: tie it or use a stabiliser",
            in_both(Metres{figure("ladder", "footing_to").middle()})));
    }
    if (!place.set_back_known) {
        cautions.emplace_back(
            "what stands before the wall is not known (set-back): measure where the foot can "
            "stand");
    }
}

void add_ladder_cautions(std::vector<std::string>& cautions, const LadderSetUp& set, Metres height,
                         const Call& call, const Nest& nest, const WorkPlace& place,
                         const AccessSettings& settings)
{
    if (call.ladder == LadderPermission::Unknown) {
        cautions.emplace_back("ask the client before leaning a ladder");
    }
    cautions.emplace_back(
        "ladder on firm, level ground against a rigid support, clear of doors; look for power "
        "lines before raising it");
    cautions.emplace_back(
        "loose stone, wet grass and ice let a foot slip: clear it, pad it or tie it");
    cautions.emplace_back("belt between the rails, nothing above the fourth rung from the top");
    cautions.emplace_back(
        "nothing hangs loose on the climber; the vacuum's trigger is in front; container and bag "
        "go up tethered");
    cautions.push_back(fmt::format("not longer than {:.0f} minutes on the ladder in one place",
                                   figure("ladder", "single_task").middle()));
    if (!set.rating_known) {
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
    if (nest.kind == NestKind::Aerial && place.structure == Structure::Unknown) {
        cautions.emplace_back("a branch is no support for a ladder");
    }
    add_footing_cautions(cautions, set, place);
}

std::string ladder_words(const LadderSetUp& set)
{
    if (set.type == LadderType::Step) {
        return fmt::format("{}, a step ladder of {}, feet {} up", named(set.gear, "ladder"),
                           in_both(set.working_length), in_both(set.stand_height));
    }
    return fmt::format("{} extended to {}, foot {} out ({:.1f} degrees), feet at most {} up",
                       named(set.gear, "ladder"), in_both(set.working_length),
                       in_both(set.foot_distance), set.angle, in_both(set.stand_height));
}

/// What would do for a nest that this gear does not reach.
std::string what_would_do(const WorkPlace& place, const Call& call, std::optional<Metres> pole_best,
                          const AccessSettings& settings)
{
    const Metres height = *place.height;
    const Metres out = std::max(settings.stand_off, place.set_back);
    const Metres grip = place.ground_at(out) + settings.grip_height;
    const Metres pole{std::hypot(std::max(0.0, (height - grip).value()), out.value()) /
                      (1 - settings.pole_bend.value())};
    std::string words = nest_height_words(height);
    if (pole_best) {
        words += fmt::format(", poles reach {}", in_both(*pole_best));
    }
    // Beyond some length a pole cannot be held: to name one would be no help.
    const bool pole_would_do = pole <= Metres{work("longest_pole")};
    if (pole_would_do) {
        words += fmt::format("; would do: a pole of {}", in_both(pole));
    }
    if (call.ladder == LadderPermission::Refused) {
        return words + (pole_would_do ? " (the client refuses a ladder)"
                                      : "; no pole that can be held does, and the client refuses a "
                                        "ladder: a lift with its own rules, or leave it");
    }
    // The smallest nominal size, in whole feet by two, that stands here.
    Gear wanted;
    wanted.kind = GearKind::Ladder;
    for (int nominal = 8; nominal <= 60; nominal += 2) {
        wanted.length = metres_from_feet(nominal);
        if (set_ladder(place, wanted, settings)) {
            return words +
                   fmt::format("{} a ladder of {} that carries {:.0f} kg",
                               pole_would_do ? " or" : "; would do:", in_both(*wanted.length),
                               settings.climber.value() / 1000);
        }
    }
    return words + (pole_would_do
                        ? "; no leaning ladder in the table stands here"
                        : "; no pole that can be held and no ladder in the table is long enough: a "
                          "lift with its own rules, or leave it");
}

class Planner {
public:
    Planner(const Nest& nest, const Call& call, const AccessSettings& settings)
        : nest_{nest}, call_{call}, settings_{settings}
    {
    }

    AccessPlan plan(std::span<const Gear> gear)
    {
        const auto place = work_place(nest_);
        if (!place) {
            plan_.words = place.error().text();
            add_common_cautions(plan_.cautions);
            return std::move(plan_);
        }
        place_ = *place;
        height_given_ = place_.height.has_value();
        // Without a height a nest is planned as low; the words and a caution say so.
        place_.height = place_.height.value_or(Metres{0});
        height_ = *place_.height;
        choose(gear);
        list_ways();
        plan_.place = *place;
        if (plan_.ways.empty()) {
            plan_.words = what_would_do(place_, call_, chosen_.pole_best, settings_);
            plan_.reach_best = chosen_.pole_best;
            if (!lines_.empty()) {
                plan_.words = nest_height_words(height_) + "; " + lines_;
            }
            add_common_cautions(plan_.cautions);
            return std::move(plan_);
        }
        const WayOfWork& best = plan_.ways.front();
        plan_.method = best.method;
        plan_.words = best.words;
        plan_.service = best.service;
        list_gear(best);
        list_cautions(best);
        return std::move(plan_);
    }

private:
    void choose(std::span<const Gear> gear)
    {
        lines_ = power_line_stop(place_);
        if (!lines_.empty()) {
            plan_.ruled_out.push_back("any pole or ladder: " + lines_);
            return;
        }
        choose_pole(chosen_, gear, place_, settings_, !height_given_, plan_.ruled_out);
        if (call_.ladder == LadderPermission::Refused) {
            plan_.ruled_out.emplace_back("any ladder: the client refuses one");
        } else {
            choose_ladder(chosen_, gear, place_, settings_, plan_.ruled_out);
        }
    }

    WayOfWork& add(WorkMethod method, std::string words)
    {
        WayOfWork way;
        way.method = method;
        way.words = std::move(words);
        plan_.ways.push_back(std::move(way));
        return plan_.ways.back();
    }

    /// From the ground first; where two stages are asked for, they come before a lone pole.
    void list_ways()
    {
        const bool low_kind = nest_.kind == NestKind::Ground;
        const bool in_reach =
            height_ <= settings_.hand_reach && place_.set_back <= Metres{work("arm_reach")};
        const auto& pole = chosen_.pole;
        const auto& climb = chosen_.ladder;
        if (in_reach && (height_given_ || low_kind || !pole)) {
            auto& way =
                add(WorkMethod::Hand,
                    height_given_ ? "by hand from the ground: " + nest_height_words(height_)
                                  : std::string{"by hand from the ground: height not given"});
            way.stages = {stage("work by hand from the ground", settings_.hand_work, true)};
        } else if (height_ <= settings_.hand_reach && !in_reach) {
            plan_.ruled_out.push_back(fmt::format("by hand: one stands {} away, arms reach {}",
                                                  in_both(place_.set_back),
                                                  in_both(Metres{work("arm_reach")})));
        }
        const bool high = height_ >= settings_.two_stage_from;
        if (pole && climb && high) {
            auto& way = add(
                WorkMethod::PoleThenLadder,
                fmt::format("two stages: pole from the ground ({}, pole reaches {}), "
                            "then a short climb for the comb: {}",
                            nest_height_words(height_), in_both(pole->tip), ladder_words(*climb)));
            way.pole = pole;
            way.ladder = climb;
            way.stages = {
                stage("from the ground: a few minutes of tapping and suction take most defenders",
                      settings_.two_stage_ground, true),
                stage("set the ladder", settings_.setting_ladder, false),
                climbing("short climb for the comb",
                         settings_.two_stage_climb - settings_.setting_ladder)};
        }
        if (pole && !(in_reach && height_given_)) {
            add_pole(high);
        }
        if (climb && height_given_ && height_ > settings_.hand_reach) {
            auto& way = add(
                WorkMethod::Ladder,
                fmt::format("ladder: {}; {}", nest_height_words(height_), ladder_words(*climb)));
            way.ladder = climb;
            way.stages = {
                stage("set the ladder", settings_.setting_ladder, false),
                climbing("work from the ladder", settings_.ladder_work - settings_.setting_ladder)};
        }
        for (auto& way : plan_.ways) {
            finish(way);
        }
    }

    void add_pole(bool high)
    {
        std::string words =
            height_given_ ? fmt::format("pole from the ground: {}, pole reaches {}",
                                        nest_height_words(height_), in_both(chosen_.pole->tip))
                          : std::string{"pole from the ground: height not given"};
        if (high) {
            words += call_.ladder == LadderPermission::Refused
                         ? "; the client refuses a ladder, so the comb stays"
                     : chosen_.ladder ? "; the comb stays"
                                      : "; no ladder on the truck fetches the comb";
        }
        auto& way = add(WorkMethod::GroundPole, std::move(words));
        way.pole = chosen_.pole;
        way.stages = {stage("work with the pole from the ground", settings_.pole_work, true)};
    }

    static WorkStage stage(std::string what, seconds time, bool vacuum)
    {
        return {std::move(what), time, true, false, vacuum};
    }
    static WorkStage climbing(std::string what, seconds time)
    {
        return {std::move(what), std::max(time, seconds{0}), true, true, true};
    }

    void finish(WayOfWork& way) const
    {
        std::vector<WorkStage> all{{"arrive and look", settings_.arriving, false, false, false},
                                   {"suits on and off", settings_.suiting, true, false, false}};
        if (nest_.kind == NestKind::Void) {
            all.push_back({"open and close the hollow", settings_.void_extra, true, false, false});
        }
        all.insert(all.end(), way.stages.begin(), way.stages.end());
        all.push_back({"scrub and wash the spot, ice the catch, load", settings_.cleaning_up, false,
                       false, false});
        const LearnedTime& learned = settings_.learned[static_cast<std::size_t>(way.method)];
        way.learned_from = learned.visits;
        for (auto& each : all) {
            each.time =
                seconds{std::llround(static_cast<double>(each.time.count()) * learned.factor)};
            way.service += each.time;
            way.on_ladder += each.on_ladder ? each.time : seconds{0};
        }
        way.stages = std::move(all);
        way.people = way.ladder && height_ >= settings_.two_people_from ? 2 : 1;
    }

    void list_gear(const WayOfWork& best)
    {
        plan_.gear = {"vacuum with container", "suits, veils, goggles, gloves, ear protection",
                      "water and cloth for cleaning up"};
        if (best.pole) {
            plan_.gear.push_back(named(best.pole->gear, "pole"));
        }
        if (best.ladder) {
            plan_.gear.push_back(named(best.ladder->gear, "ladder"));
            plan_.gear.emplace_back("second container for comb and a bag for paper, tethered");
        }
    }

    void list_cautions(const WayOfWork& best)
    {
        add_common_cautions(plan_.cautions);
        if (!height_given_) {
            plan_.cautions.emplace_back(
                "the height is not given: ask before leaving; planned as a low nest");
        }
        if (best.pole) {
            plan_.cautions.emplace_back(
                "look for power lines within the pole's swing; stand aside of falling comb");
            if (best.pole->heavy) {
                plan_.cautions.push_back(fmt::format(
                    "a pole out to {} is heavy and blind: two to handle it, one to look",
                    in_both(best.pole->used)));
            }
        }
        if (best.ladder) {
            add_ladder_cautions(plan_.cautions, *best.ladder, height_, call_, nest_, place_,
                                settings_);
        }
        if (best.method == WorkMethod::Ladder && height_ >= settings_.two_stage_from) {
            // Practice takes the defenders from the ground first; here nothing on the truck can.
            plan_.cautions.emplace_back(
                "NO POLE REACHES IT: the wasps would be met on the ladder. Bring a longer pole to "
                "take most of them from the ground first, or leave it");
        }
        if (call_.allergic) {
            plan_.cautions.emplace_back(
                "someone allergic is there: they stay indoors with windows shut, or away");
        }
        if (nest_.insecticide) {
            plan_.cautions.emplace_back(
                "insecticide was used: keep catch and comb apart from all others");
        }
        plan_.cautions.emplace_back(
            "scrub and wash the spot afterwards; stragglers come for a day or two");
    }

    const Nest& nest_;
    const Call& call_;
    const AccessSettings& settings_;
    WorkPlace place_;
    Metres height_{};
    bool height_given_ = false;
    std::string lines_;
    Chosen chosen_;
    AccessPlan plan_;
};

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
      two_stage_ground{minutes_of("two_stage_ground")},
      two_stage_climb{minutes_of("two_stage_climb")},
      setting_ladder{minutes_of("setting_ladder")},
      void_extra{minutes_of("void_extra")},
      cleaning_up{minutes_of("cleaning_up")}
{
}

AccessPlan reach(const Nest& nest, const Call& call, std::span<const Gear> gear,
                 const AccessSettings& settings)
{
    return Planner{nest, call, settings}.plan(gear);
}

}  // namespace nestround::access
