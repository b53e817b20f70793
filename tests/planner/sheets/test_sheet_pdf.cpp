#include "planner/sheets/sheet_pdf.hpp"

#include <fmt/format.h>

#include "planner/sheets/write_file.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/sheet_day.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::sheets;
using Catch::Contains;

namespace {

/// A PDF read back by poppler.
struct ReadBack {
    explicit ReadBack(const std::string& bytes)
    {
        write_file(folder.file("sheet.pdf"), bytes);
        const auto info = testing::run_shell("pdfinfo " + folder.file("sheet.pdf"));
        REQUIRE(info.code == 0);
        facts = info.words;
        const auto at = facts.find("Pages:");
        pages = std::stoi(facts.substr(at + 6));
    }
    [[nodiscard]] std::string page(int number) const
    {
        const auto said = testing::run_shell(
            fmt::format("pdftotext -f {0} -l {0} {1} -", number, folder.file("sheet.pdf")));
        REQUIRE(said.code == 0);
        // One line: where the text is broken depends on the room.
        std::string text;
        for (const char c : said.words) {
            text += c == '\n' ? ' ' : c;
        }
        return text;
    }
    testing::ScratchFolder folder;
    std::string facts;
    int pages = 0;
};

std::string pdf_of(const day::DayPlan& plan, Paper paper = Paper::A4)
{
    const testing::SampleWeb web;
    return sheet_pdf(day_sheet(plan, {}), plan, testing::sheet_roads(web), paper);
}

}  // namespace

TEST_CASE("SheetPdf, APageForTheDayThenAPageAStop")
{
    const testing::SampleWeb web;
    const auto plan = testing::sheet_day(web);
    struct Wanted {
        Paper paper;
        const char* size;
        int pages;
    };
    // On Letter, which is lower, the two stages with all that is to mind go on overleaf.
    for (const auto& [paper, size, pages] : {Wanted{Paper::A4, "595.276 x 841.89 pts (A4)", 6},
                                             Wanted{Paper::Letter, "612 x 792 pts (letter)", 7}}) {
        const ReadBack read{pdf_of(plan, paper)};
        CHECK(read.pages == pages);
        CHECK_THAT(read.facts, Contains(size) && Contains("Morning sheet, Tuesday 4 August 2026"));
        const auto day = read.page(1);
        CHECK_THAT(day, Contains("Tuesday 4 August 2026") && Contains("Heron truck") &&
                            Contains("Times") && Contains("Load") && Contains("Mind today") &&
                            Contains("midday break") && Contains("ear protection"));
        const auto stop = read.page(3) + (pages == 7 ? read.page(4) : std::string{});
        CHECK_THAT(stop, Contains("A2") && Contains("Old sluice bank") &&
                             Contains("In this order") && Contains("Clean up") &&
                             Contains("Tell the client") && Contains("Write down") &&
                             Contains("picture or sketch") && Contains("1 in 4"));
        for (int page = 1; page <= read.pages; ++page) {
            CHECK_THAT(read.page(page), Contains("calls nothing safe") &&
                                            Contains(fmt::format("page {} of {}", page, pages)));
        }
    }
}

TEST_CASE("SheetPdf, IsTheSameTwice")
{
    const testing::SampleWeb web;
    const auto plan = testing::sheet_day(web);
    CHECK(pdf_of(plan) == pdf_of(plan));
}

TEST_CASE("SheetPdf, EmptyDaysAreOnePage")
{
    const testing::SampleWeb web;
    auto plan = testing::sheet_day_of(web, 0);
    CHECK(ReadBack{pdf_of(plan)}.pages == 1);
    plan.crews.clear();
    plan.cautions.clear();
    const ReadBack none{pdf_of(plan)};
    CHECK(none.pages == 1);
    CHECK_THAT(none.page(1), Contains("No crew goes out"));
}

TEST_CASE("SheetPdf, TwentyStopsAndLongWordsLoseNothing")
{
    const testing::SampleWeb web;
    auto plan = testing::sheet_day_of(web, 20);
    auto& site = plan.crews[0].stops[7].call.sheet.site;
    site.label = "Дом у реки, северный фронтон";
    for (int k = 0; k < 40; ++k) {
        site.address += " flat behind the second yard of the upper mill lane,";
        plan.crews[0].stops[8].access.cautions.push_back(
            fmt::format("a caution of its own, number {}, that takes up some room", k));
    }
    plan.crews[0].stops[9].call.sheet.nest.entrance = std::string(400, 'x');
    DaySheetOptions options;
    options.with_addresses = true;
    const ReadBack read{
        sheet_pdf(day_sheet(plan, options), plan, testing::sheet_roads(web), Paper::Letter)};
    CHECK(read.pages >= 22);
    std::string all;
    for (int page = 1; page <= read.pages; ++page) {
        all += read.page(page);
        CHECK_THAT(read.page(page), Contains("calls nothing safe"));
    }
    CHECK_THAT(all, Contains("Дом у реки") && Contains("A20") && Contains("continued"));
    CHECK_THAT(all, Contains("number 0,") && Contains("number 39,"));
}

TEST_CASE("SheetPdf, ANestWithoutAHeightHasAWarningInsteadOfADrawing")
{
    const testing::SampleWeb web;
    const ReadBack read{pdf_of(testing::sheet_day(web))};
    CHECK_THAT(read.page(6), Contains("the height of the nest is not in the book"));
    CHECK_THAT(read.page(5), !Contains("not in the book"));
}

TEST_CASE("SheetPdf, PapersByName")
{
    CHECK(paper("a4") == Paper::A4);
    CHECK(paper("letter") == Paper::Letter);
    CHECK_FALSE(paper("legal"));
}

TEST_CASE("SheetPdf, TheRoadsWindowHoldsEveryMapOfTheSheet")
{
    const testing::SampleWeb web;
    const auto plan = testing::sheet_day(web);
    const auto all = sheet_map_window(plan);
    for (const auto& crew : plan.crews) {
        for (const auto& stop : crew.stops) {
            const auto place = stop.call.sheet.site.place;
            CHECK(all.west < place.lon.value());
            CHECK(place.lon.value() < all.east);
            CHECK(all.south < place.lat.value());
            CHECK(place.lat.value() < all.north);
        }
    }
}
