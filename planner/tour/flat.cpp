#include "planner/tour/flat.hpp"

#include <algorithm>
#include <map>

namespace nestround::tour {

namespace {

[[nodiscard]] Time time(seconds t) { return static_cast<Time>(t.count()); }

[[nodiscard]] bool are_equal(const std::optional<Pause>& a, const std::optional<Pause>& b)
{
    return a.has_value() == b.has_value() &&
           (!a || (a->start == b->start && a->length == b->length));
}

/// Whether a tour of one vehicle may be given to the other as it stands.
[[nodiscard]] bool are_equal(const Problem& problem, std::size_t a, std::size_t b)
{
    const Vehicle& x = problem.vehicle(a);
    const Vehicle& y = problem.vehicle(b);
    if (x.start_place != y.start_place || x.end_place != y.end_place || x.shift != y.shift ||
        x.capacity != y.capacity || x.cost_per_second != y.cost_per_second ||
        x.fixed_cost != y.fixed_cost || problem.last_home(a) != problem.last_home(b) ||
        (x.overtime ? x.overtime->cost_per_second : Points{0}) !=
            (y.overtime ? y.overtime->cost_per_second : Points{0}) ||
        !are_equal(x.pause, y.pause)) {
        return false;
    }
    for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
        if (problem.may_serve(j, a) != problem.may_serve(j, b) ||
            problem.prize(j, a) != problem.prize(j, b) ||
            problem.service(j, a) != problem.service(j, b)) {
            return false;
        }
    }
    return true;
}

}  // namespace

Flat::Flat(const Problem& problem)
    : jobs{static_cast<int>(problem.jobs().size())},
      cars_count{static_cast<int>(problem.vehicles().size())},
      nodes{0},
      resources{static_cast<int>(problem.resources())},
      traffic{problem.traffic()},
      followers(problem.jobs().size()),
      bonus{must_bonus(problem)},
      has_resources{false},
      has_carried{false},
      has_shared{false},
      has_links{problem.has_follows()},
      removal_may_fail{false},
      has_live{false},
      is_symmetric{true},
      is_varied{false}
{
    for (std::size_t r = 0; r < problem.resources(); ++r) {
        carried.push_back(problem.is_carried(r) ? 1 : 0);
        has_carried |= problem.is_carried(r);
        const auto limit = problem.shared_limit(r);
        shared.push_back(limit.value_or(INT64_MAX / 2));
        has_shared |= limit.has_value();
    }
    std::vector<std::size_t> place;
    spans_begin.push_back(0);
    for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
        const Job& job = problem.job(j);
        place.push_back(job.place);
        must.push_back(job.must_take ? 1 : 0);
        ride_limit.push_back(job.ride_limit ? time(*job.ride_limit) : kNoLimit);
        has_live |= job.ride_limit.has_value();
        leader.push_back(job.follows ? static_cast<int>(job.follows->job) : -1);
        least.push_back(job.follows ? time(job.follows->least) : 0);
        most.push_back(job.follows && job.follows->most ? time(*job.follows->most) : kNoLimit);
        same_car.push_back(job.follows && job.follows->same_vehicle ? 1 : 0);
        if (job.follows) {
            followers[job.follows->job].push_back(static_cast<int>(j));
        }
        for (const auto& window : problem.windows(j)) {
            spans.push_back({time(window.opens), time(window.closes)});
        }
        spans_begin.push_back(static_cast<std::uint32_t>(spans.size()));
        closes.push_back(spans.back().closes);
        for (int r = 0; r < resources; ++r) {
            demand.push_back(problem.demand(j, static_cast<std::size_t>(r)));
        }
    }
    std::map<std::size_t, int> depot;
    const auto node_of = [&](std::size_t where) {
        const auto [found, is_new] = depot.try_emplace(where, static_cast<int>(place.size()));
        if (is_new) {
            place.push_back(where);
        }
        return found->second;
    };
    for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
        const Vehicle& vehicle = problem.vehicle(v);
        Car car{};
        car.start = node_of(vehicle.start_place);
        car.end = node_of(vehicle.end_place);
        car.opens = time(vehicle.shift.opens);
        car.closes = time(vehicle.shift.closes);
        car.last = time(problem.last_home(v));
        car.cost = vehicle.cost_per_second.value();
        car.cost_over = vehicle.overtime ? vehicle.overtime->cost_per_second.value() : 0;
        car.fixed = vehicle.fixed_cost.value();
        car.is_plain = !vehicle.pause && car.cost_over == 0 && !has_carried && traffic.is_even();
        removal_may_fail |= has_links && car.cost_over > 0;
        is_varied |= has_links || has_carried || car.cost_over > 0 || car.fixed > 0;
        car.kind = static_cast<int>(v);
        if (vehicle.pause) {
            car.pause = PauseRule{time(vehicle.pause->start.opens),
                                  time(vehicle.pause->start.closes), time(vehicle.pause->length)};
        }
        for (std::size_t w = 0; w < v; ++w) {
            if (are_equal(problem, v, w)) {
                car.kind = cars[w].kind;
                break;
            }
        }
        cars.push_back(car);
        for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
            is_varied |= car.cost > 0 || problem.prize(j, v) != problem.prize(j, 0);
            service.push_back(time(problem.service(j, v)));
            value.push_back(problem.prize(j, v).value() + (must[j] != 0 ? bonus : 0));
            Reach reach{spans_begin[j], 0};
            for (std::uint32_t i = spans_begin[j]; i < spans_begin[j + 1]; ++i) {
                if (spans[i].closes < car.opens) {
                    ++reach.begin;
                } else if (spans[i].opens <= car.last) {
                    ++reach.count;
                }
            }
            reaches.push_back(reach);
            may.push_back(problem.may_serve(j, v) && reach.count > 0 ? 1 : 0);
        }
        for (std::size_t r = 0; r < problem.resources(); ++r) {
            has_resources |= !vehicle.capacity.empty();
            capacity.push_back(vehicle.capacity.empty() ? INT64_MAX / 2 : vehicle.capacity[r]);
        }
    }
    nodes = static_cast<int>(place.size());
    out.resize(place.size() * place.size());
    in.resize(out.size());
    for (std::size_t a = 0; a < place.size(); ++a) {
        for (std::size_t b = 0; b < place.size(); ++b) {
            const Time t = problem.is_linked(place[a], place[b])
                               ? time(problem.drive(place[a], place[b]))
                               : kNever;
            out[a * place.size() + b] = t;
            in[b * place.size() + a] = t;
        }
    }
    is_symmetric = in == out;
    if (is_symmetric) {
        in = {};  // one table instead of two stays nearer to the processor
    }
    for (int a = 0; has_links && a < nodes; ++a) {
        for (int b = 0; b < nodes && !removal_may_fail; ++b) {
            for (int c = 0; c < nodes; ++c) {
                removal_may_fail |= drive(a, c) > drive(a, b) + drive(b, c);
            }
        }
    }
    for (int j = 0; j < jobs; ++j) {
        Time there = kNever;
        Time onward = kNever;
        for (int other = 0; other < nodes; ++other) {
            if (other != j) {
                there = std::min(there, drive(other, j));
                onward = std::min(onward, drive(j, other));
            }
        }
        detour.push_back(std::min(there + onward, kNever));
    }
}

}  // namespace nestround::tour
