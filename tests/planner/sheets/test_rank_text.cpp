#include <algorithm>

#include "planner/sheets/morning_text.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sample_day.hpp"

using namespace nestround;
using namespace nestround::sheets;

namespace {

std::vector<rank::RankedCall> calls_of_test()
{
    const testing::SampleWeb web;
    std::vector<rank::RankedCall> calls;
    for (const day::LeftOut& left : testing::sample_day(web).left_out) {
        calls.push_back(left.call);
    }
    return calls;
}

const Day kDay = value_or_throw(parse_day("2026-08-04"));

}  // namespace

TEST_CASE("RankText, ListsCallsInTheOrderGivenWithTheirReasons")
{
    const auto calls = calls_of_test();
    const std::string text = rank_text(calls, kDay);
    std::size_t last = 0;
    for (const rank::RankedCall& call : calls) {
        const std::size_t at = text.find(call.sheet.site.label);
        REQUIRE(at != std::string::npos);
        CHECK(at > last);
        last = at;
        CHECK(text.find(call_key(call.sheet.call.id), at) != std::string::npos);
        CHECK(text.find("would lose a fifth by waiting a week", at) != std::string::npos);
    }
    CHECK(text.find("nothing for laboratories") != std::string::npos);
    CHECK(text.find("Quillfeather") == std::string::npos);
}

TEST_CASE("RankText, StopsAtTheLimitAndSaysSo")
{
    const auto calls = calls_of_test();
    RankTextOptions options;
    options.limit = 2;
    const std::string text = rank_text(calls, kDay, options);
    CHECK(text.find("2 of 5") != std::string::npos);
    CHECK(text.find("3 more wait") != std::string::npos);
    CHECK(text.find(calls[1].sheet.site.label) != std::string::npos);
    CHECK(text.find(calls[2].sheet.site.label) == std::string::npos);
    options.limit = 99;
    CHECK(rank_text(calls, kDay, options).find("5 in all") != std::string::npos);
}

TEST_CASE("RankText, LeavesReasonsOutWhenAsked")
{
    RankTextOptions options;
    options.reasons = false;
    CHECK(rank_text(calls_of_test(), kDay, options).find("waiting a week") == std::string::npos);
}

TEST_CASE("RankText, ColumnsStandUnderEachOther")
{
    auto calls = calls_of_test();
    calls[1].sheet.site.label = "\u5de5\u5834\u306e\u5317\u5074";
    RankTextOptions options;
    options.reasons = false;
    options.text.width = GENERATE(60, 80, 100);
    const std::string text = rank_text(calls, kDay, options);
    // Each row ends with its key, so every row is as wide as the page's first row.
    std::vector<int> widths;
    for (std::size_t from = 0; from < text.size();) {
        const std::size_t end = text.find('\n', from);
        const std::string line = text.substr(from, end - from);
        for (const rank::RankedCall& call : calls) {
            if (line.find(call_key(call.sheet.call.id)) != std::string::npos) {
                widths.push_back(columns(line));
            }
        }
        from = end + 1;
    }
    REQUIRE(widths.size() == calls.size());
    CHECK(std::all_of(widths.begin(), widths.end(), [&](int w) { return w == widths[0]; }));
    CHECK(widths[0] <= options.text.width);
}

TEST_CASE("RankText, SaysWhenNothingWaits")
{
    CHECK(rank_text({}, kDay).find("No call waits") != std::string::npos);
}
