#include "planner/access/reach.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>

#include "planner/access/figures.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using access::AccessPlan;
using access::AccessSettings;

namespace {

Gear pole(double metres)
{
    Gear gear;
    gear.kind = GearKind::Pole;
    gear.label = std::to_string(static_cast<int>(metres)) + " m pole";
    gear.length = Metres{metres};
    return gear;
}

Gear a_ladder(double feet, double rated_kg = 150)
{
    Gear gear;
    gear.kind = GearKind::Ladder;
    gear.label = std::to_string(static_cast<int>(feet)) + " ft ladder";
    gear.length = metres_from_feet(feet);
    gear.load_rating = Grams{rated_kg * 1000};
    return gear;
}

Nest nest_at(double height, NestKind kind = NestKind::Aerial)
{
    Nest nest;
    nest.kind = kind;
    nest.height = Metres{height};
    return nest;
}

bool says(const std::vector<std::string>& all, std::string_view part)
{
    return std::any_of(all.begin(), all.end(),
                       [&](const std::string& one) { return one.find(part) != std::string::npos; });
}

const std::vector<Gear> kTruck{pole(4), pole(8), a_ladder(16), a_ladder(36)};
const Call kCall{};

}  // namespace

TEST_CASE("Reach, GroundFirst")
{
    CHECK(access::reach(nest_at(-0.3, NestKind::Ground), kCall, kTruck).method == WorkMethod::Hand);
    CHECK(access::reach(nest_at(1.8), kCall, kTruck).method == WorkMethod::Hand);
    const auto low = access::reach(nest_at(4.2), kCall, kTruck);
    CHECK(low.method == WorkMethod::GroundPole);
    // The shortest pole that reaches: 4 m held at 1.3 m, 1.5 m off, comes to 4.9 m.
    CHECK(says(low.gear, "4 m pole"));
    CHECK(says(access::reach(nest_at(5.5), kCall, kTruck).gear, "8 m pole"));
}

TEST_CASE("Reach, LadderWhereNoPoleReaches")
{
    const std::vector<Gear> ladders{a_ladder(28), a_ladder(16)};
    const auto plan = access::reach(nest_at(4.0), kCall, ladders);
    CHECK(plan.method == WorkMethod::Ladder);
    // Feet at 4.0 - 1.4 = 2.6 m: 2.6 * 4 / sqrt(15) + 1.22 = 3.90 m, within 13 ft of a 16 ft one.
    CHECK(says(plan.gear, "16 ft ladder"));
    CHECK(plan.words.find("extended to 3.9 m (13 ft), foot 1.0 m (3.2 ft) out") !=
          std::string::npos);
    CHECK(says(plan.cautions, "ask the client"));
    CHECK(says(plan.cautions, "second person"));
}

TEST_CASE("Reach, HighNestsInTwoStages")
{
    // Common practice: a nest 8.5 to 9 m up is worked from the ground first, then a short climb.
    for (const double height : {8.5, 9.0}) {
        CAPTURE(height);
        const std::vector<Gear> truck{pole(8.5), a_ladder(16), a_ladder(36)};
        const auto plan = access::reach(nest_at(height), kCall, truck);
        CHECK(plan.method == WorkMethod::PoleThenLadder);
        CHECK(says(plan.gear, "8 m pole"));
        CHECK(says(plan.gear, "36 ft ladder"));
        CHECK(says(plan.gear, "tethered"));
        CHECK(plan.service > access::reach(nest_at(4.2), kCall, truck).service);
    }
}

TEST_CASE("Reach, ARefusedLadderIsNotUsed")
{
    Call call;
    call.ladder = LadderPermission::Refused;
    const auto high = access::reach(nest_at(8.5), call, kTruck);
    CHECK(high.method == WorkMethod::GroundPole);
    CHECK(high.words.find("refuses a ladder") != std::string::npos);
    const std::vector<Gear> ladders{a_ladder(28)};
    const auto none = access::reach(nest_at(4.0), call, ladders);
    CHECK(none.method == WorkMethod::NotReached);
    CHECK(none.words.find("would do: a pole of") != std::string::npos);
    call.ladder = LadderPermission::Given;
    CHECK_FALSE(says(access::reach(nest_at(4.0), call, ladders).cautions, "ask the client"));
}

TEST_CASE("Reach, AWeakLadderIsRefusedAndAnUnratedOneNamed")
{
    const std::vector<Gear> weak{a_ladder(16, 90)};  // less than the 110 kg of the table
    CHECK(access::reach(nest_at(4.0), kCall, weak).method == WorkMethod::NotReached);
    std::vector<Gear> unrated{a_ladder(16)};
    unrated[0].load_rating.reset();
    const auto plan = access::reach(nest_at(4.0), kCall, unrated);
    CHECK(plan.method == WorkMethod::Ladder);
    CHECK(says(plan.cautions, "has to carry 110 kg"));
    unrated.push_back(a_ladder(28));  // longer, but its rating is known
    CHECK(says(access::reach(nest_at(4.0), kCall, unrated).gear, "28 ft ladder"));
}

