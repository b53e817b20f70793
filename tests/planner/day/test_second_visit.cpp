#include "planner/day/limits_check.hpp"
#include "tests/planner/day/day_fixture.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::day;

namespace {

/// A call ten minutes away that wants a second visit four hours after the first.
test::DayOnALine wanted()
{
    test::DayOnALine line;
    line.add_crew();
    auto& call = line.add_call(10, 100);
    call.sheet.call.second.after = std::chrono::hours{4};
    call.second_score = 25;
    call.second_share = 0.25;
    return line;
}

}  // namespace

TEST_CASE("SecondVisit, ComesSoLongAfterTheFirstAndIsToldApart")
{
    auto line = wanted();
    line.add_call(20, 40);
    line.input.wishes.explain = {test::call_id(1)};
    const auto plan = line.plan();
    REQUIRE(plan);
    const auto& stops = plan->crews.front().stops;
    REQUIRE(stops.size() == 3);
    const auto second =
        std::find_if(stops.begin(), stops.end(), [](const auto& stop) { return stop.is_second; });
    REQUIRE(second != stops.end());
    CHECK(second->call.sheet.site.label == "nest 1, second visit");
    CHECK(*second->after_first >= std::chrono::hours{4});
    CHECK(second->leave - second->begin == std::chrono::minutes{30});
    CHECK(second->call.score == 25);
    CHECK(second->call.outlook.grams.middle == Grams{25});
    CHECK(plan->total_score == 165);
    CHECK(plan->within_percent == 0.0);
    const auto& words = plan->explained.front().words;
    CHECK(std::any_of(words.begin(), words.end(), [](const std::string& word) {
        return word.find("second visit by crew 1") == 0;
    }));
    // The checker of the day does not take the plan's word for it.
    auto crews = plan->crews;
    auto& moved = crews.front().stops[static_cast<std::size_t>(second - stops.begin())];
    moved.begin = ClockTime{moved.begin.since_midnight() - std::chrono::hours{3}};
    const auto broken = check_limits(line.input, crews);
    REQUIRE_FALSE(broken.empty());
    CHECK(broken.front().rule == LimitRule::SecondVisit);
}

TEST_CASE("SecondVisit, IsLeftWithWordsWhenTheDayIsTooShort")
{
    auto line = wanted();
    line.input.crews.front().shift_ends = ClockTime::at(11, 0);
    const auto plan = line.plan();
    REQUIRE(plan);
    CHECK(plan->crews.front().stops.size() == 1);
    REQUIRE(plan->left_out.size() == 1);
    CHECK(plan->left_out.front().reason.find("second visit: ") == 0);
    CHECK(plan->left_out.front().call.score == 25);
}

TEST_CASE("SecondVisit, NeverComesWithoutTheFirst")
{
    auto line = wanted();
    line.input.calls.front().second_score = 1000;
    line.input.wishes.never = {test::call_id(1)};
    const auto plan = line.plan();
    REQUIRE(plan);
    CHECK(plan->crews.front().stops.empty());
}

TEST_CASE("SecondVisit, ThatIsDueBeginsNoSoonerAndTakesItsOwnTime")
{
    auto line = wanted();
    auto& second = line.input.calls.front().sheet.call.second;
    second.due = Instant{};
    second.length = std::chrono::minutes{20};
    line.input.second_due = {seconds{std::chrono::hours{13}}};
    const auto plan = line.plan();
    REQUIRE(plan);
    const auto& stops = plan->crews.front().stops;
    REQUIRE(stops.size() == 1);
    CHECK(stops.front().is_second);
    CHECK(stops.front().begin >= ClockTime::at(13, 0));
    CHECK(stops.front().leave - stops.front().begin == std::chrono::minutes{20});
    line.input.second_due = {seconds{std::chrono::hours{30}}};
    const auto later = line.plan();
    REQUIRE(later);
    CHECK(later->crews.front().stops.empty());
    CHECK(later->left_out.front().reason == "its second visit is not due on this day yet");
}

TEST_CASE("SecondVisit, NeedsNoRoomForComb")
{
    auto line = wanted();
    line.input.settings.comb_room = 1;
    const auto plan = line.plan();
    REQUIRE(plan);
    CHECK(plan->crews.front().stops.size() == 2);
}

TEST_CASE("SecondVisit, KeepsTheHoursThatTheClientAllows")
{
    auto line = wanted();
    auto& call = line.input.calls.front().sheet.call;
    call.allowed = {parse_clock_span("08:00-11:30").value()};
    const auto early = line.plan();
    REQUIRE(early);
    CHECK(early->crews.front().stops.size() == 1);
    call.allowed.push_back(parse_clock_span("14:00-15:00").value());
    const auto both = line.plan();
    REQUIRE(both);
    REQUIRE(both->crews.front().stops.size() == 2);
    CHECK(both->crews.front().stops.back().begin >= ClockTime::at(14, 0));
}
