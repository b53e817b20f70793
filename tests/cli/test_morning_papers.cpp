// morning --sheet, --calendar and --texts as a stranger types them.
#include <filesystem>

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using namespace nestround::test;
using Catch::Contains;

namespace {

/// A town, a crew with a pole, two calls of which one names a client.
struct Day {
    Day()
    {
        const auto osm = folder.write("town.osm", small_town_osm());
        REQUIRE(run_program({"roads", "build", osm, "--to", roads}).code == 0);
        REQUIRE(run_program({"book", "create", book}).code == 0);
        const auto settings =
            folder.write("settings.toml",
                         "[region]\nname = \"Invented Vale\"\ntime_zone = \"America/New_York\"\n");
        REQUIRE(run_program({"settings", "import", book, settings}).code == 0);
        const auto crews = folder.write(
            "crews.csv", "crew,lon,lat,shift,people\nHeron,-77.0,41.2,07:00-16:00,2\n");
        const auto gear =
            folder.write("gear.csv", "crew,kind,label,length_m\nHeron,pole,long pole,8.5\n");
        const auto crew = run_program({"crew", "import", book, crews, "--gear", gear});
        CAPTURE(crew.out, crew.err);
        REQUIRE(crew.code == 0);
        add({"--label", "mill <gable>", "--height", "4m", "--client-name", "Ann Other",
             "--client-phone", "555 0199", "--address", "12 Hidden Row"},
            "41.22,-76.98");
        add({"--label", "yard, wall"}, "41.23,-76.97");
    }
    void add(std::vector<std::string> words, const std::string& at)
    {
        words.insert(words.begin(), {"call", "add", book, "--at", at, "--kind", "aerial",
                                     "--species", "DMAC", "--received", "2026-08-01"});
        const auto added = run_program(words);
        CAPTURE(added.err);
        REQUIRE(added.code == 0);
    }
    [[nodiscard]] Outcome morning(std::vector<std::string> words,
                                  const std::string& limits = {}) const
    {
        words.insert(words.begin(), {"morning", book, "--on", "2026-08-04", "--roads", roads,
                                     "--without-weather", "--iterations", "200"});
        return run_program(words, limits);
    }
    Folder folder;
    std::string roads = folder / "town.roads";
    std::string book = folder / "a.gpkg";
};

}  // namespace

TEST_CASE("MorningPapers, AllFourAreWrittenAndNameNobody")
{
    const Day day;
    const auto pdf = day.folder / "s.pdf";
    const auto ics = day.folder / "s.ics";
    const auto texts = day.folder / "s.txt";
    const auto html = day.folder / "s.html";
    const auto made = day.morning({"--sheet", pdf, "--calendar", ics, "--texts", texts});
    CAPTURE(made.out, made.err);
    REQUIRE(made.code == 0);
    REQUIRE(day.morning({"--sheet", html}).code == 0);
    const auto read = testing::run_shell("pdftotext " + pdf + " -");
    CHECK_THAT(read.words, Contains("mill <gable>") && Contains("Invented Vale"));
    CHECK_THAT(bytes_of(html), Contains("mill &lt;gable&gt;") && !Contains("mill <gable>"));
    CHECK_THAT(bytes_of(ics), Contains("DTSTART:20260804T1") && Contains("yard\\, wall"));
    CHECK_THAT(bytes_of(texts), Contains("mill <gable>") && Contains("How high is the nest"));
    for (const auto& text :
         {made.out, read.words, bytes_of(html), bytes_of(ics), bytes_of(texts)}) {
        CHECK_THAT(text,
                   !Contains("Ann Other") && !Contains("555 0199") && !Contains("Hidden Row"));
    }
}

TEST_CASE("MorningPapers, NamesAndAddressesWhenAskedForByName")
{
    const Day day;
    const auto pdf = day.folder / "s.pdf";
    const auto ics = day.folder / "s.ics";
    const auto texts = day.folder / "s.txt";
    REQUIRE(day.morning({"--sheet", pdf, "--calendar", ics, "--texts", texts, "--with-clients",
                         "--with-addresses"})
                .code == 0);
    const auto read = testing::run_shell("pdftotext -layout " + pdf + " -").words;
    CHECK_THAT(read, Contains("Ann Other, 555 0199") && Contains("12 Hidden Row"));
    auto unfolded = bytes_of(ics);
    for (auto at = unfolded.find("\r\n "); at != std::string::npos; at = unfolded.find("\r\n ")) {
        unfolded.erase(at, 3);
    }
    CHECK_THAT(unfolded, Contains("Ann Other 555 0199") && Contains("LOCATION:12 Hidden Row"));
    CHECK_THAT(bytes_of(texts), Contains("Hello Ann Other,"));
}

TEST_CASE("MorningPapers, PaperSizesAndTheSameTwice")
{
    const Day day;
    const auto one = day.folder / "a.pdf";
    const auto two = day.folder / "b.pdf";
    REQUIRE(day.morning({"--sheet", one, "--paper", "letter"}).code == 0);
    REQUIRE(day.morning({"--sheet", two, "--paper", "letter"}).code == 0);
    CHECK(bytes_of(one) == bytes_of(two));
    CHECK_THAT(testing::run_shell("pdfinfo " + one).words, Contains("letter"));
}

TEST_CASE("MorningPapers, WrongWordsAreRefusedBeforeAnyWork")
{
    const Day day;
    const auto is_usage = [&](const std::vector<std::string>& words, const std::string& says) {
        const auto outcome = day.morning(words);
        CAPTURE(outcome.err);
        CHECK(outcome.code == static_cast<int>(ErrorCode::BadUsage));
        CHECK_THAT(outcome.err, Contains(says));
        CHECK(outcome.out.empty());
    };
    is_usage({"--sheet", day.folder / "s.doc"}, "--sheet wants a name ending in .pdf or .html");
    is_usage({"--calendar", day.folder / "s.cal"}, ".ics");
    is_usage({"--sheet", day.folder / "s.pdf", "--paper", "a5"}, "a4 or letter, not 'a5'");
    is_usage({"--with-clients"}, "--sheet, --calendar or --texts");
    CHECK(day.morning({"--texts", day.folder / "s.txt", "--window", "5"}).code == 2);
}

TEST_CASE("MorningPapers, AFailedWriteLeavesNoHalfFile")
{
    const Day day;
    const auto pdf = day.folder.write("s.pdf", "as it was");
    // Files of at most 46 kB, enough for the book: the sheet is larger.
    const auto full = day.morning({"--sheet", pdf}, "trap '' XFSZ; ulimit -f 90;");
    CAPTURE(full.err);
    CHECK(full.code == static_cast<int>(ErrorCode::OutputFailed));
    CHECK(bytes_of(pdf) == "as it was");
    for (const auto& entry :
         std::filesystem::directory_iterator{std::filesystem::path{pdf}.parent_path()}) {
        CHECK(entry.path().string().find(".part-") == std::string::npos);
    }
    const auto nowhere = day.morning({"--calendar", day.folder / "none/s.ics"});
    CHECK(nowhere.code == static_cast<int>(ErrorCode::OutputFailed));
    CHECK_THAT(nowhere.err, Contains("create the folder first"));
}
