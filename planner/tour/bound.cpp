#include "planner/tour/bound.hpp"

#include <algorithm>
#include <cstdint>
#include <limits>
#include <numeric>
#include <vector>

namespace nestround::tour {

namespace {

/// Products of two 64-bit numbers; GCC and Clang have it on every 64-bit machine.
__extension__ typedef __int128 Wide;

constexpr std::int64_t kNoWay = std::numeric_limits<std::int64_t>::max();

struct Share {
    std::int64_t worth = 0;  ///< points, above 0
    std::int64_t time = 0;   ///< seconds at least
};

/// The shortest drive to the job from anywhere that `v` can come from.
[[nodiscard]] std::int64_t least_way_in(const Problem& problem, std::size_t j, std::size_t v)
{
    const std::size_t place = problem.job(j).place;
    std::int64_t least = kNoWay;
    const auto ask = [&](std::size_t from) {
        if (problem.is_linked(from, place)) {
            least = std::min<std::int64_t>(least, problem.drive(from, place).count());
        }
    };
    ask(problem.vehicle(v).start_place);
    for (std::size_t i = 0; i < problem.jobs().size(); ++i) {
        // One after the other must be possible at all.
        if (i != j && problem.may_serve(i, v) &&
            problem.windows(i).front().opens <= problem.windows(j).back().closes) {
            ask(problem.job(i).place);
        }
    }
    return least;
}

[[nodiscard]] std::int64_t least_way_home(const Problem& problem, std::size_t v)
{
    std::int64_t least = kNoWay;
    for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
        if (problem.may_serve(j, v) &&
            problem.is_linked(problem.job(j).place, problem.vehicle(v).end_place)) {
            least = std::min<std::int64_t>(
                least, problem.drive(problem.job(j).place, problem.vehicle(v).end_place).count());
        }
    }
    return least;
}

/// The least time that the clock needs for so many seconds of road.
[[nodiscard]] std::int64_t least_time(const Problem& problem, std::int64_t drive)
{
    int fastest = problem.traffic().is_even() ? 1000 : 0;
    for (const auto& slot : problem.traffic_slots()) {
        fastest = std::max(fastest, slot.speed_permille);
    }
    return drive * 1000 / fastest;
}

}  // namespace

Points upper_bound(const Problem& problem)
{
    std::int64_t room = 0;
    std::vector<std::int64_t> home(problem.vehicles().size());
    for (std::size_t v = 0; v < home.size(); ++v) {
        home[v] = least_way_home(problem, v);
        const seconds hours = problem.last_home(v) - problem.vehicle(v).shift.opens;
        if (home[v] != kNoWay) {
            room += std::max<std::int64_t>(0, hours.count() - least_time(problem, home[v]));
        }
    }
    std::vector<Share> shares;
    for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
        Share best;
        best.time = kNoWay;
        for (std::size_t v = 0; v < home.size(); ++v) {
            // Not why_never(): what cannot be done alone may be on the way of another, where roads
            // that are longer than a detour make it so.
            if (!problem.may_serve(j, v)) {
                continue;
            }
            const std::int64_t way = least_way_in(problem, j, v);
            if (way == kNoWay) {
                continue;
            }
            // Most worth and least time of any vehicle: more than any one of them has.
            best.worth = std::max(best.worth, problem.prize(j, v).value() -
                                                  way * problem.vehicle(v).cost_per_second.value());
            best.time =
                std::min(best.time, least_time(problem, way) + problem.service(j, v).count());
        }
        if (best.worth > 0) {
            shares.push_back(best);
        }
    }
    std::sort(shares.begin(), shares.end(), [](const Share& a, const Share& b) {
        return static_cast<Wide>(a.worth) * b.time > static_cast<Wide>(b.worth) * a.time;
    });
    std::int64_t sum = 0;
    for (const auto& share : shares) {
        if (share.time <= room) {
            room -= share.time;
            sum += share.worth;
            continue;
        }
        sum += static_cast<std::int64_t>(static_cast<Wide>(share.worth) * room / share.time);
        break;
    }
    // Must-takes of negative worth can only lower it.
    return Points{sum};
}

}  // namespace nestround::tour
