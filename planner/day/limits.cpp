#include "planner/day/limits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/access/figures.hpp"

namespace nestround::day {

namespace {

using tour::Window;

constexpr seconds kLongBefore{-std::chrono::hours{48}};
constexpr seconds kLongAfter{std::chrono::hours{96}};

std::string clock(seconds t)
{
    return format_clock(ClockTime{std::clamp(t, seconds{0}, seconds{std::chrono::hours{48}})});
}

std::string span_words(seconds from, seconds to)
{
    return fmt::format("from {} to {}", clock(from), clock(to));
}

bool is_barred(const WorkSpan& span, Work work)
{
    switch (work) {
        case Work::Ladder:
            return span.on_ladder;
        case Work::PoleOrLadder:
            return span.on_ladder || span.with_pole;
        case Work::Suit:
            return span.in_suit;
    }
    return false;
}

std::optional<MetresPerSecond> strongest(const HourOfWeather& hour)
{
    if (hour.gust && hour.wind) {
        return std::max(*hour.gust, *hour.wind);
    }
    return hour.gust ? hour.gust : hour.wind;
}

/// Joins hours of one rule that follow each other; `worst` is their largest figure.
class Joiner {
public:
    struct Stretch {
        seconds from{};
        seconds to{};
        double worst = 0;
    };
    void add(seconds from, seconds to, double figure)
    {
        if (!stretches_.empty() && from <= stretches_.back().to) {
            stretches_.back().to = std::max(stretches_.back().to, to);
            stretches_.back().worst = std::max(stretches_.back().worst, figure);
        } else {
            stretches_.push_back({from, to, figure});
        }
    }
    [[nodiscard]] const std::vector<Stretch>& all() const { return stretches_; }

private:
    std::vector<Stretch> stretches_;
};

void bar_darkness(std::vector<Barred>& bars, const DayConditions& conditions,
                  const LimitSettings& settings)
{
    if (!conditions.light || settings.light == Light::Off) {
        return;
    }
    const auto [from, to] = *conditions.light;
    const char* what = settings.light == Light::Sun ? "the sun" : "civil twilight";
    if (to < from) {
        bars.push_back({LimitRule::Daylight, Work::Ladder, kLongBefore, kLongAfter,
                        fmt::format("no ladder work by dark: {} does not come this day", what)});
        return;
    }
    const auto words =
        fmt::format("no ladder work by dark: {} is there {}", what, span_words(from, to));
    bars.push_back({LimitRule::Daylight, Work::Ladder, kLongBefore, from, words});
    bars.push_back({LimitRule::Daylight, Work::Ladder, to, kLongAfter, words});
}

void bar_wind(std::vector<Barred>& bars, const DayConditions& conditions,
              const LimitSettings& settings)
{
    Joiner joined;
    for (const auto& hour : conditions.hours) {
        const auto speed = strongest(hour);
        if (settings.wind && speed && *speed > *settings.wind) {
            joined.add(hour.from, hour.to, speed->value());
        }
    }
    for (const auto& each : joined.all()) {
        bars.push_back({LimitRule::Wind, Work::Ladder, each.from, each.to,
                        fmt::format("wind or gusts of {} {}; the limit for ladders is {}",
                                    speed_words(MetresPerSecond{each.worst}),
                                    span_words(each.from, each.to), speed_words(*settings.wind))});
    }
}

void bar_thunder(std::vector<Barred>& bars, const DayConditions& conditions,
                 const LimitSettings& settings)
{
    Joiner joined;
    for (const auto& hour : conditions.hours) {
        if (settings.thunder && hour.thunder.value_or(false)) {
            joined.add(hour.from, hour.to + settings.thunder_wait, 0);
        }
    }
    for (const auto& each : joined.all()) {
        bars.push_back({LimitRule::Thunder, Work::PoleOrLadder, each.from, each.to,
                        fmt::format("thunder until {}, and {} min of waiting after it",
                                    clock(each.to - settings.thunder_wait),
                                    settings.thunder_wait.count() / 60)});
    }
}

void bar_heat(std::vector<Barred>& bars, const DayConditions& conditions,
              const LimitSettings& settings)
{
    Joiner joined;
    for (const auto& hour : conditions.hours) {
        if (settings.heat == access::HeatClass::Unknown || !hour.air) {
            continue;
        }
        const auto index =
            access::heat_index(*hour.air, hour.humidity ? hour.humidity : settings.humidity);
        if (index && access::heat_class(index) > settings.heat) {
            joined.add(hour.from, hour.to, index->value());
        }
    }
    for (const auto& each : joined.all()) {
        const Celsius worst{each.worst};
        bars.push_back(
            {LimitRule::Heat, Work::Suit, each.from, each.to,
             fmt::format("heat index up to {:.0f} \u00b0C ({:.0f} \u00b0F, {}) {}; suits are worn "
                         "up to '{}'",
                         worst.value(), fahrenheit(worst), access::text(access::heat_class(worst)),
                         span_words(each.from, each.to), access::text(settings.heat))});
    }
}

bool knows(const DayConditions& conditions, auto&& has)
{
    return std::any_of(conditions.hours.begin(), conditions.hours.end(), has);
}

}  // namespace

std::string_view text(LimitRule rule)
{
    switch (rule) {
        case LimitRule::Daylight:
            return "daylight";
        case LimitRule::Wind:
            return "wind";
        case LimitRule::Thunder:
            return "thunder";
        case LimitRule::Heat:
            return "heat";
        case LimitRule::Noise:
            return "noise";
        case LimitRule::TwoPeople:
            return "two people";
        case LimitRule::Bottles:
            return "vacuum containers";
        case LimitRule::ColdBox:
            return "cold box";
        case LimitRule::CombBoxes:
            return "comb boxes";
        case LimitRule::SecondVisit:
            return "second visit";
    }
    return "limit";
}

LimitSettings::LimitSettings()
    : wind{from_miles_per_hour(access::figure("limit", "wind").middle())},
      thunder_wait{std::lround(access::figure("limit", "thunder_wait").middle() * 60)},
      nests_per_comb_box{static_cast<int>(access::figure("limit", "nests_per_comb_box").middle())}
{
}

std::vector<Barred> barred_hours(const DayConditions& conditions, const LimitSettings& settings)
{
    std::vector<Barred> bars;
    bar_darkness(bars, conditions, settings);
    bar_wind(bars, conditions, settings);
    bar_thunder(bars, conditions, settings);
    bar_heat(bars, conditions, settings);
    return bars;
}

std::vector<WorkSpan> work_spans(const access::AccessPlan& access, seconds service)
{
    const bool climbs =
        access.method == WorkMethod::Ladder || access.method == WorkMethod::PoleThenLadder;
    const bool poles =
        access.method == WorkMethod::GroundPole || access.method == WorkMethod::PoleThenLadder;
    double whole = 0;
    if (!access.ways.empty()) {
        for (const auto& stage : access.ways.front().stages) {
            whole += static_cast<double>(stage.time.count());
        }
    }
    if (whole <= 0) {
        return {{seconds{0}, service, climbs, poles, true, true}};
    }
    std::vector<WorkSpan> spans;
    const double scale = static_cast<double>(service.count()) / whole;
    double at = 0;
    for (const auto& stage : access.ways.front().stages) {
        const double end = at + static_cast<double>(stage.time.count());
        spans.push_back({seconds{static_cast<std::int64_t>(std::floor(at * scale))},
                         seconds{static_cast<std::int64_t>(std::ceil(end * scale))},
                         stage.on_ladder, poles && stage.vacuum_runs && !stage.on_ladder,
                         stage.in_suit, stage.vacuum_runs});
        at = end;
    }
    return spans;
}

std::vector<Window> cut_hours(const std::vector<Window>& hours, const std::vector<WorkSpan>& spans,
                              const std::vector<Barred>& barred, std::vector<const Barred*>* bites)
{
    std::vector<Window> left = hours;
    for (const auto& bar : barred) {
        bool bit = false;
        for (const auto& span : spans) {
            if (!is_barred(span, bar.work) || span.ends <= span.begins) {
                continue;
            }
            // No beginning strictly between these two.
            const seconds last_before = bar.from - span.ends;
            const seconds first_after = bar.to - span.begins;
            std::vector<Window> parts;
            for (const auto& window : left) {
                if (window.closes <= last_before || window.opens >= first_after) {
                    parts.push_back(window);
                    continue;
                }
                bit = true;
                if (window.opens <= last_before) {
                    parts.push_back({window.opens, last_before});
                }
                if (window.closes >= first_after) {
                    parts.push_back({first_after, window.closes});
                }
            }
            left = std::move(parts);
        }
        if (bit && bites != nullptr) {
            bites->push_back(&bar);
        }
    }
    std::sort(left.begin(), left.end(),
              [](const Window& a, const Window& b) { return a.opens < b.opens; });
    return left;
}

std::optional<Window> barred_part(const std::vector<WorkSpan>& spans, const Barred& bar)
{
    std::optional<Window> part;
    for (const auto& span : spans) {
        if (is_barred(span, bar.work) && span.ends > span.begins) {
            part = part ? Window{part->opens, span.ends} : Window{span.begins, span.ends};
        }
    }
    return part;
}

std::optional<std::int64_t> noise_share(const std::vector<WorkSpan>& spans,
                                        const LimitSettings& settings)
{
    std::vector<access::NoiseSpell> spells;
    for (const auto& span : spans) {
        if (span.vacuum_runs) {
            spells.push_back({settings.vacuum_level, span.ends - span.begins});
        }
    }
    const auto dose = access::noise_dose(spells, settings.criterion);
    if (!settings.vacuum_level || !dose || !dose->percent) {
        return std::nullopt;
    }
    return static_cast<std::int64_t>(std::ceil(*dose->percent * 100));
}

int people_needed(const access::AccessPlan& access)
{
    return access.ways.empty() ? 1 : access.ways.front().people;
}

std::vector<LimitRule> counted(const std::vector<Crew>& crews, const LimitSettings& settings)
{
    std::vector<LimitRule> rules;
    for (const auto rule :
         {LimitRule::Noise, LimitRule::Bottles, LimitRule::ColdBox, LimitRule::CombBoxes}) {
        if (std::any_of(crews.begin(), crews.end(), [&](const Crew& crew) {
                return most_of(rule, crew, settings).has_value();
            })) {
            rules.push_back(rule);
        }
    }
    return rules;
}

std::optional<std::int64_t> most_of(LimitRule rule, const Crew& crew, const LimitSettings& settings)
{
    const auto on_truck = [&](GearKind kind) {
        std::int64_t count = 0;
        for (const auto& gear : crew.gear) {
            count += gear.kind == kind ? std::max(gear.count, 0) : 0;
        }
        return count;
    };
    switch (rule) {
        case LimitRule::Noise:
            return settings.vacuum_level ? std::optional{static_cast<std::int64_t>(
                                               std::floor(settings.dose_percent * 100))}
                                         : std::nullopt;
        case LimitRule::Bottles:
            return settings.bottles ? std::optional<std::int64_t>{*settings.bottles} : std::nullopt;
        case LimitRule::ColdBox: {
            const auto boxes = on_truck(GearKind::ColdBox);
            return settings.cold_box && boxes > 0
                       ? std::optional{static_cast<std::int64_t>(
                             std::floor(static_cast<double>(boxes) * settings.cold_box->value()))}
                       : std::nullopt;
        }
        case LimitRule::CombBoxes: {
            const auto boxes = on_truck(GearKind::CombBox);
            return boxes > 0 && settings.nests_per_comb_box > 0
                       ? std::optional{boxes * settings.nests_per_comb_box}
                       : std::nullopt;
        }
        default:
            return std::nullopt;
    }
}

std::string speed_words(MetresPerSecond speed)
{
    return fmt::format("{:.1f} m/s ({:.0f} mph)", speed.value(), miles_per_hour(speed));
}

std::vector<std::string> not_in_plan(const DayConditions& conditions,
                                     const std::vector<Crew>& crews, const LimitSettings& settings)
{
    std::vector<std::string> out;
    const auto add = [&](bool missing, bool off, const char* what, const char* why) {
        if (off) {
            out.push_back(fmt::format("{} (turned off in the settings)", what));
        } else if (missing) {
            out.push_back(fmt::format("{} ({})", what, why));
        }
    };
    add(!conditions.light, settings.light == Light::Off, "daylight", "not worked out");
    add(!knows(conditions, [](const auto& hour) { return strongest(hour).has_value(); }),
        !settings.wind, "wind", "no hourly reading of this day has it");
    add(!knows(conditions, [](const auto& hour) { return hour.thunder.has_value(); }),
        !settings.thunder, "thunder", "no hourly reading of this day has it");
    const bool has_air = knows(conditions, [](const auto& hour) { return hour.air.has_value(); });
    const bool has_index = knows(conditions, [&](const auto& hour) {
        return hour.air && (hour.humidity || settings.humidity);
    });
    add(!has_index, settings.heat == access::HeatClass::Unknown, "heat in a suit",
        has_air ? "heat index unknown: no humidity" : "no temperature of this day");
    if (!settings.vacuum_level) {
        out.emplace_back(
            "noise (dose unknown: the vacuum's level at the ear is not measured; see "
            "limits.vacuum_db)");
    }
    if (!settings.two_people) {
        out.emplace_back("the second person (turned off in the settings)");
    }
    const auto rules = counted(crews, settings);
    for (const auto& [rule, what] :
         {std::pair{LimitRule::Bottles, "vacuum containers (limits.bottles is not set)"},
          {LimitRule::ColdBox,
           "room in the cold box (limits.cold_box_kg or the box is not entered)"},
          {LimitRule::CombBoxes, "room for comb (no comb box is entered as gear)"}}) {
        if (std::find(rules.begin(), rules.end(), rule) == rules.end()) {
            out.emplace_back(what);
        }
    }
    out.emplace_back("rain, wet or icy ground and what nobody entered");
    return out;
}

std::string in_plan(const DayConditions& conditions, const LimitSettings& settings)
{
    std::vector<std::string> parts;
    if (conditions.light && settings.light != Light::Off) {
        parts.push_back(
            conditions.light->to < conditions.light->from
                ? std::string{"no ladder work: dark all day"}
                : fmt::format("ladder work {} by {}",
                              span_words(conditions.light->from, conditions.light->to),
                              settings.light == Light::Sun ? "the sun" : "civil twilight"));
    }
    if (settings.wind &&
        knows(conditions, [](const auto& hour) { return strongest(hour).has_value(); })) {
        parts.push_back(fmt::format("ladders up to {} of wind (a figure of the crew's choice)",
                                    speed_words(*settings.wind)));
    }
    if (settings.thunder &&
        knows(conditions, [](const auto& hour) { return hour.thunder.has_value(); })) {
        parts.push_back(fmt::format("no pole and no ladder in thunder and {} min after it",
                                    settings.thunder_wait.count() / 60));
    }
    if (settings.heat != access::HeatClass::Unknown && knows(conditions, [&](const auto& hour) {
            return hour.air && (hour.humidity || settings.humidity);
        })) {
        parts.push_back(
            fmt::format("suits up to heat index class '{}'", access::text(settings.heat)));
    }
    if (settings.vacuum_level) {
        parts.push_back(fmt::format(
            "at most {:.0f} % of a day's noise dose a person ({:.0f} dB(A) at the ear, {})",
            settings.dose_percent, *settings.vacuum_level,
            settings.criterion == access::NoiseCriterion::Osha ? "90 dB for 8 h and 5 dB"
                                                               : "85 dB for 8 h and 3 dB"));
    }
    if (settings.two_people) {
        parts.emplace_back("two people where the way of work asks for two");
    }
    for (const auto& bar : barred_hours(conditions, settings)) {
        if (bar.rule != LimitRule::Daylight) {
            parts.push_back(fmt::format("today {}: {}", text(bar.rule), bar.words));
        }
    }
    return fmt::format(
        "held to: {}{}", fmt::join(parts, "; "),
        conditions.source.empty() ? "" : ". Weather by the hour: " + conditions.source);
}

}  // namespace nestround::day
