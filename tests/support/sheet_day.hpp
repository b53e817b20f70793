/// \file sheet_day.hpp
/// \brief An invented day for the printed sheet: a nest for each way of work, and awkward words.
///
/// Purpose:  the tests of sheet, calendar and texts share it. Every name and number is made up; the
///           ways are worked out by planner/access, not written by hand.
#pragma once

#include <string>
#include <vector>

#include "planner/access/reach.hpp"
#include "planner/day/load_list.hpp"
#include "planner/sheets/map.hpp"
#include "tests/support/sample_day.hpp"

namespace nestround::testing {

inline std::vector<Gear> sheet_gear()
{
    Gear pole;
    pole.kind = GearKind::Pole;
    pole.label = "long pole";
    pole.length = Metres{8.5};
    Gear ladder;
    ladder.kind = GearKind::Ladder;
    ladder.label = "32 ft ladder";
    ladder.length = metres_from_feet(32);
    ladder.load_rating = Grams{136000};
    ladder.ladder_type = LadderType::Extension;
    return {pole, ladder};
}

/// A stop of the sample day with the way that the crew's gear allows.
inline void work_out(day::PlannedStop& stop, std::optional<Metres> height, NestKind kind,
                     Structure structure, LadderPermission ladder, std::vector<Gear> gear)
{
    auto& sheet = stop.call.sheet;
    sheet.nest.height = height;
    sheet.nest.kind = kind;
    sheet.nest.ground.structure = structure;
    sheet.call.ladder = ladder;
    stop.access = access::reach(sheet.nest, sheet.call, gear);
    stop.leave = stop.begin + stop.access.service;
}

/// One crew. A1 by hand in the ground, A2 in two stages, A3 pole alone with the comb left (ladder
/// refused), A4 in a hollow, A5 without a height.
inline day::DayPlan sheet_day(const SampleWeb& web)
{
    day::DayPlan plan = sample_day(web);
    plan.crews.resize(1);
    auto& crew = plan.crews[0];
    const auto gear = sheet_gear();
    work_out(crew.stops[0], Metres{-0.2}, NestKind::Ground, Structure::Ground,
             LadderPermission::Given, gear);
    work_out(crew.stops[1], Metres{8.7}, NestKind::Aerial, Structure::Gable,
             LadderPermission::Unknown, gear);
    work_out(crew.stops[2], Metres{7.0}, NestKind::Aerial, Structure::Gable,
             LadderPermission::Refused, gear);
    work_out(crew.stops[3], Metres{2.6}, NestKind::Void, Structure::Void, LadderPermission::Given,
             gear);
    work_out(crew.stops[4], std::nullopt, NestKind::Aerial, Structure::Tree,
             LadderPermission::Given, gear);
    crew.load = day::load_list(crew);
    return plan;
}

/// The same stops over and over.
inline day::DayPlan sheet_day_of(const SampleWeb& web, std::size_t stops)
{
    day::DayPlan plan = sheet_day(web);
    auto& all = plan.crews[0].stops;
    const auto five = all;
    all.clear();
    for (std::size_t k = 0; k < stops; ++k) {
        all.push_back(five[k % five.size()]);
    }
    plan.crews[0].pause.reset();
    return plan;
}

inline sheets::MapRoads sheet_roads(const SampleWeb& web)
{
    sheets::MapRoads roads;
    roads.roads.push_back({sheets::RoadRank::Main, web.way(web.at(5, 11), web.at(14, 18)).line});
    return roads;
}

}  // namespace nestround::testing
