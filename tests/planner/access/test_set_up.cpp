#include "planner/access/set_up.hpp"

#include <cmath>

#include "planner/access/ladder.hpp"
#include "planner/access/learned.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::access;

namespace {

Gear a_ladder(double feet, LadderType type = LadderType::Extension)
{
    Gear gear;
    gear.kind = GearKind::Ladder;
    gear.length = metres_from_feet(feet);
    gear.load_rating = Grams{136e3};
    gear.ladder_type = type;
    return gear;
}

Gear a_pole(double metres)
{
    Gear gear;
    gear.kind = GearKind::Pole;
    gear.length = Metres{metres};
    return gear;
}

WorkPlace place_at(double height, double set_back = 0, double fall = 0)
{
    WorkPlace place;
    place.height = Metres{height};
    place.set_back = Metres{set_back};
    place.fall = fall;
    return place;
}

Visit took(WorkMethod method, int minutes)
{
    Visit visit;
    visit.method = method;
    visit.begun = Instant{std::chrono::hours{500000}};
    visit.ended = visit.begun + std::chrono::minutes{minutes};
    return visit;
}

}  // namespace

TEST_CASE("SetUp, EveryLadderStandsOneInFourWithItsFootOnTheGroundAndItsTopOnTheWall")
{
    const AccessSettings settings;
    int stood = 0;
    for (double height = 2.2; height < 9; height += 0.4) {
        for (const double set_back : {0.0, 0.8, 1.5, 2.2}) {
            for (const double fall : {-0.1, 0.0, 0.1, 0.2}) {
                const WorkPlace place = place_at(height, set_back, fall);
                const auto set = set_ladder(place, a_ladder(32), settings);
                if (!set) {
                    continue;
                }
                ++stood;
                CAPTURE(height, set_back, fall);
                CHECK(set->foot_distance >= Metres{set_back - 1e-9});
                CHECK(set->foot_distance.value() ==
                      Approx(set->working_length.value() / 4).margin(1e-9));
                CHECK(set->foot_level.value() ==
                      Approx(-fall * (set->foot_distance.value() - set_back)).margin(1e-6));
                CHECK(std::hypot(set->foot_distance.value(),
                                 (set->support_height - set->foot_level).value()) ==
                      Approx(set->working_length.value()).margin(1e-6));
                // Never above the fourth rung, hands never below the nest.
                CHECK((set->support_height - set->stand_height).value() >=
                      1.2192 * std::sqrt(15.0) / 4 - 1e-9);
                CHECK(set->hands.value() >= height - 1e-6);
                CHECK(set->overlap >= set->overlap_least - Metres{1e-9});
            }
        }
    }
    CHECK(stood > 40);
}

TEST_CASE("SetUp, AnObstacleThatPushesTheFootTooFarOutRulesTheLadderOut")
{
    const AccessSettings settings;
    // 4 m up the foot stands 0.98 m out; 2.5 m out the ladder would rest at 9.7 m.
    CHECK(set_ladder(place_at(4, 0.9), a_ladder(28), settings));
    const auto far = set_ladder(place_at(4, 2.5), a_ladder(36), settings);
    REQUIRE_FALSE(far);
    CHECK(far.error().message.find("above what holds the nest") != std::string::npos);
}

TEST_CASE("SetUp, LaddersThatCannotBe")
{
    const AccessSettings settings;
    const auto why = [&](const Gear& gear, const WorkPlace& place) {
        const auto set = set_ladder(place, gear, settings);
        return set ? std::string{} : set.error().message;
    };
    CHECK(why(a_ladder(4), place_at(3)).find("overlap") != std::string::npos);
    CHECK(why(a_ladder(70), place_at(3)).find("table of overlaps") != std::string::npos);
    CHECK(why(a_ladder(34, LadderType::Single), place_at(3)).find("one section") !=
          std::string::npos);
    // A single 20 ft ladder does not go together: at 3 m it would rest far above the nest.
    CHECK(why(a_ladder(20, LadderType::Single), place_at(3)).find("pushed together") !=
          std::string::npos);
    WorkPlace tree = place_at(4);
    tree.structure = Structure::Tree;
    CHECK(why(a_ladder(28), tree).find("branch") != std::string::npos);
    CHECK(why(a_ladder(28), place_at(4, 0, 0.5)).find("degrees") != std::string::npos);
    CHECK(why(a_ladder(10, LadderType::Step), place_at(3.5)).empty());
    CHECK_FALSE(why(a_ladder(10, LadderType::Step), place_at(4.5)).empty());
}

