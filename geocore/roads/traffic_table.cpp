#include "geocore/roads/traffic_table.hpp"

#include <cstddef>

namespace nestround::roads {

SlowedBy slowed_by(const TrafficTable& table, unsigned weekday, int minute)
{
    constexpr int kDayMin = 24 * 60;
    const auto day = (weekday + static_cast<unsigned>(minute / kDayMin)) % 7;
    minute %= kDayMin;
    SlowedBy factors;
    factors.fill(1);
    for (const auto& row : table.rows) {
        if ((row.days >> day & 1U) == 0 || minute < row.from_min || minute >= row.to_min) {
            continue;
        }
        for (std::size_t i = 0; i < kRoadClasses; ++i) {
            const auto one = static_cast<RoadClass>(i);
            if (row.road_class ? one == *row.road_class : one != RoadClass::Ferry) {
                factors[i] = row.factor;
            }
        }
    }
    return factors;
}

}  // namespace nestround::roads
