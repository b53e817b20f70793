// Figures of single wasps, combs, venom and densities against the sources' own numbers. Tolerances
// are those of the printed digits unless a line says otherwise.
#include <cmath>

#include "geocore/book/book.hpp"
#include "geocore/nature/conversions.hpp"
#include "planner/app/clockwork.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

const TaxaTable& table() { return standard_taxa(); }

const Figure& row(const char* subject, const char* parameter)
{
    const auto* found = table().figure(subject, parameter);
    CAPTURE(subject, parameter);
    REQUIRE(found != nullptr);
    return *found;
}

double number(const char* subject, const char* parameter)
{
    return row(subject, parameter).middle();
}

}  // namespace

// Ratnieks and others 1996, Riverside, 2 November 1994: 55704 small and 10266 large cells, 17600 of
// them capped, 7300 workers.
TEST_CASE("Published, SharesOfTheRiversideNest")
{
    const double cells = number("VPEN", "cells.riverside");
    CHECK(number("VPEN", "cells.riverside_small") + number("VPEN", "cells.riverside_large") ==
          cells);
    CHECK(number("VPEN", "cells.riverside_large") / cells == Approx(0.1556).margin(0.0005));
    CHECK(number("VPEN", "cells.riverside_capped") / cells == Approx(0.2668).margin(0.0005));
    CHECK(number("VPEN", "workers.riverside") / cells == Approx(0.1107).margin(0.0005));
    CHECK(cells / (number("VPEN", "comb.riverside_area") * 10000) ==
          Approx(number("Vespula", "cells.per_cm2")).epsilon(0.005));
}

// Geometry of regular hexagons: 2/sqrt(3) over the width across flats squared.
TEST_CASE("Published, CellWidthFromCellsOnAnArea")
{
    const double per_cm2 = number("all", "cells.per_cm2_of_width");
    CHECK(per_cm2 == Approx(200 / std::sqrt(3)).epsilon(0.0001));
    CHECK(per_cm2 / (4.8 * 4.8) == Approx(5.01).margin(0.005));
    CHECK(per_cm2 / (9.0 * 9.0) == Approx(1.43).margin(0.005));
    // The width that 5.07 cells a square centimetre imply; small and large cells mixed.
    CHECK(std::sqrt(per_cm2 / number("Vespula", "cells.per_cm2")) ==
          Approx(number("VPEN", "cell.width_implied")).margin(0.005));
    // Remembered widths of small cells must lie just below it.
    CHECK(row("Vespula", "cell.width").lowest() < 4.77);
}

// Landolt and others 2009: the mean ratio estimates 2963 and 5800 workers.
TEST_CASE("Published, WorkersOfTheSouthernYellowjacketFromItsCells")
{
    CHECK(number("VSQU", "cells.nest_a") * 0.28 == Approx(2963).margin(1));
    CHECK(number("VSQU", "cells.nest_b") * 0.28 == Approx(5800).margin(1));
    CHECK(number("VSQU", "workers.per_cell") == Approx(0.28).margin(0.0005));
    CHECK(number("VSQU", "combs.nest_a") == 9);
    CHECK(number("VSQU", "combs.nest_b") == 11);
    CHECK(number("VSQU", "queens.nest_b") == 313);
}

// Akre and Myhre 1994: seven mature nests of D. norvegicoides, Cowlitz County, Washington.
TEST_CASE("Published, SizesOfDolichovespulaNorvegicoides")
{
    CHECK(row("DNOR", "combs").lowest() == 3);
    CHECK(row("DNOR", "combs").highest() == 5);
    CHECK(row("DNOR", "cells.total").lowest() == 701);
    CHECK(row("DNOR", "cells.total").highest() == 1641);
    CHECK(row("DNOR", "workers.peak").lowest() == 137);
    CHECK(row("DNOR", "workers.peak").highest() == 321);
    // Ends paired by rank: about one worker on five cells.
    CHECK(137.0 / 701 == Approx(row("DNOR", "workers.per_cell").lowest()).margin(0.001));
    CHECK(321.0 / 1641 == Approx(row("DNOR", "workers.per_cell").highest()).margin(0.001));
    // Archer 2006: about 1000 cells, within half either way.
    CHECK(number("Dolichovespula", "cells.total") == Approx(1171).epsilon(0.5));
}

