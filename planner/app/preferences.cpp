#include "planner/app/preferences.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geocore/base/error.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/preferences_partners.hpp"
#include "planner/app/preferences_work.hpp"
#include "planner/app/settings_reader.hpp"

namespace nestround::app {

namespace {

void read_rank(const Reader& read, rank::RankSettings& rank)
{
    read.number("rank.worth_per_gram", rank.worth_per_gram);
    read.number("rank.near_door", rank.near_door);
    read.number("rank.allergic", rank.allergic);
    read.number("rank.waiting_per_day", rank.waiting_per_day);
    read.whole("rank.waiting_most_days", rank.waiting_most);
    read.number("rank.loss_weight", rank.loss_weight);
    read.number("rank.gain_weight", rank.gain_weight);
    read.number("rank.deadline", rank.deadline);
    read.whole("rank.deadline_days", rank.deadline_days);
    read.number("rank.second_share", rank.second_share);
    read.number("rank.second_fade_days", rank.second_fade_days, 0.1);
    constexpr std::string_view prefix = "rank.worth.";
    for (const auto& [name, value] : read.all()) {
        if (name.starts_with(prefix)) {
            rank.worth_by_taxon[name.substr(prefix.size())] = Reader::parse(name, value, 0);
        }
    }
}

void read_day(const Reader& read, day::DaySettings& day)
{
    read.number("day.cost_per_driving_minute", day.cost_per_driving_minute);
    read.number("day.service_factor", day.service_factor);
    read.parsed("day.lunch", day.lunch, parse_clock_span, "a span of hours (as 11:30-13:00)");
    read.minutes("day.lunch_length_min", day.lunch_length);
    if (read.find("day.overtime_min") != nullptr) {
        seconds most{0};
        read.minutes("day.overtime_min", most);
        if (most > seconds{0}) {
            day.overtime = most;
        }
    }
    read.minutes("day.second_visit_min", day.second_visit);
    read.number("day.cost_per_overtime_minute", day.cost_per_overtime_minute);
    read.parsed("day.earliest_start", day.earliest_start, parse_clock, "a clock time (as 07:30)");
    read.parsed("day.latest_start", day.latest_start, parse_clock, "a clock time (as 15:30)");
    if (read.find("day.comb_ride_limit_min") != nullptr) {
        seconds limit{};
        read.minutes("day.comb_ride_limit_min", limit);
        day.comb_ride_limit = limit;
    }
    read.number("day.insecticide_factor", day.insecticide_factor);
}

void read_hold(const Reader& read, season::HoldSettings& hold)
{
    read.number("hold.patience_days", hold.patience_days, 0.1);
    read.number("hold.near_door_per_day", hold.near_door_per_day);
    read.number("hold.allergic_per_day", hold.allergic_per_day);
    read.number("hold.lost_nest", hold.lost_nest);
    read.number("hold.worth_waiting_for", hold.worth_waiting_for);
}

void read_orders(const Reader& read, OrderSettings& orders)
{
    read.text("orders.currency", orders.currency);
    if (orders.currency.size() != 3 || !std::all_of(orders.currency.begin(), orders.currency.end(),
                                                    [](char c) { return c >= 'A' && c <= 'Z'; })) {
        refuse("orders.currency", orders.currency, "a currency code of three letters (as USD)");
    }
    read.number("orders.surplus_worth", orders.surplus_worth);
    if (read.find("orders.minor_per_point") != nullptr) {
        double value = 0;
        read.number("orders.minor_per_point", value, 0.01);
        orders.minor_per_point = value;
    }
}

void read_harvest(const Reader& read, yield::HarvestSettings& harvest)
{
    constexpr std::string_view prefix = "yield.assay_ug.";
    for (const auto& [name, value] : read.all()) {
        if (name.starts_with(prefix)) {
            harvest.assay_ug[name.substr(prefix.size())] = Reader::parse(name, value, 0);
        }
    }
}

void read_yield(const Reader& read, yield::YieldSettings& yield)
{
    if (read.find("yield.catch_share") == nullptr) {
        return;
    }
    Spread<double> share;
    read.number("yield.catch_share", share.middle);
    share.low = share.high = share.middle;
    read.number("yield.catch_share_low", share.low);
    read.number("yield.catch_share_high", share.high);
    if (!(share.low <= share.middle && share.middle <= share.high && share.high <= 1)) {
        refuse("yield.catch_share", *read.find("yield.catch_share"),
               "a share from 0 to 1 between its low and its high");
    }
    yield.catch_share = share;
}

void read_drive(const Reader& read, DriveSettings& drive)
{
    const auto size = [&](const std::string& name, std::optional<double>& value, double most) {
        if (const auto* found = read.find(name)) {
            value = Reader::parse(name, *found, 0);
            if (!(*value > 0 && *value <= most)) {
                refuse(name, *found, "a size above 0 that a truck can have");
            }
        }
    };
    size("truck.height_m", drive.truck.height_m, 10);
    size("truck.width_m", drive.truck.width_m, 10);
    size("truck.weight_t", drive.truck.weight_t, 100);
    size("truck.axle_t", drive.truck.axle_t, 30);
    const auto turn = [&](const std::string& name, std::uint32_t& ms) {
        if (const auto* found = read.find(name)) {
            const double seconds = Reader::parse(name, *found, 0);
            if (seconds > 600) {
                refuse(name, *found, "a number of seconds from 0 to 600");
            }
            ms = static_cast<std::uint32_t>(std::lround(seconds * 1000));
        }
    };
    turn("roads.left_turn_seconds", drive.turns.left_ms);
    turn("roads.right_turn_seconds", drive.turns.right_ms);
    turn("roads.u_turn_seconds", drive.turns.u_turn_ms);
    read.text("traffic.file", drive.traffic);
}

void read_brood(const Reader& read, brood::BroodSettings& brood)
{
    read.number("brood.cost_per_minute", brood.cost_per_minute);
    read.number("brood.collect_minutes", brood.collect_minutes);
    read.number("brood.feed_minutes", brood.feed_minutes);
    read.number("brood.round_minutes", brood.round_minutes);
    read.whole("brood.feed_days", brood.feed_days);
    if (brood.feed_days < 1) {
        refuse("brood.feed_days", *read.find("brood.feed_days"), "a whole number from 1 up");
    }
    read.number("brood.death_a_day", brood.death);
    if (brood.death >= 1) {
        refuse("brood.death_a_day", *read.find("brood.death_a_day"), "a share from 0 to below 1");
    }
    read.on_off("brood.ripening", brood.ripening);
    read.on_off("brood.hold_when_full", brood.hold_when_full);
}

/// A misspelt name would be as good as no setting, and nobody would notice.
void refuse_unknown(const Settings& settings)
{
    static constexpr std::array known{"region.name",
                                      "region.time_zone",
                                      "units.style",
                                      "roads.file",
                                      "places.file",
                                      "taxa.folder",
                                      "truck.height_m",
                                      "truck.width_m",
                                      "truck.weight_t",
                                      "truck.axle_t",
                                      "roads.left_turn_seconds",
                                      "roads.right_turn_seconds",
                                      "roads.u_turn_seconds",
                                      "traffic.file",
                                      "plan.seed",
                                      "plan.iterations",
                                      "rank.worth_per_gram",
                                      "rank.near_door",
                                      "rank.allergic",
                                      "rank.waiting_per_day",
                                      "rank.waiting_most_days",
                                      "rank.loss_weight",
                                      "rank.gain_weight",
                                      "rank.deadline",
                                      "rank.deadline_days",
                                      "rank.second_share",
                                      "rank.second_fade_days",
                                      "day.second_visit_min",
                                      "day.cost_per_driving_minute",
                                      "day.cost_per_overtime_minute",
                                      "day.overtime_min",
                                      "day.service_factor",
                                      "day.lunch",
                                      "day.lunch_length_min",
                                      "day.earliest_start",
                                      "day.latest_start",
                                      "day.comb_ride_limit_min",
                                      "day.insecticide_factor",
                                      "day.change_costs",
                                      "brood.cost_per_minute",
                                      "brood.collect_minutes",
                                      "brood.feed_minutes",
                                      "brood.round_minutes",
                                      "brood.feed_days",
                                      "brood.death_a_day",
                                      "brood.ripening",
                                      "brood.hold_when_full",
                                      "heat.spring_shift",
                                      "heat.autumn_shift",
                                      "orders.currency",
                                      "orders.surplus_worth",
                                      "orders.minor_per_point",
                                      "hold.patience_days",
                                      "hold.near_door_per_day",
                                      "hold.allergic_per_day",
                                      "hold.lost_nest",
                                      "hold.worth_waiting_for",
                                      "yield.catch_share",
                                      "yield.catch_share_low",
                                      "yield.catch_share_high"};
    for (const auto& [name, value] : settings) {
        const bool is_known = name.starts_with("calls.") || name.starts_with("rank.worth.") ||
                              name.starts_with("yield.assay_ug.") ||
                              name.starts_with("partners.") || is_work_setting(name) ||
                              std::find(known.begin(), known.end(), name) != known.end();
        if (!is_known) {
            throw Failure{ErrorCode::InvalidInput,
                          "there is no such setting; docs/reference/settings.md lists them all",
                          "setting " + name};
        }
    }
}

}  // namespace

Preferences preferences(const std::map<std::string, std::string>& settings)
{
    refuse_unknown(settings);
    const Reader read{settings};
    Preferences result;
    read.text("region.name", result.region);
    read.text("region.time_zone", result.time_zone);
    if (!intake::is_time_zone(result.time_zone)) {
        refuse("region.time_zone", result.time_zone, "a time zone (as America/New_York)");
    }
    if (const auto* units = read.find("units.style")) {
        if (*units != "metric" && *units != "us") {
            refuse("units.style", *units, "'metric' or 'us'");
        }
        result.us_units = *units == "us";
    }
    read.text("roads.file", result.roads);
    read.text("places.file", result.places);
    read.text("taxa.folder", result.taxa_folder);
    read.whole("plan.seed", result.seed);
    read.whole("plan.iterations", result.iterations);
    read_rank(read, result.rank);
    read_day(read, result.day);
    read.number("day.change_costs", result.change_costs);
    read_work(settings, result);
    read_partners(settings, result);
    read_brood(read, result.brood);
    read_hold(read, result.hold);
    read_orders(read, result.orders);
    read.on_off("heat.spring_shift", result.heat.spring_shift);
    read.on_off("heat.autumn_shift", result.heat.autumn_shift);
    read_drive(read, result.drive);
    read_yield(read, result.yield);
    read_harvest(read, result.harvest);
    return result;
}

}  // namespace nestround::app
