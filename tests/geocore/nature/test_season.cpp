#include "geocore/nature/season.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <string>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

Season season_of_taxon(const std::string& code, double latitude)
{
    const Candidate one{standard_taxa().find(code), 1};
    REQUIRE(one.taxon != nullptr);
    return Season::make(standard_taxa(), std::span{&one, 1}, Latitude{latitude});
}

const LonLat kOhio{Longitude{-82.5}, Latitude{40.5}};
const LonLat kRhine{Longitude{9.5}, Latitude{47.1}};

}  // namespace

TEST_CASE("Season, SpreadsAreOrderedAndStagesAddUp")
{
    for (const auto& taxon : standard_taxa().taxa()) {
        for (const double latitude : {-45.0, 30.0, 34.0, 41.0, 47.0, 60.0}) {
            const auto season = season_of_taxon(taxon.code, latitude);
            for (double day = -20; day < 420; day += 9) {
                CAPTURE(taxon.code, latitude, day);
                const auto state = season.on(day);
                CHECK(state.workers.low >= 0);
                CHECK(state.workers.low <= state.workers.middle);
                CHECK(state.workers.middle <= state.workers.high);
                CHECK(std::accumulate(state.stage.begin(), state.stage.end(), 0.0) ==
                      Approx(1).margin(1e-12));
            }
        }
    }
}

TEST_CASE("Season, DatesComeInTheOrderOfLife")
{
    for (const auto& taxon : standard_taxa().taxa()) {
        for (const double latitude : {28.0, 41.0, 55.0}) {
            const auto season = season_of_taxon(taxon.code, latitude);
            for (const auto& course : season.courses()) {
                CAPTURE(taxon.code, latitude);
                CHECK(course.founding < course.first_workers);
                CHECK(course.first_workers < course.large_cells);
                CHECK(course.large_cells < course.sexuals);
                CHECK(course.large_cells <= course.peak);
                CHECK(course.peak < course.decline);
                CHECK(course.decline < course.end);
            }
        }
    }
}

TEST_CASE("Season, TimeNeverShrinksAColonyBeforeItsSwitch")
{
    for (const auto& taxon : standard_taxa().taxa()) {
        const auto season = season_of_taxon(taxon.code, 41);
        const auto courses = season.courses();
        std::vector<double> before(courses.size());
        std::vector<double> now(courses.size());
        for (double day = 60; day <= 300; day += 3) {
            season.values(Part::Workers, day, now);
            for (std::size_t i = 0; i < courses.size(); ++i) {
                if (day < courses[i].large_cells) {
                    CAPTURE(taxon.code, day, i);
                    CHECK(now[i] >= before[i] * (1 - 1e-6));
                }
            }
            before = now;
        }
    }
}

// Late colonies stay smaller than the drawn peak, so that the low end lies lower than the row's.
TEST_CASE("Season, PeaksComeOutInTheirBands")
{
    for (const auto& taxon : standard_taxa().taxa()) {
        CAPTURE(taxon.code);
        const auto season = season_of_taxon(taxon.code, 43);
        std::vector<double> peaks;
        for (const auto& course : season.courses()) {
            peaks.push_back(course.peak_workers);
        }
        const auto spread = season.spread(make_sample(std::move(peaks)));
        const auto* row = standard_taxa().figure(taxon.code, "workers.peak");
        CHECK(spread.low == Approx(*row->low).epsilon(0.45));
        CHECK(spread.middle == Approx(*row->typical).epsilon(0.16));
        CHECK(spread.high == Approx(*row->high).epsilon(0.33));
    }
}

TEST_CASE("Season, ANestBeginsWithFirstWorkersAndEndsWithNone")
{
    const auto season = season_of_taxon("VMAC", 40);
    std::vector<double> workers(season.courses().size());
    for (std::size_t i = 0; i < workers.size(); ++i) {
        const auto& course = season.courses()[i];
        const auto at = [&](double day) {
            season.values(Part::Workers, day, workers);
            return workers[i];
        };
        CHECK(at(course.founding) == 0);
        CHECK(at(course.first_workers - 0.01) == 0);
        CHECK(at(course.first_workers) >= 4);
        CHECK(at(course.first_workers) <= 15);
        CHECK(at(course.peak) == Approx(course.peak_workers).epsilon(0.15));
        CHECK(at(course.end - 1) < 0.25 * course.peak_workers);
        CHECK(at(course.end) == 0);
        CHECK(at(std::numeric_limits<double>::quiet_NaN()) == 0);
    }
}

