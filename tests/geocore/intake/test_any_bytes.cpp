// Any bytes at all, as any of the text formats: an answer or a Failure of one line, never a crash.
#include <fmt/format.h>

#include "geocore/base/random.hpp"
#include "geocore/intake/calls.hpp"
#include "geocore/intake/crews.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/grid.hpp"
#include "geocore/intake/settings_file.hpp"
#include "geocore/intake/weather.hpp"
#include "tests/geocore/intake/scratch.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::intake;
using nestround::tests::Scratch;

namespace {

/// Random bytes, or a good file with a few bytes changed, cut or doubled.
std::string bytes_of(Random& random, std::string_view good)
{
    std::string out;
    if (random.chance(0.3)) {
        for (auto n = random.below(300); n > 0; --n) {
            out += static_cast<char>(random.below(256));
        }
        return out;
    }
    out = good;
    static constexpr std::string_view kNasty = "\",;\r\n\t\0\xff\xc3|.-9e";
    for (auto n = random.below(8); n > 0 && !out.empty(); --n) {
        const auto at = random.below(out.size());
        switch (random.below(4)) {
            case 0:
                out[at] = static_cast<char>(random.below(256));
                break;
            case 1:
                out.insert(at, 1, kNasty[random.below(kNasty.size())]);
                break;
            case 2:
                out.erase(at, random.below(20));
                break;
            default:
                out.insert(at, out.substr(random.below(out.size()), random.below(40)));
                break;
        }
    }
    return out;
}

constexpr std::string_view kCalls =
    "key,received,lon,lat,species,height_m,allowed_hours,note\n"
    "a,2026-08-04,9.5,47.1,vulg,4.5,08:00-12:00;14:00-18:00,\"x \"\"y\"\"\"\n"
    "b,2026-08-05,9.6,47.2,,,,\n";
constexpr std::string_view kFixed =
    "ZZ000000001202602TMAX  100  S -250  S  120  S-9999   \n"
    "ZZ000000001202602TMIN   10  S -350  S  100  S-9999   \n";
constexpr std::string_view kElement =
    "ZZ000000001,20260501,TMAX,150,,,S,0700\nZZ000000001,20260501,TMIN,-22,,,S,0700\n";
constexpr std::string_view kTable =
    "station,name,lon,lat,height_m,date,tmin_c,tmax_c\nS,T,9,47,450,2026-05-01,4.5,15\n";

/// What `read` promises of any file, checked; gives how many rows it took.
template <class Read>
std::size_t attempt(const Scratch& scratch, const std::string& bytes, Read read)
{
    const auto file = scratch.file("any.csv", bytes);
    try {
        return read(file);
    } catch (const Failure& failure) {
        CAPTURE(failure.error().text());
        CHECK_FALSE(failure.error().message.empty());
        CHECK(failure.error().text().find('\n') == std::string::npos);
        return 0;
    }
}

}  // namespace

TEST_CASE("AnyBytes, NoReaderOfTextCrashesOrTakesNonsense")
{
    const Scratch scratch;
    Random random{20260804};
    std::size_t calls_taken = 0;
    std::size_t days_taken = 0;
    for (int trial = 0; trial < 4000; ++trial) {
        calls_taken += attempt(scratch, bytes_of(random, kCalls), [](const auto& file) {
            const auto batch = read_calls(file, {});
            for (const auto& row : batch.rows) {
                CHECK(is_on_earth(row.sheet.site.place));
                CHECK_FALSE(row.sheet.call.source_key.empty());
                CHECK(is_utf8(row.sheet.call.note));
            }
            for (const auto& row : batch.refused) {
                CHECK(row.row > 0);
                CHECK_FALSE(row.reason.empty());
            }
            return batch.rows.size();
        });
        const std::string_view good = std::array{kFixed, kElement, kTable}[random.below(3)];
        days_taken += attempt(scratch, bytes_of(random, good), [](const auto& file) {
            std::size_t days = 0;
            for (const auto& series : read_weather(file).stations) {
                for (std::size_t i = 0; i < series.days.size(); ++i) {
                    CHECK(series.days[i].minimum <= series.days[i].maximum);
                    CHECK((i == 0 || series.days[i - 1].day < series.days[i].day));
                }
                days += series.days.size();
            }
            return days;
        });
        attempt(scratch, bytes_of(random, "crew,lon,lat,shift\nA,9,47,07:00-16:00\n"),
                [](const auto& file) { return read_crews(file).crews.size(); });
        attempt(scratch, bytes_of(random, "[a]\nb = 1\nc = \"x\"\nd = [1, 2]\n"),
                [](const auto& file) { return read_settings(file).size(); });
    }
    // The trials must not all have failed early.
    CHECK(calls_taken > 1000);
    CHECK(days_taken > 500);
}

TEST_CASE("Grid, WritingAndReadingCellsGivesThemBack")
{
    Random random{7};
    for (int trial = 0; trial < 500; ++trial) {
        std::vector<std::string> cells;
        std::string header;
        std::string line;
        const auto columns = 2 + random.below(5);
        for (std::uint64_t c = 0; c < columns; ++c) {
            std::string cell;
            for (auto n = random.below(12); n > 0; --n) {
                static constexpr std::string_view kLetters = "ab \",;\n\r|9";
                cell += kLetters[random.below(kLetters.size())];
            }
            std::string doubled;
            for (const char letter : cell) {
                doubled += letter == '"' ? std::string{"\"\""} : std::string{letter};
            }
            header += fmt::format("{}c{}", c == 0 ? "" : ",", c);
            line += fmt::format("{}\"{}\"", c == 0 ? "" : ",", doubled);
            cells.push_back(cell);
        }
        const auto grid = parse_text_grid(header + "\n" + line + "\r\n", "x");
        REQUIRE(grid);
        REQUIRE(grid->rows.size() == 1);
        CHECK(grid->rows[0].cells == cells);
    }
}

TEST_CASE("FileText, Utf8IsToldFromEverythingElse")
{
    CHECK(is_utf8("Mühle – 蜂 🐝"));
    for (const std::string_view bad : {"\xc3", "\xc0\xaf", "\xe0\x80\x80", "\xed\xa0\x80",
                                       "\xf4\x90\x80\x80", "\xff", "a\x80"}) {
        CHECK_FALSE(is_utf8(bad));
        CHECK(is_utf8(utf8_from_windows_1252(bad)));
    }
    CHECK(utf8_from_windows_1252("\x80 5, \xe9t\xe9") == "€ 5, été");
}
