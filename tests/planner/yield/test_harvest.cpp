#include "planner/yield/harvest.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using Catch::Matchers::Contains;

namespace {

const LonLat kPlace{Longitude{-77}, Latitude{41.2}};

Nest nest_of(std::string taxon, NestKind kind = NestKind::Aerial)
{
    Nest nest;
    nest.taxon = std::move(taxon);
    nest.kind = kind;
    return nest;
}

yield::Harvest on(const Nest& nest, const char* day, yield::HarvestConditions conditions = {},
                  const yield::HarvestSettings& settings = {})
{
    const auto& table = nature::standard_taxa();
    yield::Forecaster forecaster{table};
    return yield::harvest(table, forecaster.courses(nest, kPlace, parse_day(day).value()),
                          nest.insecticide, conditions, settings);
}

std::string all(const yield::Harvest& harvest)
{
    std::string text;
    for (const auto& note : harvest.notes) {
        text += note + "\n";
    }
    return text;
}

bool is_ordered(const Spread<double>& spread)
{
    return 0 <= spread.low && spread.low <= spread.middle && spread.middle <= spread.high;
}

}  // namespace

TEST_CASE("Harvest, AgreesWithTheForecastOfTheSameDay")
{
    const auto& table = nature::standard_taxa();
    yield::Forecaster forecaster{table};
    const Day day = parse_day("2026-08-10").value();
    for (const char* taxon : {"DMAC", "VMAC", "VCRA", "PDOM", ""}) {
        CAPTURE(taxon);
        const auto nest = nest_of(taxon);
        const auto outlook = forecaster.outlook(nest, kPlace, day);
        const auto harvest = on(nest, "2026-08-10");
        CHECK(is_ordered(harvest.workers_caught));
        CHECK(is_ordered(harvest.brood_workers));
        CHECK(is_ordered(harvest.doses));
        CHECK(harvest.workers_caught.high <= outlook.workers.high * 1.05 + 1);
        // The same grams as the outlook's: the conditions are those that it takes for granted.
        CHECK(harvest.frozen.middle.value() ==
              Approx(outlook.grams.middle.value()).epsilon(0.15).margin(1));
    }
}

TEST_CASE("Harvest, VenomIsAFloorFromOneStingUntilAnAssayIsSet")
{
    // S81: 2.4 to 5.0 micrograms a sting of Dolichovespula maculata.
    const auto nest = nest_of("DMAC");
    const auto floor = on(nest, "2026-08-10");
    const double wasps = floor.workers_caught.middle + floor.brood_workers.middle;
    CHECK(floor.venom.middle.value() / wasps > 2.4);
    CHECK(floor.venom.middle.value() / wasps < 5.0);
    CHECK_THAT(all(floor), Contains("a floor"));
    CHECK_FALSE(floor.by_assay);
    const auto assayed = on(nest, "2026-08-10", {}, {{{"DMAC", 20.0}}});
    CHECK(assayed.by_assay);
    CHECK(assayed.venom.middle.value() > 4 * floor.venom.middle.value());
    CHECK(assayed.doses.middle == Approx(assayed.venom.middle.value() / 100));
    CHECK(assayed.workers_caught.middle == floor.workers_caught.middle);
}

TEST_CASE("Harvest, MoreAreAtHomeInTheDarkAndInTheCold")
{
    const auto nest = nest_of("VGER", NestKind::Ground);
    const auto day = on(nest, "2026-08-20");
    const auto night = on(nest, "2026-08-20", {yield::Light::Night, {}});
    const auto cold = on(nest, "2026-08-20", {yield::Light::Day, Celsius{-2}});
    CHECK(night.workers_caught.middle > day.workers_caught.middle);
    CHECK(cold.workers_caught.middle >= night.workers_caught.middle);
    CHECK_THAT(all(cold), Contains("too cold"));
    // A hornet flies by night, so the dark brings less.
    const auto& table = nature::standard_taxa();
    CHECK(yield::away(table, "VCRA", {yield::Light::Night, {}}).middle >
          yield::away(table, "VGER", {yield::Light::Night, {}}).middle);
    // Active at 2 C as at 20 C (S100), where V. vulgaris stays in.
    CHECK(yield::away(table, "DMAC", {yield::Light::Day, Celsius{2}}).middle > 0);
    CHECK(yield::away(table, "VVUL", {yield::Light::Day, Celsius{2}}).middle == 0);
}

TEST_CASE("Harvest, ADeadNestAndAPoisonedOneGiveNone")
{
    const auto dead = on(nest_of("DMAC"), "2026-12-20");
    CHECK(dead.workers_caught.high < 1);
    CHECK(dead.brood_workers.high < 1);
    CHECK(dead.venom.high.value() < 5);
    auto poisoned = nest_of("DMAC");
    poisoned.insecticide = true;
    const auto none = on(poisoned, "2026-08-10");
    CHECK(none.frozen.high.value() == 0);
    CHECK(none.venom.high.value() == 0);
    CHECK_THAT(all(none), Contains("insecticide"));
}

TEST_CASE("Harvest, ALargeAerialNestInEarlyAugustHasQueensAndMalesToBeBesideWorkers")
{
    // Common practice of crews, no source: at about 41 degrees north in the first days of August a
    // large nest of Dolichovespula maculata has both, and a very active worker force.
    const auto harvest = on(nest_of("DMAC"), "2026-08-03");
    CHECK(harvest.brood_sexuals.high > 50);
    CHECK(harvest.brood_workers.middle > 20);
    CHECK(harvest.workers_caught.middle > 50);
}