// Akre and Myhre 1994 (California): 17300 adults of 5633 cells, 3956 of 2250.
TEST_CASE("Published, AdultsOfEachCellOfVespulaSulphurea")
{
    CHECK(number("VSUL", "adults.nest_a") / number("VSUL", "cells.nest_a") ==
          Approx(3.07).margin(0.01));
    CHECK(number("VSUL", "adults.nest_b") / number("VSUL", "cells.nest_b") ==
          Approx(1.76).margin(0.01));
    // Robinson 2005 (read in a copy): a cell is used two or three times; 3.07 lies just above.
    CHECK(row("Vespula", "cells.use").highest() == Approx(3.07).margin(0.1));
}

// Saga and others 2019: the method; the numbers are ours.
TEST_CASE("Published, AdultsFromMeconia")
{
    CHECK(adults_made(1250, 230) == Approx(2875).margin(1));
    CHECK(adults_made(0, 230) == 0);
}

// Leathwick 1997: pupae 14.8 days; 4.4 % of brood lost indoors, 1.6 % in the field.
TEST_CASE("Published, EmergenceOverTheFirstDays")
{
    const auto stages = brood_stages(table(), "VVUL");
    CHECK(emerged_by(stages, 1480, 3) == Approx(300).margin(1));
    CHECK(emerged_by(stages, 1480, 14.8) == Approx(1480).margin(1));
    CHECK(emerged_by(stages, 1480, 30) == Approx(1480).margin(1));
    CHECK(emerged_by(stages, 1480, 0) == 0);
    const auto all = adults_without_nurses(table(), "VVUL", {0, 0, 1480});
    CHECK(all.low == Approx(1414.9).margin(0.5));
    CHECK(all.high == Approx(1480 * 0.984).margin(0.5));
}

// Museum Victoria: larvae are fed by workers; so a comb without nurses gives its sealed cells only.
TEST_CASE("Published, EggsAndOpenLarvaeGiveNothingWithoutNurses")
{
    const auto all = adults_without_nurses(table(), "VGER", {500, 400, 300});
    const auto sealed = adults_without_nurses(table(), "VGER", {0, 0, 300});
    CHECK(all.high == sealed.high);
    CHECK(all.high <= 300);
    CHECK(adults_without_nurses(table(), "VGER", {500, 400, 0}).high == 0);
}

// Yunnan 2017 against Dong and Wang 1989: a straight line through pupal days and the air outside
// gives a threshold far below zero, because adults warm the brood. The model's threshold is no
// such.
TEST_CASE("Published, BroodDaysAreNotFittedToTheAirOutside")
{
    const double warm = number("VVEL", "brood.pupa");       // 11.1 d, air taken as 25 C
    const double cold = number("VVEL", "brood.pupa_cold");  // 17.5 d at 14.5 C
    // 1/days = k (T - T0) through both points, solved for T0.
    const double threshold = (14.5 * cold - 25 * warm) / (cold - warm);
    CHECK(threshold < 0);
    CHECK(number("all", "brood.threshold") >= 10);
    CHECK(number("VVEL", "brood.egg") + number("VVEL", "brood.larva") + warm ==
          Approx(26.2).margin(0.05));
}

// Label text of US venom products: 300 micrograms of mixed vespid are 100 of each of three.
TEST_CASE("Published, MixedVespidIsThreeVenoms")
{
    CHECK(each_of_mixed_vespid(table(), Micrograms{300}).value() == 100);
    CHECK(number("all", "product.strength_mixed") / number("all", "product.mixed_venoms") ==
          number("all", "product.strength_single"));
    CHECK(row("DMAC", "product").words.find("white-faced hornet") == 0);
    CHECK(row("DARE", "product").words.find("yellow hornet") == 0);
    CHECK(row("VMAC", "product").subject == "Vespula");
}

