/// \file sample_day.hpp
/// \brief An invented planned day: two crews, nine stops, five calls left out.
///
/// Purpose:  something to show in the tests of sheets. Every name and number is made up; times and
///           lines follow the invented roads of sample_roads.hpp.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "planner/day/day_plan.hpp"
#include "tests/support/sample_roads.hpp"

namespace nestround::testing {

/// Private words that no sheet may show unless asked.
inline constexpr const char* kSecretAddress = "17 Quillfeather Row, Nether Bramling";
inline constexpr const char* kSecretNote = "ring Mrs Ottoline Prewd on 555 0142";

struct SampleNest {
    const char* label;
    const char* code;
    const char* taxon;
    const char* stage;
    NestKind kind;
    double height_m;
    double workers;
    double grams;
    std::size_t node;
};

inline Uuid sample_uuid(unsigned number)
{
    std::array<std::uint8_t, 16> bytes{0x01, 0x98, 0x73, 0x2a, 0x51, 0xc0, 0x7a, 0x11,
                                       0x8e, 0x40, 0x5b, 0x02, 0x10, 0xd4, 0,    0};
    bytes[13] = static_cast<std::uint8_t>(0x35 + number * 29);
    bytes[14] = static_cast<std::uint8_t>(0xa1 + number * 71);
    bytes[15] = static_cast<std::uint8_t>(number);
    return Uuid{bytes};
}

inline rank::RankedCall sample_call(const SampleWeb& web, const SampleNest& nest, unsigned number)
{
    rank::RankedCall call;
    call.sheet.call.id = CallId{sample_uuid(number)};
    call.sheet.call.note = kSecretNote;
    call.sheet.nest.kind = nest.kind;
    call.sheet.nest.taxon = nest.code;
    call.sheet.nest.height = Metres{nest.height_m};
    call.sheet.nest.width = Metres{0.3};
    call.sheet.nest.note = kSecretNote;
    call.sheet.site.label = nest.label;
    call.sheet.site.address = kSecretAddress;
    call.sheet.site.note = kSecretNote;
    const LonLat road = web.place(nest.node);
    call.sheet.site.place = {Longitude{road.lon.value() + 0.0006},
                             Latitude{road.lat.value() + 0.0005}};
    call.outlook.taxon = nest.code;
    call.outlook.taxon_name = nest.taxon;
    call.outlook.stage = nest.stage;
    call.outlook.workers = {nest.workers * 0.57, nest.workers, nest.workers * 1.6};
    call.outlook.grams = {Grams{nest.grams * 0.55}, Grams{nest.grams}, Grams{nest.grams * 1.7}};
    call.outlook.in_7_days = Grams{nest.grams * 0.8};
    call.outlook.in_14_days = Grams{nest.grams * 0.5};
    call.score = nest.grams * 1.2 + 10;
    call.reasons = {"gives more than most today", "would lose a fifth by waiting a week",
                    "has waited 6 days"};
    return call;
}

inline day::PlannedStop sample_stop(const SampleWeb& web, rank::RankedCall call, std::size_t from,
                                    std::size_t to, ClockTime departs)
{
    day::PlannedStop stop;
    const SampleWeb::Way way = web.way(from, to);
    stop.call = std::move(call);
    stop.drive = seconds{static_cast<long>(way.seconds + 0.5)};
    stop.drive_length = Metres{std::round(way.metres)};
    stop.drive_line = way.line;
    stop.arrive = departs + stop.drive;
    stop.begin = stop.arrive;
    const double high = stop.call.sheet.nest.height->value();
    stop.access.method = high > 2 ? WorkMethod::GroundPole : WorkMethod::Hand;
    stop.access.words = high > 2 ? "pole from the ground: the long pole reaches it"
                                 : "by hand, standing on the ground";
    stop.access.service = std::chrono::minutes{high > 2 ? 50 : 40};
    stop.access.gear = {"vacuum", "catch box", high > 2 ? "long pole" : "short wand"};
    stop.leave = stop.begin + stop.access.service;
    return stop;
}

inline day::CrewDay sample_crew(const SampleWeb& web, const std::string& name, std::size_t depot,
                                const std::vector<SampleNest>& nests, unsigned first_number)
{
    day::CrewDay crew;
    crew.crew.id = CrewId{sample_uuid(200 + first_number)};
    crew.crew.name = name;
    crew.crew.depot = web.place(depot);
    crew.crew.people = 2;
    crew.depart = ClockTime::at(7, 0);
    crew.crew.shift_begins = crew.depart;
    crew.crew.shift_ends = ClockTime::at(16, 0);
    ClockTime now = crew.depart;
    std::size_t at = depot;
    for (std::size_t k = 0; k < nests.size(); ++k) {
        rank::RankedCall call = sample_call(web, nests[k], first_number + static_cast<unsigned>(k));
        if (k == 1) {
            // The client is at home from a quarter of an hour after the crew could be there.
            call.sheet.call.allergic = true;
        }
        day::PlannedStop stop = sample_stop(web, std::move(call), at, nests[k].node, now);
        if (k == 1) {
            stop.begin = stop.arrive + std::chrono::minutes{15};
            stop.call.sheet.call.allowed = {{stop.begin, ClockTime::at(12, 0)}};
            stop.leave = stop.begin + stop.access.service;
        }
        now = stop.leave;
        at = nests[k].node;
        crew.driving += stop.drive;
        crew.driven += stop.drive_length;
        crew.grams.low += stop.call.outlook.grams.low;
        crew.grams.middle += stop.call.outlook.grams.middle;
        crew.grams.high += stop.call.outlook.grams.high;
        crew.stops.push_back(std::move(stop));
        if (k == 2) {
            crew.pause = day::PlannedBreak{3, now, std::chrono::minutes{30}};
            now = now + crew.pause->length;
        }
    }
    const SampleWeb::Way home = web.way(at, depot);
    crew.drive_home = seconds{static_cast<long>(home.seconds + 0.5)};
    crew.drive_home_length = Metres{std::round(home.metres)};
    crew.drive_home_line = home.line;
    crew.home = now + crew.drive_home;
    crew.driving += crew.drive_home;
    crew.driven += crew.drive_home_length;
    crew.load = {
        "2 vacuums",         "long pole, 7 m", "18 kg dry ice in 2 boxes", "comb habitat, warmed",
        "3 suits and veils", "labels 41 to 60"};
    return crew;
}

inline day::DayPlan sample_day(const SampleWeb& web)
{
    using K = NestKind;
    const char* const kRaising = "raising queens and males";
    const char* const kBuild = "build-up";
    day::DayPlan plan;
    plan.day = value_or_throw(parse_day("2026-08-04"));
    plan.region = "Marrowmere County (invented)";
    plan.time_zone = "Etc/UTC";
    plan.road_attribution = "invented roads, no real place";
    plan.seed = 7;
    plan.checked = true;
    plan.crews.push_back(
        sample_crew(web, "Heron truck", web.at(8, 5),
                    {{"Tannery loft, north gable", "DMAC", "Dolichovespula maculata", kRaising,
                      K::Aerial, 4.5, 420, 44, web.at(5, 11)},
                     {"Old sluice bank", "VMAC", "Vespula maculifrons", kBuild, K::Ground, -0.3,
                      1873, 63, web.at(9, 16)},
                     {"Pottery yard wall", "VGER", "Vespula germanica", kBuild, K::Void, 2.2, 1450,
                      58, web.at(14, 18)},
                     {"Lower mill porch", "PDOM", "Polistes dominula", kRaising, K::Aerial, 2.6, 38,
                      1.6, web.at(17, 12)},
                     {"Chapel yew", "DARE", "Dolichovespula arenaria", "decline", K::Aerial, 1.8,
                      160, 9, web.at(13, 7)}},
                    1));
    plan.crews.push_back(sample_crew(web, "Plover truck", web.at(23, 13),
                                     {{"Ropewalk eaves", "DMAC", "Dolichovespula maculata",
                                       kRaising, K::Aerial, 5.5, 510, 57, web.at(21, 6)},
                                      {"Fern Hollow orchard", "VVUL", "Vespula vulgaris", kBuild,
                                       K::Ground, -0.2, 2100, 74, web.at(27, 3)},
                                      {"Signal house attic", "VCRA", "Vespa crabro", kBuild,
                                       K::Void, 3.4, 310, 92, web.at(31, 8)},
                                      {"Glasshouse 3", "", "unknown social wasp", kBuild,
                                       K::Unknown, 1.2, 600, 30, web.at(29, 17)}},
                                     20));
    plan.crews[0].stops[0].call.sheet.call.must_take = true;
    plan.crews[1].stops[1].access.cautions = {"soft ground by the brook"};
    plan.crews[1].stops[2].call.sheet.nest.entrance = "under the third ridge tile";
    const std::vector<SampleNest> left{
        {"Quarry hut", "VGER", "Vespula germanica", kBuild, K::Void, 2.0, 1200, 47, web.at(3, 19)},
        {"Upper ford", "VMAC", "Vespula maculifrons", kBuild, K::Ground, 0, 900, 30,
         web.at(19, 16)},
        {"Bell tower", "VCRA", "Vespa crabro", kBuild, K::Void, 14, 250, 70, web.at(22, 15)},
        {"Bandstand", "PDOM", "Polistes dominula", kRaising, K::Aerial, 3, 25, 1, web.at(7, 7)},
        {"Ferry kiosk", "DARE", "Dolichovespula arenaria", "decline", K::Aerial, 2.4, 90, 5,
         web.at(25, 9)}};
    const std::vector<std::string> reasons{
        "fits no shift: 1 h 12 more than the Heron truck has left",
        "the client allows 16:00-18:00, after both shifts end",
        "not reached: the nest hangs at 14 m, the long pole reaches 7 m",
        "the drive would cost more than the nest is worth today",
        "insecticide was used; a nest that gives more took its place"};
    for (std::size_t k = 0; k < left.size(); ++k) {
        plan.left_out.push_back(
            {sample_call(web, left[k], 60 + static_cast<unsigned>(k)), reasons[k]});
    }
    plan.left_out[4].call.outlook.venom = false;
    std::stable_sort(
        plan.left_out.begin(), plan.left_out.end(),
        [](const day::LeftOut& a, const day::LeftOut& b) { return a.call.score > b.call.score; });
    plan.cautions = {"31 C in the afternoon: drink, and rest out of the suit between nests.",
                     "Dry ice gives off gas that chokes: keep the cab apart and aired."};
    plan.total_score = 512;
    return plan;
}

}  // namespace nestround::testing
