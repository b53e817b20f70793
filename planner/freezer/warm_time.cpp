#include "planner/freezer/warm_time.hpp"

#include <algorithm>
#include <optional>

namespace nestround::freezer {

namespace {

bool lies_in(const FreezerPlace& lies, const FreezerPlace& place)
{
    return lies.freezer == place.freezer && (place.shelf.empty() || lies.shelf == place.shelf) &&
           (place.box.empty() || lies.box == place.box);
}

}  // namespace

std::vector<WarmTime> warm_times(std::span<const LoggerReading> readings, Celsius limit)
{
    std::vector<WarmTime> out;
    bool is_warm = false;
    for (const auto& reading : readings) {
        if (reading.temperature > limit) {
            if (!is_warm) {
                out.push_back({reading.at, reading.at, reading.temperature, 0});
            }
            auto& now = out.back();
            now.ended = reading.at;
            now.warmest = std::max(now.warmest, reading.temperature);
            ++now.readings;
            is_warm = true;
        } else if (is_warm) {
            out.back().ended = reading.at;
            is_warm = false;
        }
    }
    return out;
}

std::vector<LotId> lots_there(std::span<const LotMove> moves, const std::map<LotId, Day>& shipped,
                              const FreezerPlace& place, Instant began, Instant ended)
{
    std::vector<LotId> out;
    for (std::size_t i = 0; i < moves.size(); ++i) {
        const auto& move = moves[i];
        std::optional<Instant> until;
        if (i + 1 < moves.size() && moves[i + 1].lot == move.lot) {
            until = moves[i + 1].at;
        }
        if (const auto left = shipped.find(move.lot); left != shipped.end()) {
            const Instant end = left->second + std::chrono::days{1};
            until = until ? std::min(*until, end) : end;
        }
        const bool overlaps = move.at <= ended && (!until || *until > began);
        if (lies_in(move.place, place) && overlaps && (out.empty() || out.back() != move.lot)) {
            out.push_back(move.lot);
        }
    }
    return out;
}

}  // namespace nestround::freezer
