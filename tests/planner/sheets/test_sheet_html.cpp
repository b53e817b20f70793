#include "planner/sheets/sheet_html.hpp"

#include <fmt/format.h>

#include <regex>

#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sheet_day.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;
using Catch::Contains;

namespace {

std::string html_of(const day::DayPlan& plan, const DaySheetOptions& options = {})
{
    const testing::SampleWeb web;
    return sheet_html(day_sheet(plan, options), plan, testing::sheet_roads(web));
}

}  // namespace

TEST_CASE("SheetHtml, IsWellFormedAndNeedsNoNetwork")
{
    const testing::SampleWeb web;
    const testing::ScratchFolder folder;
    for (const std::size_t stops : {std::size_t{5}, std::size_t{0}}) {
        const auto html = html_of(testing::sheet_day_of(web, stops));
        write_file(folder.file("sheet.html"), html);
        for (const char* reader : {"--html ", ""}) {
            const auto said = testing::run_shell(fmt::format("xmllint --huge --nonet --noout {}{}",
                                                             reader, folder.file("sheet.html")));
            CAPTURE(said.words);
            CHECK(said.code == 0);
            CHECK(said.words.empty());
        }
        // Each address is inside the file: a place in it, or a picture written out.
        const std::regex address{
            R"((?:src|href|url|action|srcset|@import)\s*[=(]\s*["']?([^"')> ]{0,12}))"};
        std::size_t seen = 0;
        for (auto it = std::sregex_iterator{html.begin(), html.end(), address};
             it != std::sregex_iterator{}; ++it) {
            const std::string to = (*it)[1];
            CHECK((to.rfind("#stop-", 0) == 0 || to.rfind("data:image/", 0) == 0));
            ++seen;
        }
        CHECK(seen >= stops + 1);
        CHECK_THAT(html, !Contains("<script") && !Contains("<link") && !Contains("<iframe"));
        CHECK_THAT(html, Contains("width=device-width") && Contains("calls nothing safe"));
    }
}

TEST_CASE("SheetHtml, EverythingFromTheBookIsEscaped")
{
    const testing::SampleWeb web;
    auto plan = testing::sheet_day(web);
    const std::string evil = "<script>alert('x')</script> & \"</title>";
    plan.region = plan.road_attribution = evil;
    plan.cautions.push_back(evil);
    plan.crews[0].crew.name = evil;
    plan.crews[0].load.push_back(evil);
    auto& stop = plan.crews[0].stops[0];
    stop.call.sheet.site.label = stop.call.sheet.site.address = evil;
    stop.call.sheet.nest.entrance = evil;
    stop.access.cautions.push_back(evil);
    stop.access.gear.push_back(evil);
    stop.access.words = evil;
    stop.access.ways.front().stages[2].what = evil;
    stop.call.outlook.taxon_name = evil;
    DaySheetOptions options;
    options.with_addresses = true;
    options.clients[stop.call.sheet.call.id] = {evil, evil};
    const auto html = html_of(plan, options);
    CHECK_THAT(html, !Contains("<script>alert"));
    CHECK_THAT(html, Contains("&lt;script&gt;alert(&apos;x&apos;)&lt;/script&gt; &amp; &quot;"));
    const testing::ScratchFolder folder;
    write_file(folder.file("sheet.html"), html);
    CHECK(testing::run_shell("xmllint --huge --nonet --noout " + folder.file("sheet.html")).code ==
          0);
}

TEST_CASE("SheetHtml, HoldsADrawingAStageAndAStopASection")
{
    const testing::SampleWeb web;
    const auto html = html_of(testing::sheet_day(web));
    const auto count = [&](const std::string& words) {
        std::size_t n = 0;
        for (auto at = html.find(words); at != std::string::npos; at = html.find(words, at + 1)) {
            ++n;
        }
        return n;
    };
    CHECK(count("class=\"page\" id=\"stop-A") == 5);
    CHECK(count("class=\"drawing\"") == 1 + 2 + 1 + 1);  // two stages; none without a height
    CHECK(count("class=\"map\"") == 1);
    CHECK(html == html_of(testing::sheet_day(web)));
}