// Hoffman and Jacobson 1984 against a chapter that speaks of 100-150 micrograms of dry venom: that
// is no protein, and no yield may rest on it.
TEST_CASE("Published, DryVenomIsNotTakenForProtein")
{
    CHECK(row("all", "venom.dry_per_sting").lowest() == 100);
    for (const auto& taxon : table().taxa()) {
        const auto* sting = table().figure(taxon.code, "venom.protein_per_sting");
        if (sting != nullptr) {
            CAPTURE(taxon.code);
            CHECK(sting->highest() <= 17);
        }
    }
    // A honey bee's sting, for scale: 59 +/- 7.
    CHECK(number("all", "venom.honey_bee_sting") == 59);
}

// 21 CFR 680.1(b)(1): no more than 1.0 % foreign material.
TEST_CASE("Published, ForeignMaterialOfALot")
{
    CHECK_FALSE(lot_is_pure(table(), Grams{100}, Grams{1.2}));
    CHECK(lot_is_pure(table(), Grams{100}, Grams{0.8}));
    CHECK(lot_is_pure(table(), Grams{100}, Grams{1.0}));
}

// Well established; marked memory in the table.
TEST_CASE("Published, OnlyFemalesCarryVenom")
{
    CHECK(venom_bearers(table(), 120, 45) == 120);
    CHECK(venom_bearers(table(), 0, 45) == 0);
}

// Kaefer and others 2012: activity ends at 44.9 C, breathing at 45.3 C. The warning at 38 is ours.
TEST_CASE("Published, HeatLimitsOfVespula")
{
    CHECK(heat_alarm(table(), "VMAC", Celsius{46}) == HeatAlarm::Lethal);
    CHECK(heat_alarm(table(), "VMAC", Celsius{45.3}) == HeatAlarm::Lethal);
    CHECK(heat_alarm(table(), "VMAC", Celsius{45.2}) == HeatAlarm::ActivityEnds);
    CHECK(heat_alarm(table(), "VMAC", Celsius{44.9}) == HeatAlarm::ActivityEnds);
    CHECK(heat_alarm(table(), "VMAC", Celsius{44}) == HeatAlarm::Warn);
    CHECK(heat_alarm(table(), "VMAC", Celsius{38}) == HeatAlarm::Warn);
    CHECK(heat_alarm(table(), "VMAC", Celsius{37.9}) == HeatAlarm::None);
    // Resting output of CO2 rises about twelvefold from 20 to 40 C.
    CHECK(number("Vespula", "metabolism.co2_at_40") / number("Vespula", "metabolism.co2_at_20") ==
          Approx(12).margin(0.2));
}

// Landcare Research (citing Barlow and others 2002): 8-34, mean 12 nests a hectare, which is
// extreme; Kolsters and Wouters 2025: 106, 1 and 144 nests on 320 ha.
TEST_CASE("Published, NestsOnAnArea")
{
    CHECK(nests_per_km2(12, 1) == 1200);
    CHECK(number("Vespula", "density.nests") == 12);
    CHECK(nests_per_km2(144, 320) == Approx(45.0).margin(0.05));
    CHECK(nests_per_km2(106, 320) == Approx(number("VVUL", "density.nests_2020")).margin(0.05));
    CHECK(nests_per_km2(1, 320) == Approx(number("VVUL", "density.nests_2021")).margin(0.005));
    CHECK(144.0 / 320 == Approx(0.45).margin(0.0005));
    CHECK(density_is_doubtful(table(), nests_per_km2(8.1, 1)));
    CHECK_FALSE(density_is_doubtful(table(), nests_per_km2(8, 1)));
    CHECK_FALSE(density_is_doubtful(table(), 45));
}

// Thomas and others 1990 give 3761 g and 10000 workers a hectare at the peak: the mass holds more
// than flying workers. 376 mg is four to five times a worker, and no taxon's mass may rest on it.
TEST_CASE("Published, BiomassIsNotWorkerMass")
{
    const double wrong =
        number("Vespula", "density.biomass_peak") / number("Vespula", "density.workers") * 1000;
    CHECK(wrong == Approx(376).margin(1));
    CHECK(wrong / number("VVUL", "mass.worker") > 4);
    CHECK(wrong / number("VVUL", "mass.worker") < 5);
    CHECK(number("Vespula", "density.workers") / number("Vespula", "density.nests") ==
          Approx(number("Vespula", "density.workers_per_nest")).margin(1));
}

