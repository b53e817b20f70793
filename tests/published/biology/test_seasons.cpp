// Published dates and numbers of colonies against the first season model. Sources are named beside
// each check; the tables' own keys (S1, S7, ...) are listed in geocore/nature/taxa/sources.csv.
#include "geocore/nature/season.hpp"
#include "planner/yield/outlook.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

Season season_of_taxon(const char* code, double latitude)
{
    const Candidate one{standard_taxa().find(code), 1};
    return Season::make(standard_taxa(), std::span{&one, 1}, Latitude{latitude});
}

double day(int month, int of_month)
{
    return season_day(Day{std::chrono::year{2025} / month / of_month}, Latitude{40}, 2025);
}

}  // namespace

// MacDonald and Matthews 1981: fast growth in July and August in the south-eastern US.
TEST_CASE("Published, EasternYellowjacketGrowsFastInAugust")
{
    const auto season = season_of_taxon("VMAC", 34);
    const auto august = season.on(day(8, 1));
    CHECK(august.likeliest() == Stage::BuildUp);
    const double july = season.on(day(8, 31)).workers.middle - season.on(day(7, 1)).workers.middle;
    const double rest = season.on(day(7, 1)).workers.middle;
    CHECK(july > 5 * rest);  // nearly all of the growth falls into these two months
}

// The same: peak workers in September, queen cells being built.
TEST_CASE("Published, EasternYellowjacketPeaksInSeptember")
{
    const auto season = season_of_taxon("VMAC", 34);
    const auto state = season.on(day(9, 20));
    CHECK(state.likeliest() == Stage::Reproductives);
    const auto dates = season.dates();
    CHECK(dates.peak.middle >= day(9, 1));
    CHECK(dates.peak.middle <= day(9, 30));
    // Nearly 3000 at the peak lies within the forecast's 10 to 90 %, with a tenth to spare.
    CHECK(state.workers.low < 3000);
    CHECK(state.workers.high > 2700);
}

// The same: queens emerge from late September to the death of the colony in December.
TEST_CASE("Published, EasternYellowjacketRaisesQueensIntoNovember")
{
    const auto season = season_of_taxon("VMAC", 34);
    CHECK(season.on(day(11, 15)).sexuals_out > 0.95);
    CHECK(season.on(day(9, 10)).sexuals_out < 0.1);
    const auto dates = season.dates();
    CHECK(dates.sexuals.middle >= day(9, 20));
    CHECK(dates.sexuals.middle <= day(10, 5));
    CHECK(dates.end.middle >= day(12, 1));
    CHECK(dates.end.middle <= day(12, 31));
}

// The same: large cells from 18 August at the earliest; colonies start by early May.
TEST_CASE("Published, EasternYellowjacketBuildsNoQueenCellsBefore18August")
{
    const auto season = season_of_taxon("VMAC", 34.5);
    for (const auto& course : season.courses()) {
        CHECK(course.large_cells >= day(8, 18));
    }
    CHECK(season.dates().founding.middle <= day(5, 8));
}

// Robinson 2005 (read in a copy): decline June to July in southern California.
TEST_CASE("Published, AerialYellowjacketDeclinesInJulyInSouthernCalifornia")
{
    const auto state = season_of_taxon("DARE", 33.5).on(day(7, 1));
    CHECK(state.likeliest() == Stage::Decline);
}

// The same: sexuals in early July in the mid-Atlantic States.
TEST_CASE("Published, AerialYellowjacketRaisesSexualsInJulyInTheMidAtlantic")
{
    const auto season = season_of_taxon("DARE", 39);
    CHECK(season.on(day(7, 1)).likeliest() == Stage::Reproductives);
    CHECK(season.dates().sexuals.middle >= day(6, 28));
    CHECK(season.dates().sexuals.middle <= day(7, 15));
}

// Gibo and others 1974, southern Ontario: early August D. arenaria, late August D. maculata.
TEST_CASE("Published, DolichovespulaPeaksInAugustInOntario")
{
    const auto arenaria = season_of_taxon("DARE", 43.7).dates().peak;
    CHECK(arenaria.middle >= day(7, 28));
    CHECK(arenaria.middle <= day(8, 15));
    const auto maculata = season_of_taxon("DMAC", 43.7).dates().peak;
    CHECK(maculata.middle >= day(8, 15));
    CHECK(maculata.middle <= day(8, 31));
}

// Archer 2006: colonies of Dolichovespula last just over 3 to about 4 months; a fifth is allowed
// because founding is counted here from the first paper.
TEST_CASE("Published, DolichovespulaLivesAboutFourMonths")
{
    const auto dates = season_of_taxon("DMAC", 43).dates();
    const double months = (dates.end.middle - dates.founding.middle) / 30.4;
    CHECK(months > 3);
    CHECK(months < 4 * 1.2);
}

// Essay of the University of Maryland, 2013: switch late August to early September.
TEST_CASE("Published, EuropeanHornetSwitchesInLateAugustInMaryland")
{
    const auto dates = season_of_taxon("VCRA", 39).dates();
    CHECK(dates.large_cells.middle >= day(8, 20));
    CHECK(dates.large_cells.middle <= day(9, 10));
}

