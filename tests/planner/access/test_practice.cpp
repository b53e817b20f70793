// What crews do, without a written source: each sentence a test. And what bad input gets.
#include <algorithm>
#include <cmath>
#include <string>

#include "planner/access/reach.hpp"
#include "planner/access/set_up.hpp"
#include "planner/day/load_list.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

Gear piece(GearKind kind, double metres, const char* label)
{
    Gear gear;
    gear.kind = kind;
    gear.label = label;
    gear.length = Metres{metres};
    gear.load_rating = Grams{150000};
    return gear;
}

/// A nest 8.7 m over the lowest standing place, over stepped ground.
Nest high_nest()
{
    Nest nest;
    nest.kind = NestKind::Aerial;
    nest.height = Metres{8.7};
    nest.ground.set_back = Metres{1.0};
    nest.ground.step = Metres{0.4};
    nest.ground.structure = Structure::Gable;
    return nest;
}

const std::vector<Gear> kTruck{piece(GearKind::Pole, 9, "long pole"),
                               piece(GearKind::Ladder, 11, "36 ft ladder")};

bool says(const std::vector<std::string>& all, std::string_view part)
{
    return std::any_of(all.begin(), all.end(),
                       [&](const std::string& one) { return one.find(part) != std::string::npos; });
}

std::string stages_of(const access::WayOfWork& way)
{
    std::string words;
    for (const auto& stage : way.stages) {
        words += stage.what + "\n";
    }
    return words;
}

}  // namespace

TEST_CASE("Practice, ANestAt8And7MetresOverSteppedGroundIsWorkedInTwoStages")
{
    for (const double height : {8.5, 8.7, 9.0}) {
        Nest nest = high_nest();
        nest.height = Metres{height};
        const auto plan = access::reach(nest, {}, kTruck);
        REQUIRE(plan.method == WorkMethod::PoleThenLadder);
        const auto& way = plan.ways.front();
        REQUIRE(way.pole);
        REQUIRE(way.ladder);
        // Pole first, from the ground; the climb is the shorter part and comes last.
        std::size_t pole_at = 0;
        std::size_t climb_at = 0;
        seconds climb{};
        seconds ground{};
        for (std::size_t i = 0; i < way.stages.size(); ++i) {
            if (way.stages[i].on_ladder) {
                climb_at = i;
                climb = way.stages[i].time;
            } else if (way.stages[i].vacuum_runs) {
                pole_at = i;
                ground = way.stages[i].time;
            }
        }
        CHECK(pole_at < climb_at);
        CHECK(climb < ground);
        CHECK(climb == way.on_ladder);
        CHECK(says(plan.cautions, "step of 0.4 m"));
        CHECK(says(plan.cautions, "loose stone"));
        // The ladder is the last of the ways.
        CHECK(plan.ways.back().method == WorkMethod::Ladder);
    }
}

TEST_CASE("Practice, APoleOfThatLengthIsHeavyAndBlind")
{
    const auto plan = access::reach(high_nest(), {}, kTruck);
    REQUIRE(plan.ways.front().pole);
    CHECK(plan.ways.front().pole->heavy);
    CHECK(says(plan.cautions, "blind"));
    Nest low = high_nest();
    low.height = Metres{3.5};
    const auto light = access::reach(low, {}, {{piece(GearKind::Pole, 4, "short pole")}});
    REQUIRE(light.ways.front().pole);
    CHECK_FALSE(light.ways.front().pole->heavy);
}

TEST_CASE("Practice, AFewMinutesOfTappingAndSuctionTakeMostDefenders")
{
    CHECK(stages_of(access::reach(high_nest(), {}, kTruck).ways.front())
              .find("tapping and suction take most defenders") != std::string::npos);
}

TEST_CASE("Practice, NothingHangsLooseTheTriggerIsInFrontAndContainersGoUpTethered")
{
    const auto plan = access::reach(high_nest(), {}, kTruck);
    CHECK(says(plan.cautions, "nothing hangs loose on the climber"));
    CHECK(says(plan.cautions, "trigger is in front"));
    CHECK(says(plan.cautions, "container and bag go up tethered"));
}

TEST_CASE("Practice, WaterClothGogglesGlovesAndEarProtectionAreOnEveryLoadList")
{
    for (const auto method : {WorkMethod::Hand, WorkMethod::GroundPole, WorkMethod::Ladder,
                              WorkMethod::PoleThenLadder}) {
        day::CrewDay crew;
        day::PlannedStop stop;
        stop.access.method = method;
        crew.stops.push_back(stop);
        crew.home = ClockTime::at(12, 0);
        const auto list = day::load_list(crew);
        for (const auto* item : {"water", "cloth", "goggles", "gloves", "ear protection"}) {
            CAPTURE(item);
            CHECK(says(list, item));
        }
    }
}

TEST_CASE("Practice, TheSpotIsScrubbedAndStragglersComeForADayOrTwo")
{
    const auto plan = access::reach(high_nest(), {}, kTruck);
    CHECK(plan.ways.front().stages.back().what.find("scrub and wash the spot") !=
          std::string::npos);
    CHECK(says(plan.cautions,
               "scrub and wash the spot afterwards; stragglers come for a day or "
               "two"));
}

TEST_CASE("BadInput, ANestAt40MetresIsNotReachedAndSaysWhatWouldDo")
{
    Nest nest = high_nest();
    nest.height = Metres{40};
    const auto plan = access::reach(nest, {}, kTruck);
    CHECK(plan.method == WorkMethod::NotReached);
    CHECK(plan.ways.empty());
    CHECK(plan.service == seconds{0});
    CHECK(plan.words.find("a lift with its own rules") != std::string::npos);
}

TEST_CASE("BadInput, NoGearReachesNothingHighAndSaysSo")
{
    const auto plan = access::reach(high_nest(), {}, {});
    CHECK(plan.method == WorkMethod::NotReached);
    CHECK(plan.words.find("would do") != std::string::npos);
}

TEST_CASE("BadInput, ANegativeSetBackIsRefusedByName")
{
    Nest nest = high_nest();
    nest.ground.set_back = Metres{-1};
    CHECK_FALSE(access::work_place(nest));
    const auto plan = access::reach(nest, {}, kTruck);
    CHECK(plan.method == WorkMethod::NotReached);
    CHECK(plan.words.find("set-back") != std::string::npos);
}

TEST_CASE("BadInput, ALadderShorterThanItsOverlapIsNotUsed")
{
    const auto stub = piece(GearKind::Ladder, 0.8, "stub");  // its sections overlap by 0.91 m
    const auto place = access::work_place(high_nest());
    REQUIRE(place);
    CHECK_FALSE(access::set_ladder(*place, stub, {}));
    const auto plan = access::reach(high_nest(), {}, {{stub}});
    CHECK(plan.method == WorkMethod::NotReached);
    CHECK(says(plan.ruled_out, "stub"));
}
