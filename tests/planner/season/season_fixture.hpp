/// \file season_fixture.hpp
/// \brief A small invented season on a line of road.
#pragma once

#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "planner/season/plan_season.hpp"
#include "tests/planner/day/day_fixture.hpp"

namespace nestround::test {

class SeasonOnALine {
public:
    explicit SeasonOnALine(int days)
    {
        input.from = parse_day("2026-08-03").value();  // a Monday
        input.days = days;
        input.iterations = 3000;
        input.settings.day.cost_per_driving_minute = 0.1;
    }

    void add_crew(int minute = 0, ClockTime ends = ClockTime::at(12, 0))
    {
        Crew crew;
        crew.name = "crew " + std::to_string(input.crews.size() + 1);
        crew.shift_begins = ClockTime::at(8, 0);
        crew.shift_ends = ends;
        input.crews.push_back(crew);
        crew_at.push_back(minute);
    }

    /// An hour of work at `minute`, worth grams(d) on day d.
    season::SeasonCall& add_call(int minute, const std::function<double(int)>& grams)
    {
        season::SeasonCall call;
        call.call.sheet.call.id = call_id(static_cast<int>(input.calls.size()) + 1);
        call.call.sheet.site.label = "nest " + std::to_string(input.calls.size() + 1);
        call.call.outlook.taxon = "DMAC";
        call.place = 0;  // set by plan()
        for (int d = 0; d < input.days; ++d) {
            season::HoldDay day;
            day.day = input.from + std::chrono::days{d};
            const double g = grams(d);
            day.grams = {Grams{g / 2}, Grams{g}, Grams{2 * g}};
            day.workers = 10 * g;
            day.catch_points = g;
            day.gram_worth = g;
            day.worth = g;
            call.days.push_back(day);
        }
        input.calls.push_back(call);
        call_at.push_back(minute);
        access::AccessPlan access;
        access.method = WorkMethod::GroundPole;
        access.service = std::chrono::minutes{60};
        input.access.emplace_back(input.crews.size(), access);
        return input.calls.back();
    }

    const season::SeasonInput& ready()
    {
        auto places = crew_at;
        places.insert(places.end(), call_at.begin(), call_at.end());
        for (std::size_t c = 0; c < input.calls.size(); ++c) {
            input.calls[c].place = crew_at.size() + c;
        }
        input.travel = {};
        input.travel.rows = input.travel.columns = places.size();
        for (const int a : places) {
            for (const int b : places) {
                input.travel.duration_s.push_back(static_cast<std::uint32_t>(std::abs(a - b)) * 60);
                input.travel.length_m.push_back(static_cast<std::uint32_t>(std::abs(a - b)) * 1000);
            }
        }
        return input;
    }
    season::SeasonPlan plan() { return value_or_throw(season::plan_season(ready())); }

    season::SeasonInput input;
    std::vector<int> crew_at;
    std::vector<int> call_at;
};

inline const season::SeasonChoice& choice_of(const season::SeasonPlan& plan, std::size_t call)
{
    for (const auto& choice : plan.choices) {
        if (choice.call == call) {
            return choice;
        }
    }
    throw std::runtime_error{"no choice of that call"};
}

}  // namespace nestround::test
