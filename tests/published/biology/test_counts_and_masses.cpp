// Published regressions, ratios, masses and doses. Tolerances are those of the sources' own digits.
#include "geocore/nature/conversions.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

double number(const char* subject, const char* parameter)
{
    const auto* row = standard_taxa().figure(subject, parameter);
    REQUIRE(row != nullptr);
    return row->middle();
}

}  // namespace

// Malham and others 1991: workers = 32.243 x traffic.
TEST_CASE("Published, WorkersFromEntranceTraffic")
{
    const auto& table = standard_taxa();
    CHECK(workers_from_traffic(table, "VGER", 31) == Approx(999.5).margin(0.1));
    CHECK(workers_from_traffic(table, "VGER", 10) == Approx(322.4).margin(0.1));
    CHECK(workers_from_traffic(table, "VVUL", 50) == Approx(1612.2).margin(0.1));
    // 93 a minute is the peak of nearly 3000 in MacDonald and Matthews 1981.
    CHECK(workers_from_traffic(table, "VMAC", 93) == Approx(2998.6).margin(0.1));
    CHECK(workers_from_traffic(table, "VPEN", 300) == Approx(9672.9).margin(0.1));
}

// Kasper and others 2008: the onset of rain cuts traffic by about 30 %.
TEST_CASE("Published, TrafficInRain")
{
    CHECK(dry_traffic(standard_taxa(), "VGER", 21) == Approx(30).margin(0.01));
}

// Ratnieks and others 1996: 65970 cells on 1.30 square metres, Riverside.
TEST_CASE("Published, CellsOnAComb")
{
    CHECK(cells_on(standard_taxa(), "VPEN", 13000) == Approx(65970).epsilon(0.005));
}

// Landolt and others 2009: 2818 workers on 10581 cells, 6105 on 20715.
TEST_CASE("Published, WorkersOverCellsOfTheSouthernYellowjacket")
{
    CHECK(number("VSQU", "workers.nest_a") / number("VSQU", "cells.nest_a") ==
          Approx(0.2663).margin(0.0005));
    CHECK(number("VSQU", "workers.nest_b") / number("VSQU", "cells.nest_b") ==
          Approx(0.2947).margin(0.0005));
    // The mean ratio finds both colonies within 6 %.
    const double ratio = number("VSQU", "workers.per_cell");
    CHECK(number("VSQU", "cells.nest_a") * ratio ==
          Approx(number("VSQU", "workers.nest_a")).epsilon(0.06));
    CHECK(number("VSQU", "cells.nest_b") * ratio ==
          Approx(number("VSQU", "workers.nest_b")).epsilon(0.06));
}

// MacDonald and Matthews 1981: about 8000 cells, 5283 of them small.
TEST_CASE("Published, CellsOfTheEasternYellowjacket")
{
    CHECK(number("VMAC", "cells.small") + number("VMAC", "cells.large") ==
          Approx(number("VMAC", "cells.total")).epsilon(0.05));
}

// Leathwick 1997 (indoors, New Zealand): 7, 10.5 and 14.8 days.
TEST_CASE("Published, BroodStagesOfVespula")
{
    for (const char* code : {"VGER", "VVUL"}) {
        const auto stages = brood_stages(standard_taxa(), code);
        CHECK(stages.days() == Approx(32.3).margin(0.001));
        CHECK(stages.egg_share() == Approx(0.2167).margin(0.0005));
        CHECK(stages.larva_share() == Approx(0.3251).margin(0.0005));
        CHECK(stages.pupa_share() == Approx(0.4582).margin(0.0005));
    }
    // 27.4 days in a controlled chamber (the comparative study of four yellowjackets) to 33.
    const auto* whole = standard_taxa().figure("VGER", "brood.egg_to_adult");
    CHECK(whole->lowest() >= 27);
    CHECK(whole->highest() <= 33);
}

// Rabb 1960: 11, 20 and 14 days.
TEST_CASE("Published, BroodStagesOfPolistes")
{
    const auto stages = brood_stages(standard_taxa(), "PFUS");
    CHECK(stages.days() == Approx(45));
    CHECK(stages.egg_share() == Approx(0.2444).margin(0.0005));
    CHECK(stages.larva_share() == Approx(0.4444).margin(0.0005));
    CHECK(stages.pupa_share() == Approx(0.3111).margin(0.0005));
}

