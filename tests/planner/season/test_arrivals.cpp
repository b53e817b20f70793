#include "planner/season/arrivals.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

const Day kToday = parse_day("2026-08-01").value();

CallSheet received(int days_ago)
{
    CallSheet sheet;
    sheet.call.received = kToday - std::chrono::days{days_ago};
    return sheet;
}

}  // namespace

TEST_CASE("Arrivals, TheRateIsThatOfTheLastFortnightWithoutFormerYears")
{
    std::vector<CallSheet> history;
    for (int i = 1; i <= 28; ++i) {
        history.push_back(received(i));
    }
    CHECK(season::call_rate(history, kToday, 28) == Approx(1.0));
    CHECK(season::call_rate({}, kToday, 28) == 0);
    CHECK(season::call_rate(std::span{history}.first(4), kToday, 28) == 0);
}

TEST_CASE("Arrivals, FormerYearsSayWhatTheComingWeeksBring")
{
    // Two years ago and one year ago, ten calls each in the four weeks after this date.
    std::vector<CallSheet> history;
    for (int year = 1; year <= 2; ++year) {
        for (int i = 0; i < 10; ++i) {
            history.push_back(received(365 * year - 2 * i - 1));
        }
        history.push_back(received(365 * year + 40));
    }
    CHECK(season::call_rate(history, kToday, 28) == Approx(10.0 / 28));
}

TEST_CASE("Arrivals, AreAsManyAsTheRateSaysAndLikeTheHistory")
{
    std::vector<CallSheet> history;
    for (int i = 1; i <= 30; ++i) {
        history.push_back(received(i));
    }
    const auto calls = season::expected_calls(history, kToday, 41, 1.5, 7);
    CHECK(calls.size() >= 59);
    CHECK(calls.size() <= 61);
    for (const auto& call : calls) {
        CHECK(call.like < history.size());
        CHECK(call.day >= 1);
        CHECK(call.day < 41);
        CHECK(history[call.like].call.received >= kToday - std::chrono::days{21});
    }
    const auto again = season::expected_calls(history, kToday, 41, 1.5, 7);
    CHECK(again.size() == calls.size());
    CHECK(again.back().like == calls.back().like);
    CHECK(season::expected_calls(history, kToday, 41, 0, 7).empty());
}
