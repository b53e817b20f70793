#include "planner/sheets/day_sheet_steps.hpp"

#include <fmt/format.h>

#include "planner/access/set_up.hpp"
#include "planner/sheets/access_scene.hpp"

namespace nestround::sheets {

namespace {

std::string pole_words(const access::PoleSetUp& set, UnitStyle units)
{
    return fmt::format("{}: out to {} at {:.0f}°; stand {} out from below the nest, hands {} up.",
                       clean(access::named(set.gear, "pole")), measure(set.used, units), set.angle,
                       measure(set.stand_off, units), measure(set.grip - set.stand_level, units));
}

std::string ladder_words(const access::LadderSetUp& set, UnitStyle units)
{
    const std::string name = clean(access::named(set.gear, "ladder"));
    if (set.type == LadderType::Step) {
        return fmt::format("{}: opened fully and locked, on level ground.", name);
    }
    std::string words = fmt::format("{}: out to {}, foot {} from the wall (1 in 4), {:.1f}°", name,
                                    measure(set.working_length, units),
                                    measure(set.foot_distance, units), set.angle);
    if (set.type == LadderType::Extension) {
        words += fmt::format(", sections overlap {} (at least {})", measure(set.overlap, units),
                             measure(set.overlap_least, units));
    }
    return words + ".";
}

class Steps {
public:
    Steps(const day::PlannedStop& stop, UnitStyle units) : stop_{stop}, units_{units} {}

    std::vector<SheetStep> take()
    {
        if (stop_.access.ways.empty()) {
            without_stages();
            return std::move(steps_);
        }
        const access::WayOfWork& way = stop_.access.ways.front();
        const std::size_t count = way.stages.size();
        for (std::size_t k = 0; k < count; ++k) {
            const access::WorkStage& stage = way.stages[k];
            std::vector<std::string> words;
            if (k == 0) {
                words = {practice_words("arrive", "look")};
            } else if (k == 1) {
                words = {practice_words("suits", "wear")};
            } else if (k + 1 == count) {
                words = {practice_words("cargo", "live")};
            } else if (stage.on_ladder) {
                words = climb(way);
            } else if (stage.vacuum_runs) {
                words = from_the_ground(way);
            } else if (k == 2 && stop_.call.sheet.nest.kind == NestKind::Void) {
                words = {practice_words("hollow", "open")};
            } else if (way.ladder) {
                words = set_the_ladder(way);
            }
            steps_.push_back({capital(stage.what), duration(stage.time), std::move(words)});
        }
        return std::move(steps_);
    }

private:
    static std::string capital(std::string text)
    {
        if (!text.empty() && text[0] >= 'a' && text[0] <= 'z') {
            text[0] = static_cast<char>(text[0] - 'a' + 'A');
        }
        return text;
    }

    void without_stages()
    {
        steps_.push_back({"Arrive and look", "", {practice_words("arrive", "look")}});
        steps_.push_back({"Suits on", "", {practice_words("suits", "wear")}});
        steps_.push_back({capital(clean(stop_.access.words)), "", {}});
        steps_.push_back({"Ice the catch, load", "", {practice_words("cargo", "live")}});
    }

    std::vector<std::string> from_the_ground(const access::WayOfWork& way) const
    {
        if (!way.pole) {
            return {practice_words("hand", "work")};
        }
        // Without a height the plan's figures would be those of a nest on the ground.
        std::vector<std::string> words{
            stop_.call.sheet.nest.height ? pole_words(*way.pole, units_)
                                         : clean(access::named(way.pole->gear, "pole")) +
                                               ": as far out as the height found there asks for."};
        if (way.method != WorkMethod::PoleThenLadder) {  // whose stage says so already
            words.push_back(practice_words("pole", "tapping"));
        }
        if (way.pole->heavy) {
            words.push_back(practice_words("pole", "blind"));
        }
        if (comb_stays(stop_)) {
            words.push_back(practice_words("pole", "comb_stays"));
        }
        return words;
    }

    std::vector<std::string> set_the_ladder(const access::WayOfWork& way) const
    {
        std::vector<std::string> words{ladder_words(*way.ladder, units_)};
        if (way.people > 1) {
            words.push_back(practice_words("ladder", "foot"));
        }
        return words;
    }

    std::vector<std::string> climb(const access::WayOfWork& way) const
    {
        std::vector<std::string> words;
        if (way.ladder) {
            words.push_back(
                fmt::format("Feet at most {} up.",
                            measure(way.ladder->stand_height - way.ladder->foot_level, units_)));
        }
        words.push_back(practice_words("ladder", "loose"));
        return words;
    }

    const day::PlannedStop& stop_;
    UnitStyle units_;
    std::vector<SheetStep> steps_;
};

}  // namespace

std::vector<SheetStep> steps_of(const day::PlannedStop& stop, UnitStyle units)
{
    return Steps{stop, units}.take();
}

}  // namespace nestround::sheets