TEST_CASE("Season, SouthMirrorsNorth")
{
    const auto north = season_of_taxon("VVUL", 42);
    const auto south = season_of_taxon("VVUL", -42);
    // 1 July begins the southern season as 1 January begins the northern.
    const Day here = *parse_day("2025-01-01");
    const Day there = *parse_day("2024-07-01");
    for (int day = 0; day < 366; day += 13) {
        const double a = season_day(here + std::chrono::days{day}, Latitude{42}, 2025);
        const double b = season_day(there + std::chrono::days{day}, Latitude{-42}, 2025);
        CHECK(a == b);
        CHECK(north.on(a).workers == south.on(b).workers);
    }
    CHECK(season_of(*parse_day("2024-07-01"), Latitude{-42}) == 2025);
    CHECK(season_of(*parse_day("2024-06-30"), Latitude{-42}) == 2024);
    CHECK(season_of(*parse_day("2024-07-01"), Latitude{42}) == 2024);
    CHECK(calendar_day(1, Latitude{-42}, 2025) == there);
}

TEST_CASE("Season, SpringIsLaterAndAutumnEarlierTowardsThePole")
{
    for (const auto& taxon : standard_taxa().taxa()) {
        CAPTURE(taxon.code);
        const auto south = season_of_taxon(taxon.code, 36).dates();
        const auto north = season_of_taxon(taxon.code, 46).dates();
        CHECK(north.founding.middle > south.founding.middle);
        if (taxon.code != "DARE") {  // whose published southern season ends in summer
            CHECK(north.end.middle < south.end.middle);
        }
        // Far from where the dates were read the doubt is no smaller.
        const auto far = season_of_taxon(taxon.code, 58).dates();
        CHECK(far.founding.high - far.founding.low >= north.founding.high - north.founding.low - 1);
    }
}

TEST_CASE("Season, ADayFirstSeenRulesOutLaterFoundings")
{
    const auto season = season_of_taxon("VMAC", 41);
    const double seen = season.dates().founding.low;  // nine in ten are founded later
    const double day = 200;
    CHECK(season.on(day, seen).workers.middle > season.on(day).workers.middle);
    // Seen in the midst of life it tells nothing, and in the depth of winter it is not heeded.
    CHECK(season.tells_nothing(230));
    CHECK(season.on(day, 230.0).workers == season.on(day).workers);
    CHECK_FALSE(season.fits(20));
    CHECK(season.on(day, 20.0).workers == season.on(day).workers);
}

TEST_CASE("Candidates, AreTheTaxaOfThePlaceAndKind")
{
    const auto& table = standard_taxa();
    const auto sum = [](const std::vector<Candidate>& all) {
        return std::accumulate(all.begin(), all.end(), 0.0,
                               [](double total, const auto& one) { return total + one.chance; });
    };
    const auto has = [](const std::vector<Candidate>& all, std::string_view code) {
        return std::any_of(all.begin(), all.end(),
                           [&](const auto& one) { return one.taxon->code == code; });
    };
    const auto aerial = candidates(table, "", "aerial", kOhio);
    CHECK(sum(aerial) == Approx(1));
    CHECK(has(aerial, "DMAC"));
    CHECK_FALSE(has(aerial, "VPEN"));  // a wasp of the west
    const auto rhine = candidates(table, "", "aerial", kRhine);
    CHECK(sum(rhine) == Approx(1));
    CHECK(has(rhine, "PDOM"));
    CHECK_FALSE(has(rhine, "DMAC"));
    const auto ground = candidates(table, "", "ground", kOhio);
    CHECK_FALSE(has(ground, "PFUS"));
    // A genus is a name too; a name that nobody knows is unknown.
    for (const auto& one : candidates(table, "Vespula", "void", kOhio)) {
        CHECK(one.taxon->genus == "Vespula");
    }
    CHECK(candidates(table, "XXXX", "aerial", kOhio).size() == aerial.size());
    REQUIRE(candidates(table, "DMAC", "ground", kRhine).size() == 1);
    // No table knows the middle of the sea: everything may be meant.
    CHECK(candidates(table, "", "unknown", LonLat{Longitude{-140}, Latitude{0}}).size() ==
          table.taxa().size());
}