TEST_CASE("Reach, WhatWouldDoDoes")
{
    const auto plan = access::reach(nest_at(7.0), kCall, {});
    REQUIRE(plan.method == WorkMethod::NotReached);
    // Feet at 5.6 m: 5.6 * 4 / sqrt(15) + 1.22 = 7.0 m = 23 ft extended: 26 ft nominal.
    CHECK(plan.words.find("(26 ft)") != std::string::npos);
    const std::vector<Gear> bought{a_ladder(26)};
    CHECK(access::reach(nest_at(7.0), kCall, bought).method == WorkMethod::Ladder);
    const std::vector<Gear> too_short{a_ladder(24)};
    CHECK(access::reach(nest_at(7.0), kCall, too_short).method == WorkMethod::NotReached);
    const auto tower = access::reach(nest_at(40), kCall, kTruck);
    CHECK(tower.method == WorkMethod::NotReached);
    CHECK(tower.words.find("a lift") != std::string::npos);
    // 40 m up no pole can be held: none is named.
    CHECK(tower.words.find("a pole of") == std::string::npos);
}

TEST_CASE("Reach, AHighNestThatNoPoleReachesIsWarnedOf")
{
    const std::vector<Gear> truck{pole(6), a_ladder(36)};
    const auto high = access::reach(nest_at(8.7), kCall, truck);
    REQUIRE(high.method == WorkMethod::Ladder);
    CHECK(says(high.cautions, "NO POLE REACHES IT"));
    const std::vector<Gear> ladder{a_ladder(16)};
    CHECK_FALSE(says(access::reach(nest_at(4.0), kCall, ladder).cautions, "NO POLE REACHES IT"));
}

TEST_CASE("Reach, HeightsAreSaidInBothSystemsAndAtTheGroundInWords")
{
    CHECK(access::reach(nest_at(5.5), kCall, kTruck).words.find("nest at 5.5 m (18 ft)") !=
          std::string::npos);
    CHECK(access::reach(nest_at(0), kCall, kTruck).words.find("nest at ground level") !=
          std::string::npos);
    CHECK(access::reach(nest_at(-0.2), kCall, kTruck).words.find("0.2 m (0.7 ft) below") !=
          std::string::npos);
}

TEST_CASE("Reach, AMissingHeightIsSaidAndNeverGuessedSilently")
{
    Nest nest;
    nest.kind = NestKind::Aerial;
    const auto plan = access::reach(nest, kCall, kTruck);
    CHECK(plan.method == WorkMethod::GroundPole);
    CHECK(says(plan.gear, "8 m pole"));  // the one that reaches farthest
    CHECK(says(plan.cautions, "height is not given"));
    CHECK(access::reach(nest, kCall, {}).method == WorkMethod::Hand);
    nest.height = Metres{std::numeric_limits<double>::quiet_NaN()};
    CHECK(says(access::reach(nest, kCall, kTruck).cautions, "height is not given"));
}

TEST_CASE("Reach, OddGearIsNotUsed")
{
    std::vector<Gear> odd{pole(0), pole(-3), a_ladder(2), a_ladder(80)};
    odd.push_back(pole(9));
    odd.back().count = 0;
    CHECK(access::reach(nest_at(5), kCall, odd).method == WorkMethod::NotReached);
}

TEST_CASE("Reach, MinutesAreThoseOfTheTable")
{
    const AccessSettings settings;
    const auto minutes = [](const char* name) {
        return std::lround(access::figure("minutes", name).middle() * 60);
    };
    CHECK(access::reach(nest_at(1), kCall, kTruck).service.count() ==
          minutes("arriving") + minutes("suiting") + minutes("hand_work") + minutes("cleaning_up"));
    const auto open = access::reach(nest_at(1), kCall, kTruck).service;
    const auto hollow = access::reach(nest_at(1, NestKind::Void), kCall, kTruck).service;
    CHECK(hollow - open == settings.void_extra);
    AccessSettings slow;
    slow.hand_work += std::chrono::minutes{30};
    CHECK(access::reach(nest_at(1), kCall, kTruck, slow).service ==
          open + std::chrono::minutes{30});
}

TEST_CASE("Reach, EveryPlanDefersToTheRulesAndCallsNothingSafe")
{
    for (double height = -1; height < 20; height += 0.5) {
        for (const NestKind kind :
             {NestKind::Unknown, NestKind::Aerial, NestKind::Ground, NestKind::Void}) {
            const auto plan = access::reach(nest_at(height, kind), kCall, kTruck);
            CAPTURE(height);
            CHECK(says(plan.cautions, "local codes"));
            CHECK(plan.words.find("safe") == std::string::npos);
            CHECK_FALSE(says(plan.cautions, "safe"));
            CHECK((plan.service.count() > 0) == (plan.method != WorkMethod::NotReached));
        }
    }
}

TEST_CASE("AccessFigures, EveryRowHasAKnownSource")
{
    CHECK(access::figures().size() > 25);
    for (const auto& row : access::figures()) {
        CHECK(std::any_of(access::sources().begin(), access::sources().end(),
                          [&](const SourceEntry& one) { return one.key == row.source; }));
    }
    CHECK_THROWS_AS(access::figure("ladder", "wings"), Failure);
}
