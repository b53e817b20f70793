/// \file day_fixture.hpp
/// \brief A small invented day on a line of road: one crew, calls so many minutes away.
#pragma once

#include <cstdlib>
#include <string>
#include <vector>

#include "planner/day/plan_day.hpp"

namespace nestround::test {

inline CallId call_id(int n)
{
    std::array<std::uint8_t, 16> bytes{};
    bytes[15] = static_cast<std::uint8_t>(n);
    bytes[6] = 0x70;
    bytes[8] = 0x80;
    return CallId{Uuid{bytes}};
}

/// Places on a straight road, in minutes of driving from the first crew's depot at 0.
class DayOnALine {
public:
    DayOnALine()
    {
        input.day = parse_day("2026-08-04").value();
        input.region = "Invented county";
        input.time_zone = "UTC";
        input.iterations = 3000;
        input.settings.cost_per_driving_minute = 0.5;
    }

    void add_crew(int minute = 0, ClockTime begins = ClockTime::at(8, 0),
                  ClockTime ends = ClockTime::at(16, 0))
    {
        Crew crew;
        crew.name = "crew " + std::to_string(input.crews.size() + 1);
        crew.shift_begins = begins;
        crew.shift_ends = ends;
        input.crews.push_back(crew);
        crew_at.push_back(minute);
    }

    /// Half an hour of work at `minute`.
    rank::RankedCall& add_call(int minute, double score)
    {
        rank::RankedCall call;
        call.sheet.call.id = call_id(static_cast<int>(input.calls.size()) + 1);
        call.sheet.site.label = "nest " + std::to_string(input.calls.size() + 1);
        call.outlook.grams = {Grams{50}, Grams{100}, Grams{200}};
        call.score = score;
        input.calls.push_back(call);
        call_at.push_back(minute);
        access::AccessPlan access;
        access.method = WorkMethod::GroundPole;
        access.words = "pole from the ground";
        access.service = std::chrono::minutes{30};
        access.gear = {"pole 7 m"};
        input.access.emplace_back(input.crews.size(), access);
        return input.calls.back();
    }

    Result<day::DayPlan> plan()
    {
        auto places = crew_at;
        places.insert(places.end(), call_at.begin(), call_at.end());
        input.travel = {};
        input.travel.rows = input.travel.columns = places.size();
        for (const int a : places) {
            for (const int b : places) {
                input.travel.duration_s.push_back(static_cast<std::uint32_t>(std::abs(a - b)) * 60);
                input.travel.length_m.push_back(static_cast<std::uint32_t>(std::abs(a - b)) * 1000);
            }
        }
        return day::plan_day(input);
    }

    day::DayInput input;
    std::vector<int> crew_at;
    std::vector<int> call_at;
};

/// Why call `n` (from 1) was left out; empty when it was not.
inline std::string reason_of(const day::DayPlan& plan, int n)
{
    for (const auto& left : plan.left_out) {
        if (left.call.sheet.call.id == call_id(n)) {
            return left.reason;
        }
    }
    return {};
}

inline std::vector<std::string> stops_of(const day::DayPlan& plan, std::size_t crew = 0)
{
    std::vector<std::string> names;
    for (const auto& stop : plan.crews.at(crew).stops) {
        names.push_back(stop.call.sheet.site.label);
    }
    return names;
}

}  // namespace nestround::test
