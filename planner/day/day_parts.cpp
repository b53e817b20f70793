// What a day's problem is asked about apart from itself: whether its input can be planned at all,
// how long a stop takes, what it takes of what is counted, and how it is named.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/day/day_problem.hpp"

namespace nestround::day {

namespace {

std::string fault_of_settings(const DaySettings& s)
{
    if (!(s.cost_per_driving_minute >= 0 && s.cost_per_driving_minute <= 1000)) {
        return "the cost of a driving minute must lie between 0 and 1000 points";
    }
    if (!(s.cost_per_overtime_minute >= 0 && s.cost_per_overtime_minute <= 1000)) {
        return "the cost of a minute of overtime must lie between 0 and 1000 points";
    }
    if (s.overtime && (*s.overtime < seconds{0} || *s.overtime > std::chrono::hours{12})) {
        return "overtime must lie between none and 12 hours";
    }
    if (!(s.service_factor > 0 && s.service_factor <= 10)) {
        return "the factor on the work at a nest must lie between 0 and 10";
    }
    if (!(s.insecticide_factor >= 0 && s.insecticide_factor <= 10)) {
        return "the factor on nests with insecticide must lie between 0 and 10";
    }
    if (s.lunch && (s.lunch->closes < s.lunch->opens || s.lunch_length < seconds{0})) {
        return "the midday break ends before it begins";
    }
    if (s.comb_ride_limit && *s.comb_ride_limit < seconds{0}) {
        return "the longest ride of comb is negative";
    }
    return {};
}

}  // namespace

std::string fault_of(const DayInput& input)
{
    const std::size_t places = input.crews.size() * (input.standing ? 2 : 1) + input.calls.size();
    if (input.standing && input.standing->crews.size() != input.crews.size()) {
        return fmt::format("the day stands for {} crews of {}", input.standing->crews.size(),
                           input.crews.size());
    }
    if (input.travel.rows != places || input.travel.columns != places) {
        return fmt::format("the matrix has {} rows and {} columns; {} crews and {} calls need {}",
                           input.travel.rows, input.travel.columns, input.crews.size(),
                           input.calls.size(), places);
    }
    if (input.access.size() != input.calls.size() ||
        std::any_of(input.access.begin(), input.access.end(),
                    [&](const auto& row) { return row.size() != input.crews.size(); })) {
        return "a way of access is needed for each call and crew";
    }
    if (!input.second_due.empty() && input.second_due.size() != input.calls.size()) {
        return "when second visits are due is needed for each call, or for none";
    }
    if (!input.no_road.empty() && input.no_road.size() != input.calls.size()) {
        return "words on missing roads are needed for each call, or for none";
    }
    for (const auto& crew : input.crews) {
        if (crew.shift_ends < crew.shift_begins) {
            return fmt::format("the shift of {} ends before it begins", crew.name);
        }
    }
    for (const auto& call : input.calls) {
        if (!(call.score >= 0 && call.score <= 1e6)) {
            return fmt::format("{}: a score must lie between 0 and a million points",
                               name_of(call));
        }
    }
    return fault_of_settings(input.settings);
}

std::string name_of(const rank::RankedCall& call)
{
    // The last six characters, as on the sheet: the first ones tell only the time.
    const std::string whole = call.sheet.call.id.text();
    const std::string id = whole.substr(whole.size() - 6);
    return call.sheet.site.label.empty() ? "call " + id : call.sheet.site.label + " (" + id + ")";
}

std::string in_words(seconds length)
{
    const auto minutes = (length.count() + 59) / 60;
    return minutes < 60 ? fmt::format("{} min", minutes)
                        : fmt::format("{} h {:02} min", minutes / 60, minutes % 60);
}

bool within_load(const tour::Problem& problem, std::size_t vehicle,
                 const std::vector<std::size_t>& jobs, std::optional<std::size_t>* short_of)
{
    const auto& capacity = problem.vehicle(vehicle).capacity;
    for (std::size_t r = 0; r < capacity.size(); ++r) {
        std::int64_t sum = 0;
        for (const auto j : jobs) {
            sum += problem.demand(j, r);
        }
        if (sum > capacity[r]) {
            if (short_of != nullptr) {
                *short_of = r;
            }
            return false;
        }
    }
    return true;
}

seconds service_of(const access::AccessPlan& access, const DaySettings& settings)
{
    return seconds{
        std::llround(static_cast<double>(access.service.count()) * settings.service_factor)};
}

seconds second_service(const Call& call, const DaySettings& settings)
{
    const seconds length = call.second.length ? *call.second.length : settings.second_visit;
    return seconds{std::llround(static_cast<double>(length.count()) * settings.service_factor)};
}

std::int64_t share_of(LimitRule rule, const rank::RankedCall& call,
                      const access::AccessPlan& access, const DayInput& input, bool second)
{
    const bool is_second = second || call.sheet.call.second.due;
    const double share = second ? call.second_share : 1;  // of a due one the outlook has it
    const seconds work = is_second ? second_service(call.sheet.call, input.settings)
                                   : service_of(access, input.settings);
    switch (rule) {
        case LimitRule::Noise:
            return noise_share(work_spans(access, work), input.limits).value_or(0);
        case LimitRule::ColdBox:
            return std::llround(std::ceil(share * call.outlook.grams.high.value()));
        case LimitRule::Bottles:
            return 1;
        case LimitRule::CombBoxes:
            return is_second ? 0 : 1;
        default:
            return 0;
    }
}

tour::Window at_work(const tour::Vehicle& vehicle)
{
    return {vehicle.shift.opens,
            vehicle.overtime ? vehicle.overtime->latest_home : vehicle.shift.closes};
}

}  // namespace nestround::day
