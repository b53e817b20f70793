#include "planner/day/standing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "planner/day/day_problem.hpp"

namespace nestround::day {

namespace {

/// Work that begins up to so much sooner or later is no change: a client is told a time to within
/// about that. Assumption.
constexpr seconds kSameTime{std::chrono::minutes{10}};

struct WasAt {
    std::size_t crew = 0;
    ClockTime begin{};
};

/// Length of the longest rising run of places, gaps allowed.
[[nodiscard]] std::size_t longest_rising(const std::vector<std::size_t>& places)
{
    std::vector<std::size_t> ends;
    for (const auto place : places) {
        const auto at = std::lower_bound(ends.begin(), ends.end(), place);
        if (at == ends.end()) {
            ends.push_back(place);
        } else {
            *at = place;
        }
    }
    return ends.size();
}

[[nodiscard]] PlanChange change_of(const PlannedStop& stop, const CrewDay& crew, std::size_t k,
                                   const std::optional<WasAt>& was)
{
    PlanChange change;
    change.call = stop.call;
    change.now = stop.begin;
    change.crew = crew.crew.name;
    if (!was) {
        change.kind = PlanChangeKind::Added;
        change.words =
            fmt::format("new: {} begins at {}", crew.crew.name, format_clock(stop.begin));
        return change;
    }
    change.was = was->begin;
    const seconds later = stop.begin.since_midnight() - was->begin.since_midnight();
    const std::string times = later > kSameTime || later < -kSameTime
                                  ? fmt::format("{} {} than told: {} instead of {}",
                                                in_words(later < seconds{0} ? -later : later),
                                                later < seconds{0} ? "sooner" : "later",
                                                format_clock(stop.begin), format_clock(was->begin))
                                  : fmt::format("as told, {}", format_clock(stop.begin));
    if (was->crew != k) {
        change.kind = PlanChangeKind::OtherCrew;
        change.words = fmt::format("{} goes now; {}", crew.crew.name, times);
    } else if (later > kSameTime || later < -kSameTime) {
        change.kind = later > seconds{0} ? PlanChangeKind::Later : PlanChangeKind::Sooner;
        change.words = times;
    } else {
        change.kind = PlanChangeKind::Kept;
        change.words = times;
    }
    return change;
}

}  // namespace

std::vector<PlanChange> changes_between(const Standing& standing, const std::vector<CrewDay>& crews,
                                        const std::vector<LeftOut>& left_out)
{
    std::map<CallId, std::vector<WasAt>> was;
    for (std::size_t k = 0; k < standing.crews.size(); ++k) {
        for (const auto& [call, begin] : standing.crews[k].planned) {
            was[call].push_back({k, begin});
        }
    }
    for (auto& [call, visits] : was) {
        std::sort(visits.begin(), visits.end(),
                  [](const WasAt& a, const WasAt& b) { return a.begin < b.begin; });
    }
    // Of two visits to one nest the later is its second; of one alone it is whichever is left.
    const auto was_at = [&](CallId call, bool second) -> std::optional<WasAt> {
        const auto at = was.find(call);
        if (at == was.end() || (second && at->second.size() < 2)) {
            return std::nullopt;
        }
        return second ? at->second.back() : at->second.front();
    };
    std::vector<PlanChange> changes;
    for (std::size_t k = 0; k < crews.size(); ++k) {
        for (const auto& stop : crews[k].stops) {
            changes.push_back(change_of(
                stop, crews[k], k, was_at(stop.call.sheet.call.id, stop.after_first.has_value())));
        }
    }
    for (const auto& left : left_out) {
        const auto at = was_at(left.call.sheet.call.id, left.after_first);
        if (!at) {
            continue;
        }
        PlanChange change;
        change.call = left.call;
        change.kind = PlanChangeKind::Dropped;
        change.was = at->begin;
        change.words =
            fmt::format("no longer today (was {}): {}", format_clock(at->begin), left.reason);
        changes.push_back(std::move(change));
    }
    // What a client must be told comes first.
    std::stable_sort(changes.begin(), changes.end(),
                     [](const PlanChange& a, const PlanChange& b) { return a.kind < b.kind; });
    return changes;
}

std::size_t count_changes(const std::vector<std::vector<std::size_t>>& was, const tour::Plan& plan)
{
    std::map<std::size_t, std::pair<std::size_t, std::size_t>> place;  // job: vehicle, position
    std::size_t jobs_before = 0;
    for (std::size_t v = 0; v < was.size(); ++v) {
        for (std::size_t i = 0; i < was[v].size(); ++i) {
            place[was[v][i]] = {v, i};
            ++jobs_before;
        }
    }
    std::size_t changes = 0;
    std::size_t still_there = 0;
    for (const auto& tour : plan.tours) {
        std::vector<std::size_t> same_crew;
        for (const auto& visit : tour.visits) {
            const auto at = place.find(visit.job);
            if (at == place.end()) {
                ++changes;  // added
                continue;
            }
            ++still_there;
            if (at->second.first == tour.vehicle) {
                same_crew.push_back(at->second.second);
            } else {
                ++changes;  // another crew
            }
        }
        changes += same_crew.size() - longest_rising(same_crew);  // overtaken
    }
    return changes + (jobs_before - still_there);
}

}  // namespace nestround::day
