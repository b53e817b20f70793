#include "geocore/roads/traffic_table.hpp"

#include "tests/support/catch.hpp"

using namespace nestround::roads;

namespace {
double factor(const SlowedBy& all, RoadClass one) { return all[static_cast<std::size_t>(one)]; }
}  // namespace

TEST_CASE("TrafficTable, TheLastRowThatFitsCounts")
{
    TrafficTable table;
    table.rows.push_back({0x1f, 7 * 60, 9 * 60, std::nullopt, 1.3});
    table.rows.push_back({0x1f, 7 * 60, 9 * 60, RoadClass::Motorway, 1.8});
    const auto monday = slowed_by(table, 0, 8 * 60);
    CHECK(factor(monday, RoadClass::Motorway) == 1.8);
    CHECK(factor(monday, RoadClass::Residential) == 1.3);
    CHECK(factor(monday, RoadClass::Ferry) == 1);
    CHECK(factor(slowed_by(table, 0, 9 * 60), RoadClass::Motorway) == 1);
    CHECK(factor(slowed_by(table, 5, 8 * 60), RoadClass::Motorway) == 1);
    // 32 h after Sunday's midnight it is Monday, eight o'clock.
    CHECK(factor(slowed_by(table, 6, 32 * 60), RoadClass::Motorway) == 1.8);
    CHECK(factor(slowed_by(table, 4, 32 * 60), RoadClass::Motorway) == 1);
}