TEST_CASE("SetUp, APoleStandsOffAtLeastTheSetBackAndOnItsGround")
{
    const AccessSettings settings;
    const auto set = set_pole(place_at(5, 2.0, 0.2), a_pole(7), settings);
    REQUIRE(set);
    CHECK(set->stand_off == Metres{2.0});
    CHECK(set->tip.value() == Approx(1.3 + std::sqrt(6.79 * 6.79 - 4.0)).margin(1e-9));
    CHECK(set->angle == Approx(std::atan2(3.7, 2.0) * 180 / M_PI).margin(1e-9));
    CHECK((set->tip - set->left).value() == Approx(5.0));
    CHECK_FALSE(set_pole(place_at(9), a_pole(7), settings));
    CHECK(set_pole(place_at(8.7), a_pole(8.5), settings)->heavy);
}

TEST_CASE("SetUp, PowerLinesStopPoleAndLadder")
{
    Nest nest;
    nest.height = Metres{5};
    nest.ground.power_lines = PowerLines::Near;
    const std::vector<Gear> truck{a_pole(7), a_ladder(28)};
    const auto unknown = reach(nest, {}, truck);
    CHECK(unknown.method == WorkMethod::NotReached);
    CHECK(unknown.words.find("nobody has said how near") != std::string::npos);
    nest.ground.power_line_distance = Metres{3.5};  // ten feet, and a metre of wandering tip
    CHECK(reach(nest, {}, truck).method == WorkMethod::NotReached);
    nest.ground.power_line_distance = Metres{4.5};
    CHECK(reach(nest, {}, truck).method == WorkMethod::GroundPole);
}

TEST_CASE("SetUp, GroundThatCannotBeIsSaidByName")
{
    Nest nest;
    nest.height = Metres{3};
    nest.ground.set_back = Metres{-1};
    CHECK(work_place(nest).error().where == "set-back");
    CHECK(reach(nest, {}, {}).words.find("set-back") != std::string::npos);
    nest.ground.set_back = Metres{1};
    nest.ground.slope_degrees = 80;
    CHECK(work_place(nest).error().where == "slope");
}

TEST_CASE("Reach, WaysAreRankedFromTheGroundAndTheClimbIsTheShortest")
{
    Nest nest;
    nest.height = Metres{8.7};
    nest.ground.structure = Structure::Gable;
    nest.ground.set_back = Metres{0};
    const std::vector<Gear> truck{a_pole(8.5), a_ladder(32)};
    const auto plan = reach(nest, {}, truck);
    REQUIRE(plan.ways.size() == 3);
    CHECK(plan.ways[0].method == WorkMethod::PoleThenLadder);
    CHECK(plan.ways[1].method == WorkMethod::GroundPole);
    CHECK(plan.ways[2].method == WorkMethod::Ladder);
    CHECK(plan.ways[0].on_ladder < plan.ways[2].on_ladder);
    CHECK(plan.ways[0].people == 2);
    for (const auto& way : plan.ways) {
        seconds sum{};
        for (const auto& stage : way.stages) {
            sum += stage.time;
        }
        CHECK(sum == way.service);
    }
}

TEST_CASE("Learned, FewVisitsMoveTheTableALittleAndManyMoveItNearlyAllTheWay")
{
    const AccessSettings settings;
    const double table =
        static_cast<double>(table_time(WorkMethod::GroundPole, settings).count()) / 60;
    std::vector<Visit> visits;
    const auto expected = [&] {
        return static_cast<double>(method_times(visits, settings)[1].expected.count()) / 60;
    };
    CHECK(expected() == Approx(table));
    for (int n = 0; n < 5; ++n) {
        visits.push_back(took(WorkMethod::GroundPole, 90));
    }
    CHECK(expected() == Approx((table + 90) / 2).margin(0.02));  // five weigh as the table does
    for (int n = 0; n < 95; ++n) {
        visits.push_back(took(WorkMethod::GroundPole, 90));
    }
    CHECK(expected() == Approx(90).margin(2));
    visits.push_back(took(WorkMethod::GroundPole, 2));     // a forgotten watch
    visits.push_back(took(WorkMethod::GroundPole, 3000));  // likewise
    CHECK(method_times(visits, settings)[1].visits == 100);
    CHECK(method_times(visits, settings)[0].visits == 0);

    Nest nest;
    nest.height = Metres{4};
    const std::vector<Gear> truck{a_pole(7)};
    const auto plan = reach(nest, {}, truck, learned_from(visits, settings));
    CHECK(static_cast<double>(plan.service.count()) / 60 == Approx(expected()).margin(0.1));
    CHECK(plan.ways.front().learned_from == 100);
}