// Rabb 1960: founding in April, most from late April to early May, North Carolina; 45 days of
// brood put the first workers into June.
TEST_CASE("Published, PaperWaspsFoundInAprilInNorthCarolina")
{
    const auto dates = season_of_taxon("PFUS", 35.5).dates();
    CHECK(dates.founding.low >= day(3, 25));
    CHECK(dates.founding.middle >= day(4, 20));
    CHECK(dates.founding.middle <= day(5, 8));
    CHECK(dates.first_workers.middle >= day(6, 1));
    CHECK(dates.first_workers.middle <= day(6, 25));
}

// Manawatu (40 S): peak of V. germanica in mid to late April, which is October of a northern year.
TEST_CASE("Published, AprilInNewZealandIsOctoberInTheNorth")
{
    const auto* row = standard_taxa().figure("VGER", "calendar.peak_new_zealand");
    REQUIRE(row != nullptr);
    const Day south = calendar_day(*row->typical, Latitude{-40}, 2025);
    CHECK(static_cast<unsigned>(std::chrono::year_month_day{south}.month()) == 4);
    const Day north = calendar_day(*row->typical, Latitude{40}, 2025);
    CHECK(static_cast<unsigned>(std::chrono::year_month_day{north}.month()) == 10);
    // and the model's peak holds that date within its 10 to 90 %.
    const auto peak = season_of_taxon("VGER", -40).dates().peak;
    CHECK(peak.low < *row->typical);
    CHECK(peak.high > *row->typical);
}

// Sandlant and Moller 1989, South Island (42 S): most V. vulgaris colonies die in June (northern
// December), none lives past early July (northern early January; a fortnight is allowed).
TEST_CASE("Published, CommonWaspsDieByMidwinterInNewZealand")
{
    const auto dates = season_of_taxon("VVUL", -42).dates();
    CHECK(dates.end.middle >= day(11, 25));
    CHECK(dates.end.middle <= day(12, 31));
    CHECK(dates.end.high <= day(12, 31) + 19);
    CHECK(dates.peak.middle >= day(9, 1));
    CHECK(dates.peak.middle <= day(10, 31));
}

// Ridge, Connecticut leaflet: first workers about 30 days after the first eggs, 5 to 7 together.
TEST_CASE("Published, FiveToSevenFirstWorkersAfterThirtyDays")
{
    const auto season = season_of_taxon("VMAC", 41);
    const auto dates = season.dates();
    CHECK(dates.first_workers.middle - dates.founding.middle == Approx(30).margin(4));
    std::vector<double> first;
    for (const auto& course : season.courses()) {
        first.push_back(course.colony.first_workers);
    }
    const auto spread = season.spread(make_sample(std::move(first)));
    CHECK(spread.low >= 4.5);
    CHECK(spread.high <= 7.5);
}

// Peak workers of the sources against what the forecast calls likely on the day of the peak.
TEST_CASE("Published, PeakWorkersLieInTheForecast")
{
    struct Case {
        const char* code;
        double latitude;
        double workers;
        const char* source;
    };
    for (const auto& one : {
             Case{"VMAC", 40, 1000, "Ohio, 1000-3000 (S17)"},
             Case{"VMAC", 40, 2900, "Ohio, 1000-3000 (S17)"},
             Case{"VSQU", 33, 2818, "Landolt and others 2009, colony of 9 combs"},
             Case{"VPEN", 46, 1800, "mean of Pullman and La Grande (S5)"},
             Case{"DMAC", 43, 400, "400-700 occupants (S23b)"},
             Case{"DARE", 43, 321, "largest of 7 D. norvegicoides, Akre and Myhre 1994"},
             Case{"VCON", 45, 400, "largest V. acadica 425 (S20), stand-in"},
             Case{"VCRA", 40, 300, "300-800 wasps (S25)"},
         }) {
        CAPTURE(one.code, one.workers, one.source);
        const auto season = season_of_taxon(one.code, one.latitude);
        std::vector<double> peaks;
        for (const auto& course : season.courses()) {
            peaks.push_back(course.peak_workers);
        }
        const auto spread = season.spread(make_sample(std::move(peaks)));
        CHECK(spread.low <= one.workers);
        CHECK(spread.high >= one.workers);
    }
}

// Common practice, no published source: at about 41 degrees north in the first days of August a
// large D. maculata nest has its lowest comb full of queens and males to be, and many workers.
TEST_CASE("Practice, BaldFacedHornetsRaiseQueensInEarlyAugust")
{
    const auto season = season_of_taxon("DMAC", 41);
    const auto state = season.on(day(8, 3));
    CHECK(state.likeliest() == Stage::Reproductives);
    CHECK(state.chance(Stage::Reproductives) > 0.85);
    CHECK(state.workers.middle > 0.5 * standard_taxa().figure("DMAC", "workers.peak")->middle());
}
