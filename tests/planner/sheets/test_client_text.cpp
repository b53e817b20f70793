#include "planner/sheets/client_text.hpp"

#include "tests/support/catch.hpp"
#include "tests/support/sheet_day.hpp"

using namespace nestround;
using namespace nestround::sheets;
using Catch::Contains;
using std::chrono::minutes;

namespace {

day::PlannedStop stop_at(int hour, int minute)
{
    day::PlannedStop stop;
    stop.arrive = stop.begin = ClockTime::at(hour, minute);
    return stop;
}

}  // namespace

TEST_CASE("ArrivalWindow, HoldsThePlannedMomentAndBeginsOnAQuarter")
{
    for (int minute = 0; minute < 24 * 60; minute += 7) {
        for (const int width : {30, 60, 240}) {
            auto stop = stop_at(0, 0);
            stop.arrive = stop.begin = ClockTime{minutes{minute + 90}};
            const auto window = arrival_window(stop, minutes{width});
            CHECK(window.opens <= stop.arrive);
            CHECK(stop.arrive <= window.closes);
            CHECK(window.closes - window.opens == minutes{width});
            CHECK(window.opens.since_midnight() % minutes{15} == seconds{0});
        }
    }
    // Worked by hand: 09:40 less 20 minutes is 09:20, the quarter before it 09:15.
    CHECK(arrival_window(stop_at(9, 40), minutes{60}) ==
          ClockSpan{ClockTime::at(9, 15), ClockTime::at(10, 15)});
}

TEST_CASE("ArrivalWindow, StaysWithinTheHoursThatTheClientAllows")
{
    auto stop = stop_at(8, 50);
    stop.begin = ClockTime::at(9, 0);  // waits for the hour
    stop.call.sheet.call.allowed = {{ClockTime::at(9, 0), ClockTime::at(9, 30)}};
    CHECK(arrival_window(stop, minutes{60}) ==
          ClockSpan{ClockTime::at(9, 0), ClockTime::at(9, 30)});
}

TEST_CASE("ClientTexts, NameNobodyUnlessAsked")
{
    const testing::SampleWeb web;
    const auto plan = testing::sheet_day(web);
    const auto texts = client_texts(plan, minutes{60}, {});
    CAPTURE(texts);
    CHECK_THAT(texts, Contains("---- A1  ") && Contains("---- A5  ") && Contains("Hello,\n"));
    CHECK_THAT(texts, !Contains("Ottoline") && !Contains("Quillfeather") && !Contains("555"));
    DaySheetOptions options;
    options.clients[plan.crews[0].stops[0].call.sheet.call.id] = {"Ottoline Prewd", "555 0142"};
    const auto named = client_texts(plan, minutes{60}, options);
    CHECK_THAT(named, Contains("Hello Ottoline Prewd,\n") && Contains("555 0142"));
    CHECK_THAT(named, !Contains("Quillfeather"));
}

TEST_CASE("ClientTexts, AskAndTellWhatThePlanHolds")
{
    const testing::SampleWeb web;
    const auto texts = client_texts(testing::sheet_day(web), minutes{60}, {});
    const auto part = [&](const std::string& mark) {
        const auto from = texts.find("---- " + mark);
        std::string out = texts.substr(from, texts.find("---- ", from + 5) - from);
        for (char& c : out) {
            c = c == '\n' ? ' ' : c;
        }
        return out;
    };
    CHECK_THAT(part("A1"), !Contains("lean a ladder") && Contains("they do not rebuild"));
    CHECK_THAT(part("A2"), Contains("May we lean a ladder") &&
                               Contains("someone there is allergic to stings: please keep them"));
    CHECK_THAT(part("A3"), Contains("take the wasps from the nest.") && !Contains("rebuild"));
    CHECK_THAT(part("A5"), Contains("How high is the nest"));
    CHECK_THAT(texts, !Contains("safe"));
    auto none = testing::sheet_day_of(web, 0);
    CHECK_THAT(client_texts(none, minutes{60}, {}), Contains("Nobody is visited"));
}
