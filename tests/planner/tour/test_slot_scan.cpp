#include "planner/tour/slot_scan.hpp"

#include "planner/tour/route.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/made_tours.hpp"

using namespace nestround;
using namespace nestround::tour;

TEST_CASE("SlotScan, AgreesWithTheSlotsLookedAtOneByOne")
{
    const test::MadeTourShape shape{"", 80, 1, test::Scatter::Mixed, 20000, 900, 9000, 0.8, 100};
    const auto problem = value_or_throw(Problem::make(test::made_tour(shape, 3), Hopeless::Leave));
    const Flat flat{problem};
    Random random{5};
    int fits = 0;
    for (int round = 0; round < 20; ++round) {
        Route route{flat, 0};
        SlotSweep sweep;
        for (int job = 0; job < flat.jobs; ++job) {
            Slot slot = route.slot(
                job, static_cast<int>(random.below(static_cast<std::uint64_t>(route.size() + 1))));
            if (slot.position >= 0) {
                route.insert(job, slot);
                continue;
            }
            if (!route.has_room(job)) {
                continue;
            }
            REQUIRE(route.scan(job, 2, 1, sweep));
            std::int32_t least = kNoSlot;
            for (int at = 0; at <= route.size(); ++at) {
                const Slot one = route.slot(job, at);
                const bool is_swept = at >= sweep.first && at < sweep.first + sweep.count;
                const std::int32_t cost = is_swept ? sweep.cost[at - sweep.first] : kNoSlot;
                REQUIRE((cost != kNoSlot) == (one.position >= 0));
                if (one.position >= 0) {
                    ++fits;
                    REQUIRE(cost == 2 * one.drive + one.push);
                    const Slot same = route.swept(job, sweep, at - sweep.first);
                    REQUIRE(same.drive == one.drive);
                    REQUIRE(same.push == one.push);
                    least = std::min(least, cost);
                }
            }
            REQUIRE(sweep.least == least);
        }
    }
    CHECK(fits > 100);
}
