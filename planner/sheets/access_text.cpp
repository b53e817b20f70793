#include "planner/sheets/access_text.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "planner/access/set_up.hpp"
#include "planner/sheets/access_scene.hpp"

namespace nestround::sheets {

namespace {

void add_wrapped(std::string& out, const std::string& head, const std::string& text, int width)
{
    bool first = true;
    for (const auto& line : wrap(clean(text), width - 12)) {
        out += fmt::format("{:<10}  {}\n", first ? head : "", line);
        first = false;
    }
}

std::string pole_words(const access::PoleSetUp& set)
{
    return fmt::format(
        "out to {} of {}, at {:.0f} degrees from {} off, hands at {}; its tip would come to {}: {} "
        "to spare{}{}",
        access::in_both(set.used), access::in_both(*set.gear.length), set.angle,
        access::in_both(set.stand_off), access::in_both(set.grip - set.stand_level),
        access::in_both(set.tip), access::in_both(set.left),
        set.heavy ? "; heavy and blind at that length" : "",
        set.gear.mass ? fmt::format("; {:.1f} kg to hold", set.gear.mass->value() / 1000) : "");
}

std::string ladder_words(const access::LadderSetUp& set)
{
    std::string words;
    if (set.type == LadderType::Step) {
        words = fmt::format("step ladder of {}, feet {} up, hands work at {}",
                            access::in_both(set.working_length), access::in_both(set.stand_height),
                            access::in_both(set.hands));
    } else {
        words = fmt::format(
            "working length {}, foot {} out (1 in 4, {:.1f} degrees), top rests at {}, feet at "
            "most {} up, hands work at {}",
            access::in_both(set.working_length), access::in_both(set.foot_distance), set.angle,
            access::in_both(set.support_height), access::in_both(set.stand_height),
            access::in_both(set.hands));
        if (set.type == LadderType::Extension) {
            words += fmt::format("; sections overlap {} (at least {})",
                                 access::in_both(set.overlap), access::in_both(set.overlap_least));
        }
        if (set.foot_level < Metres{-0.005} || set.foot_level > Metres{0.005}) {
            words += fmt::format("; its foot stands {} {}",
                                 access::in_both(Metres{std::abs(set.foot_level.value())}),
                                 set.foot_level < Metres{0} ? "lower" : "higher");
        }
    }
    words += set.rating_known
                 ? fmt::format(
                       "; rated for {:.0f} kg ({:.0f} lb), person and kit {:.0f} kg ({:.0f} "
                       "lb)",
                       set.gear.load_rating->value() / 1000, pounds(*set.gear.load_rating),
                       set.load.value() / 1000, pounds(set.load))
                 : fmt::format("; rating not entered, it has to carry {:.0f} kg ({:.0f} lb)",
                               set.load.value() / 1000, pounds(set.load));
    return words;
}

std::string name_of(WorkMethod method)
{
    switch (method) {
        case WorkMethod::Hand:
            return "by hand from the ground";
        case WorkMethod::GroundPole:
            return "pole from the ground";
        case WorkMethod::PoleThenLadder:
            return "two stages, pole then a short climb";
        case WorkMethod::Ladder:
            return "ladder";
        case WorkMethod::NotReached:
            break;
    }
    return "not reached";
}

void add_way(std::string& out, std::size_t rank, const access::WayOfWork& way, int width)
{
    out += fmt::format(
        "\n{}  {}, about {}{}{}\n", rank, name_of(way.method), duration(way.service),
        way.on_ladder > seconds{0} ? ", " + duration(way.on_ladder) + " on the ladder" : "",
        way.people > 1 ? ", two people" : "");
    if (way.pole) {
        add_wrapped(out, "   pole",
                    access::named(way.pole->gear, "pole") + ": " + pole_words(*way.pole), width);
    }
    if (way.ladder) {
        add_wrapped(out, "   ladder",
                    access::named(way.ladder->gear, "ladder") + ": " + ladder_words(*way.ladder),
                    width);
    }
    for (const auto& stage : way.stages) {
        add_wrapped(out, fmt::format("   {:>6}", duration(stage.time)), stage.what, width);
    }
    if (way.learned_from > 0) {
        add_wrapped(out, "   times",
                    fmt::format("learned from {} visits and the table", way.learned_from), width);
    }
}

}  // namespace

std::string access_text(const AccessPage& page, const std::vector<access::MethodTime>& times,
                        const TextOptions& options)
{
    const access::AccessPlan& plan = page.plan;
    const int width = options.width;
    std::string out = fmt::format("{}\n", page.place.empty() ? "A nest" : clean(page.place));
    add_wrapped(out, "nest", nest_words(page.nest, options.units), width);
    if (!page.crew.empty()) {
        add_wrapped(out, "crew", page.crew, width);
    }
    add_wrapped(out, "reach", (plan.ways.empty() ? "NOT WITH THIS GEAR: " : "") + plan.words,
                width);
    for (std::size_t k = 0; k < plan.ways.size(); ++k) {
        add_way(out, k + 1, plan.ways[k], width);
    }
    if (!plan.ruled_out.empty()) {
        out += "\nruled out\n";
        for (const auto& reason : plan.ruled_out) {
            add_wrapped(out, "", reason, width);
        }
    }
    if (!times.empty()) {
        out += "\nminutes of the table, of this book's visits, expected\n";
        for (const auto& time : times) {
            out += fmt::format("            {:<36} {:>4}  {:>12}  {:>4}\n", name_of(time.method),
                               time.table.count() / 60,
                               time.visits == 0
                                   ? std::string{"no visits"}
                                   : fmt::format("{} of {}", time.mean.count() / 60, time.visits),
                               time.expected.count() / 60);
        }
    }
    out += "\nmind\n";
    for (const auto& caution : plan.cautions) {
        add_wrapped(out, "", caution, width);
    }
    return out;
}

std::string access_json(const AccessPage& page)
{
    using Json = nlohmann::ordered_json;
    const access::AccessPlan& plan = page.plan;
    Json ways = Json::array();
    for (const auto& way : plan.ways) {
        Json one{{"method", text(way.method)},
                 {"words", clean(way.words)},
                 {"service_s", way.service.count()},
                 {"on_ladder_s", way.on_ladder.count()},
                 {"people", way.people},
                 {"learned_from_visits", way.learned_from}};
        if (way.pole) {
            one["pole"] = Json{
                {"label", clean(way.pole->gear.label)},       {"used_m", way.pole->used.value()},
                {"stand_off_m", way.pole->stand_off.value()}, {"tip_m", way.pole->tip.value()},
                {"left_m", way.pole->left.value()},           {"angle_degrees", way.pole->angle}};
        }
        if (way.ladder) {
            one["ladder"] = Json{{"label", clean(way.ladder->gear.label)},
                                 {"type", text(way.ladder->type)},
                                 {"working_length_m", way.ladder->working_length.value()},
                                 {"foot_distance_m", way.ladder->foot_distance.value()},
                                 {"foot_level_m", way.ladder->foot_level.value()},
                                 {"support_height_m", way.ladder->support_height.value()},
                                 {"stand_height_m", way.ladder->stand_height.value()},
                                 {"hands_m", way.ladder->hands.value()},
                                 {"overlap_m", way.ladder->overlap.value()},
                                 {"angle_degrees", way.ladder->angle},
                                 {"rating_known", way.ladder->rating_known}};
        }
        for (const auto& stage : way.stages) {
            one["stages"].push_back(Json{{"what", stage.what}, {"time_s", stage.time.count()}});
        }
        ways.push_back(std::move(one));
    }
    Json all{{"method", text(plan.method)}, {"words", clean(plan.words)},
             {"ways", std::move(ways)},     {"gear", plan.gear},
             {"ruled_out", plan.ruled_out}, {"cautions", plan.cautions}};
    return all.dump(2) + "\n";
}

}  // namespace nestround::sheets
