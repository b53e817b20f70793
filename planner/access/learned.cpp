#include "planner/access/learned.hpp"

#include <chrono>
#include <cmath>

#include "planner/access/figures.hpp"

namespace nestround::access {

seconds table_time(WorkMethod method, const AccessSettings& settings)
{
    const seconds around = settings.arriving + settings.suiting + settings.cleaning_up;
    switch (method) {
        case WorkMethod::Hand:
            return around + settings.hand_work;
        case WorkMethod::GroundPole:
            return around + settings.pole_work;
        case WorkMethod::Ladder:
            return around + settings.ladder_work;
        case WorkMethod::PoleThenLadder:
            return around + settings.two_stage_ground + settings.two_stage_climb;
        case WorkMethod::NotReached:
            break;
    }
    return seconds{0};
}

std::vector<MethodTime> method_times(std::span<const Visit> visits, const AccessSettings& settings)
{
    const double like_table = figure("work", "visits_like_the_table").middle();
    std::vector<MethodTime> times;
    for (const auto method : {WorkMethod::Hand, WorkMethod::GroundPole, WorkMethod::PoleThenLadder,
                              WorkMethod::Ladder}) {
        MethodTime time;
        time.method = method;
        time.table = table_time(method, settings);
        double sum = 0;
        for (const auto& visit : visits) {
            if (visit.method != method || !visit.ended) {
                continue;
            }
            const seconds took = *visit.ended - visit.begun;
            if (took >= std::chrono::minutes{5} && took <= std::chrono::hours{8}) {
                sum += static_cast<double>(took.count());
                ++time.visits;
            }
        }
        const double n = time.visits;
        if (time.visits > 0) {
            time.mean = seconds{std::llround(sum / n)};
        }
        time.expected = seconds{std::llround(
            (like_table * static_cast<double>(time.table.count()) + sum) / (like_table + n))};
        times.push_back(time);
    }
    return times;
}

AccessSettings learned_from(std::span<const Visit> visits, AccessSettings settings)
{
    for (const auto& time : method_times(visits, settings)) {
        settings.learned[static_cast<std::size_t>(time.method)] = {
            time.visits,
            static_cast<double>(time.expected.count()) / static_cast<double>(time.table.count())};
    }
    return settings;
}

}  // namespace nestround::access