// Ward, Honan and Lefoe 2002: ground nests 28 cm below the surface on the mean.
TEST_CASE("Published, AGroundNestLiesBelowTheSurface")
{
    CHECK(ground_nest_height(table(), "VGER").value() == Approx(-0.28).margin(1e-9));
    CHECK(row("VGER", "nest.depth").lowest() == 5);
    CHECK(row("VGER", "nest.depth").highest() == 58);
}

// Darwin Core: an uncertainty of zero metres is not valid; the book refuses it.
TEST_CASE("Published, APlaceIsNeverKnownExactly")
{
    const test::Folder folder;
    auto book = book::Book::create(folder / "a.gpkg", app::present());
    app::KeyMaker keys;
    Site site;
    site.id = keys.make<SiteId>(app::present());
    site.place = {Longitude{-77.1}, Latitude{41.2}};
    site.place_uncertainty = Metres{0};
    book::Change change{book, app::present()};
    CHECK_THROWS_AS(change.insert(site), Failure);
    site.place_uncertainty = Metres{30};
    CHECK_NOTHROW(change.insert(site));
}

// Archer 2000: what workers of V. vulgaris carry home at midday, in percent.
TEST_CASE("Published, LoadsOfTheCommonWaspAddUp")
{
    const double sum = number("VVUL", "loads.fluid") + number("VVUL", "loads.pulp") +
                       number("VVUL", "loads.flesh") + number("VVUL", "loads.empty");
    CHECK(sum == Approx(100).margin(0.2));
}

// Comparative study of four yellowjackets: V. germanica takes 27.4 days, V. maculifrons has 62.2
// cells when its first worker comes.
TEST_CASE("Published, FoundingNestsInAChamber")
{
    CHECK(number("VGER", "brood.egg_to_adult_chamber") == 27.4);
    CHECK(number("VMAC", "cells.founding") == 62.2);
    CHECK(number("VGER", "cells.founding") == 71.3);
    // At the rate printed, so many cells take a month or less.
    CHECK(number("VMAC", "cells.founding") / number("VMAC", "cells.founding_per_day") ==
          Approx(32.7).margin(0.1));
    CHECK(number("VGER", "cells.founding") / number("VGER", "cells.founding_per_day") ==
          Approx(25.8).margin(0.1));
}

// Ross and Matthews 1982: 65000 cells in 35 L, 95000 in 60 L.
TEST_CASE("Published, CellsInALitreOfAnOverwinteredNest")
{
    CHECK(number("VSQU", "cells.overwintered_georgia") / number("VSQU", "nest.volume_georgia") ==
          Approx(row("VSQU", "cells.per_litre").highest()).margin(1));
    CHECK(number("VSQU", "cells.overwintered_florida") / number("VSQU", "nest.volume_florida") ==
          Approx(row("VSQU", "cells.per_litre").lowest()).margin(1));
}

// Harris 1996, Hamilton: a tenth of V. germanica colonies lives through the winter, no V. vulgaris.
TEST_CASE("Published, ColoniesThatOutliveTheWinter")
{
    CHECK(number("VGER", "winter.share") == 10);
    CHECK(number("VVUL", "winter.share") == 0);
}

// Blank and others 2020, table 1: the names that the first check leaves out.
TEST_CASE("Published, AntigenNamesOfTheOthers")
{
    const auto antigen = [](const char* code) { return row(code, "antigen").words; };
    CHECK(antigen("VMAC") == "Ves m 5");
    CHECK(antigen("VGER") == "Ves g 5");
    CHECK(antigen("VPEN") == "Ves p 5");
    CHECK(antigen("VSQU") == "Ves s 5");
    CHECK(antigen("VVUL") == "Ves v 5");
    CHECK(antigen("PFUS") == "Pol f 5");
    CHECK(antigen("PEXC") == "Pol e 5");
    CHECK(antigen("PMET") == "Pol m 5");
    CHECK(antigen("Vespula flavopilosa") == "Ves f 5");
    CHECK(antigen("Polistes annularis") == "Pol a 5");
    CHECK(antigen("Polistes gallicus") == "Pol g 5");
}