// Arithmetic on the same: sealed cells of even ages over 14.8 days.
TEST_CASE("Published, EmergenceFromSealedCells")
{
    const auto stages = brood_stages(standard_taxa(), "VGER");
    CHECK(emergence_per_day(stages, 1480) == Approx(100).margin(1));
    CHECK(emergence_per_day(stages, 17600) == Approx(1189).margin(1));
}

// Kovac and Stabentheiner 2012: 74.1, 84.1 and 477.5 mg.
TEST_CASE("Published, MassOfAThousandWorkers")
{
    const auto& table = standard_taxa();
    CHECK(live_mass(table, "VGER", 1000).value() == Approx(74.1).margin(0.1));
    CHECK(live_mass(table, "VVUL", 1000).value() == Approx(84.1).margin(0.1));
    CHECK(live_mass(table, "VCRA", 1000).value() == Approx(477.5).margin(0.1));
}

TEST_CASE("Published, WorkersInAHundredGrams")
{
    const auto& table = standard_taxa();
    CHECK(workers_in(table, "VGER", Grams{100}) == Approx(1350).margin(1));
    CHECK(workers_in(table, "VVUL", Grams{100}) == Approx(1189).margin(1));
    CHECK(workers_in(table, "VCRA", Grams{100}) == Approx(209).margin(1));
}

// The same paper's spread of single workers: 13, 23 and 13 % of the mean.
TEST_CASE("Published, SpreadOfSingleWorkers")
{
    const auto relative = [](const char* code) {
        const auto* row = standard_taxa().figure(code, "mass.worker");
        return (row->highest() - row->middle()) / row->middle();
    };
    CHECK(relative("VGER") == Approx(0.13).margin(0.005));
    CHECK(relative("VVUL") == Approx(0.23).margin(0.005));
    CHECK(relative("VCRA") == Approx(0.13).margin(0.005));
}

// Hoffman and Jacobson 1984, and the label's 100 micrograms a dose: 17 to 31 doses.
TEST_CASE("Published, DosesOfAThousandStings")
{
    const auto& table = standard_taxa();
    const auto venom = venom_floor(table, "VMAC", 1000);
    CHECK(venom.low.value() == Approx(1700).epsilon(0.01));
    CHECK(venom.high.value() == Approx(3100).epsilon(0.01));
    CHECK(doses_in(table, venom.low) == Approx(17).epsilon(0.01));
    CHECK(doses_in(table, venom.high) == Approx(31).epsilon(0.01));
}

TEST_CASE("Published, StingsInAHundredMicrograms")
{
    const auto& table = standard_taxa();
    const auto check = [&](const char* code, double fewest, double most) {
        const auto one = venom_floor(table, code, 1);
        CAPTURE(code);
        CHECK(100 / one.high.value() == Approx(fewest).margin(0.1));
        CHECK(100 / one.low.value() == Approx(most).margin(0.1));
    };
    check("VMAC", 32.3, 58.8);
    check("DMAC", 20.0, 41.7);
    check("PFUS", 5.9, 23.8);
}

// Gibo and others 1974: nest temperatures; Kaefer and others 2012: critical maxima.
TEST_CASE("Published, TemperaturesOfNestsAndLimits")
{
    CHECK(number("DARE", "nest.temperature") == 31);
    CHECK(number("DMAC", "nest.temperature") == 29);
    CHECK(number("VVUL", "heat.limit_activity") == 44.9);
    CHECK(number("VVUL", "heat.limit_breathing") == 45.3);
}

// Archer 2006: mature Dolichovespula colonies have about 1000 cells and fewer than 2000 adults.
TEST_CASE("Published, SizeOfDolichovespulaColonies")
{
    CHECK(number("Dolichovespula", "cells.total") == 1000);
    // Workers alive at once cannot pass all adults of the season.
    CHECK(standard_taxa().figure("DMAC", "workers.peak")->highest() <
          number("Dolichovespula", "adults.total"));
}

// Blank and others 2020, table 1.
TEST_CASE("Published, AntigenNames")
{
    const auto antigen = [](const char* code) {
        return standard_taxa().figure(code, "antigen")->words;
    };
    CHECK(antigen("DMAC") == "Dol m 5");
    CHECK(antigen("DARE") == "Dol a 5");
    CHECK(antigen("VVID") == "Ves vi 5");
    CHECK(antigen("VCRA") == "Vesp c 5");
    CHECK(antigen("PDOM") == "Pol d 5");
    CHECK(antigen("VCON") == "none listed");
}
