// How far the tour solver stays below the best known values of the published problems.
//
//   bench_tour [--seconds S] [--seeds N] [--threads T] [--clock WHICH] [--filter TEXT] [--verbose]
//   bench_tour --days [--seeds N] [--threads T] [--clock WHICH]
//   bench_tour --prove | --random
//   bench_tour --taken [--seconds S] [--seeds SEED] [--filter TEXT]
//
// Prints the mean and the worst gap by group, of one run each, in S seconds (both 1 and 3 when not
// given), and with several seeds the worst of all. --clock says which seconds: `processor`, those
// that the first searching thread gets (CLOCK_THREAD_CPUTIME_ID), fair on a busy machine, or
// `wall`; processor when not given with one thread, wall with more. --prove: how many cases the
// bound proves, how far it is off in the others. --days: a day and a season. --taken: routes
// where all customers must be taken. --random: small
// problems with everything in them against the exact solver.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <map>
#include <string>

#include <chrono>
#include <cmath>

#include "geocore/base/random.hpp"
#include "planner/app/side_by_side.hpp"
#include "planner/app/solve_tour.hpp"
#include "planner/tour/checker.hpp"
#include "planner/tour/exact.hpp"
#include "planner/tour/route_bound.hpp"
#include "planner/tour/schedule.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/random_tours.hpp"
#include "tests/support/taken_tours.hpp"
#include "tests/support/tour_budget.hpp"
#include "tests/support/tour_files.hpp"

namespace {

using namespace nestround;
using test::Budget;
using test::peak_memory;
using test::processor_seconds;
using test::solve_for;

struct Group {
    int cases = 0;
    int reached = 0;
    int proven = 0;
    int proven_reached = 0;
    double sum = 0;
    double worst = 0;
    std::string worst_case;
    double iterations = 0;
};

using Groups = std::map<std::string, Group>;

/// Calls over 40 km by 40 km, `crews` crews on `days` days; a prize that falls with the days
/// waited.
tour::Problem round_of(std::size_t calls, std::size_t crews, std::size_t days)
{
    Random random{7};
    tour::ProblemInput input;
    const std::size_t places = calls + crews;
    std::vector<std::pair<double, double>> at;
    for (std::size_t i = 0; i < places; ++i) {
        at.emplace_back(random.uniform(0, 40000), random.uniform(0, 40000));
    }
    input.travel.rows = input.travel.columns = places;
    for (const auto& a : at) {
        for (const auto& b : at) {
            const double metres = 1.3 * std::hypot(a.first - b.first, a.second - b.second);
            input.travel.length_m.push_back(static_cast<std::uint32_t>(metres));
            input.travel.duration_s.push_back(static_cast<std::uint32_t>(metres / 14));
        }
    }
    const auto clock = [](std::size_t day, int hour) {
        return seconds{static_cast<std::int64_t>(day) * 86400 + hour * 3600};
    };
    for (std::size_t day = 0; day < days; ++day) {
        for (std::size_t crew = 0; crew < crews; ++crew) {
            tour::Vehicle vehicle;
            vehicle.name = fmt::format("crew {} on day {}", crew, day);
            vehicle.start_place = vehicle.end_place = calls + crew;
            vehicle.shift = {clock(day, 7), clock(day, 17)};
            vehicle.cost_per_second = tour::Points{10};
            vehicle.pause = tour::Pause{{clock(day, 11), clock(day, 13)}, seconds{1800}};
            input.vehicles.push_back(std::move(vehicle));
        }
    }
    for (std::size_t j = 0; j < calls; ++j) {
        tour::Job job;
        job.name = fmt::format("call {}", j);
        job.place = j;
        const double worth = random.uniform(20000, 120000);
        for (std::size_t v = 0; v < input.vehicles.size(); ++v) {
            const auto day = static_cast<double>(v / crews);
            job.prize.emplace_back(std::llround(worth * (1 - 0.5 * day / 60)));
        }
        job.service = {seconds{1200 + static_cast<std::int64_t>(random.below(3600))}};
        if (random.chance(0.3)) {
            const int from = 8 + static_cast<int>(random.below(6));
            for (std::size_t day = 0; day < days; ++day) {
                job.windows.push_back({clock(day, from), clock(day, from + 2)});
            }
        }
        input.jobs.push_back(std::move(job));
    }
    return value_or_throw(tour::Problem::make(std::move(input), tour::Hopeless::Leave));
}

/// A day of 60 calls and 2 crews, a season of 400 calls and 180 crew days.
void days(std::uint64_t seeds, const Budget& budget)
{
    fmt::print("{}\n", budget.words());
    const auto day = round_of(60, 2, 1);
    const auto worth = [](const tour::Solution& found) {
        return static_cast<double>(found.plan.objective.value());
    };
    const double best = worth(solve_for(day, 60, 1000, budget));
    fmt::print("60 calls, 2 crews, one day; below what 60 s gave ({:.0f})\n", best);
    fmt::print("seed   0.2 s %   1 s %   seconds of the first\n");
    std::array<double, 2> worst{0, 0};
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        const double begin = budget.now();
        const double first = 100 * (1 - worth(solve_for(day, 0.2, seed, budget)) / best);
        const double took = budget.now() - begin;
        const double last = 100 * (1 - worth(solve_for(day, 1, seed, budget)) / best);
        worst = {std::max(worst[0], first), std::max(worst[1], last)};
        fmt::print("{:4} {:9.2f} {:7.2f} {:22.3f}\n", seed, first, last, took);
    }
    fmt::print("worst{:9.2f} {:7.2f}\n", worst[0], worst[1]);
    const auto season = round_of(400, 3, 60);
    fmt::print(
        "400 calls, 60 days of 3 crews\nbudget s       worth  left  iterations  took s  MB\n");
    for (const double seconds : {10.0, 18.0}) {
        const double begin = budget.now();
        const auto found = solve_for(season, seconds, 1, budget);
        fmt::print("{:8.0f} {:11}  {:4}  {:10}  {:6.1f}  {:.0f}\n", seconds,
                   found.plan.objective.value(), found.plan.unserved.size(), found.iterations,
                   budget.now() - begin, peak_memory());
    }
}

void prove(const std::string& filter)
{
    constexpr std::uint64_t kWork = 60'000'000;
    std::map<std::string, Group> groups;
    for (const auto& reference : test::read_tour_references()) {
        const std::string name = fmt::format("{}/{}", reference.instance, reference.tours);
        if (!filter.empty() && name.find(filter) == std::string::npos) {
            continue;
        }
        const auto problem = value_or_throw(tour::Problem::make(
            test::read_tour_file(reference.instance, reference.tours), tour::Hopeless::Leave));
        const auto plan = solve_for(problem, 1, 1, {}).plan;
        const double begin = processor_seconds();
        const auto found = tour::best_bound(problem, plan, kWork);
        auto value = plan.objective;
        if (!found.tour.empty()) {
            if (const auto tour = tour::schedule(problem, 0, found.tour)) {
                value = std::max(value, tour::value_of(problem, *tour));
            }
        }
        const double gap = 100 * (1 - static_cast<double>(value.value()) /
                                          static_cast<double>(found.bound.value()));
        Group& group = groups[fmt::format("{} m={}", name.substr(0, name.find_first_of("01")),
                                          reference.tours)];
        ++group.cases;
        group.proven += value >= found.bound ? 1 : 0;
        group.sum += gap;
        group.iterations += processor_seconds() - begin;
        if (gap > group.worst) {
            group.worst = gap;
            group.worst_case = name;
        }
    }
    fmt::print("group      cases  proven  mean gap to the bound %  worst %            seconds\n");
    for (const auto& [name, group] : groups) {
        fmt::print("{:10} {:5}  {:6}  {:23.2f}  {:7.2f} {:10} {:7.2f}\n", name, group.cases,
                   group.proven, group.sum / group.cases, group.worst, group.worst_case,
                   group.iterations / group.cases);
    }
}

void random_cases()
{
    int missed = 0;
    double slowest = 0;
    constexpr int kCases = 500;
    for (std::uint64_t seed = 90001; seed <= 90000 + kCases; ++seed) {
        test::RandomTourShape shape{6 + seed % 8, 1 + seed % 3, 0.1, 0.15, 0.3, true};
        const auto problem = value_or_throw(
            tour::Problem::make(test::random_tour_problem(seed, shape), tour::Hopeless::Leave));
        const double begin = processor_seconds();
        const auto exact = tour::solve_exact(problem);
        slowest = std::max(slowest, processor_seconds() - begin);
        tour::SolveOptions options;
        const double start = processor_seconds();
        options.stop.iterations = 1ULL << 40U;
        options.stop.share_used = [&] { return (processor_seconds() - start) / 0.2; };
        const auto found = tour::solve(problem, options);
        if (found.plan.objective != exact->plan.objective ||
            found.missing_musts.empty() != exact->feasible) {
            ++missed;
            fmt::print("  seed {}: {} instead of {}\n", seed, found.plan.objective.value(),
                       exact->plan.objective.value());
        }
    }
    fmt::print("{} of {} random problems of 6 to 13 jobs solved in 0.2 s; exact at most {:.2f} s\n",
               kCases - missed, kCases, slowest);
}

/// Solomon's class 1 where all customers must be taken: distance above the optimum.
void taken(double seconds, std::uint64_t seed, const std::string& filter, bool verbose)
{
    fmt::print("all must be taken: {} s a case, {}, seed {}\n", seconds, Budget{}.words(), seed);
    fmt::print("customers  group  cases  optima  mean above %  worst %           iterations\n");
    for (const std::size_t count : {25UL, 50UL, 100UL}) {
        Groups groups;
        for (const auto& row : test::kTakenTours) {
            const std::string name = row.instance;
            if (name.find(filter) == std::string::npos) {
                continue;
            }
            const auto best = count == 25 ? row.of_25 : count == 50 ? row.of_50 : row.of_100;
            const auto problem = test::taken_tour(row.instance, count);
            const auto found = solve_for(problem, seconds, seed, {});
            const auto value = -found.plan.objective.value();
            const double above = 100 * (static_cast<double>(value) / static_cast<double>(best) - 1);
            if (verbose) {
                fmt::print("{} {}: {} of {}, {} missing\n", name, count, value, best,
                           found.missing_musts.size());
            }
            for (const auto& key : {name.substr(0, name.find('1')), std::string{"~all"}}) {
                Group& group = groups[key];
                ++group.cases;
                group.reached += value == best && found.missing_musts.empty() ? 1 : 0;
                group.sum += above;
                group.iterations += static_cast<double>(found.iterations);
                if (above > group.worst) {
                    group.worst = above;
                    group.worst_case = name;
                }
            }
        }
        for (const auto& [name, group] : groups) {
            fmt::print("{:9}  {:5}  {:5}  {:6}  {:12.3f}  {:7.2f} {:9} {:10.0f}\n", count,
                       name == "~all" ? "all" : name, group.cases, group.reached,
                       group.sum / group.cases, group.worst, group.worst_case,
                       group.iterations / group.cases);
        }
        std::fflush(stdout);
    }
}

std::string group_of(const std::string& instance)
{
    return instance.substr(0, instance.find_first_of("0123456789"));
}

void print(const Groups& groups)
{
    fmt::print(
        "group          cases  reached  proven  mean gap %  worst %            iterations\n");
    for (const auto& [name, group] : groups) {
        fmt::print("{:14} {:5}  {:7}  {:2}/{:2}  {:10.3f}  {:7.2f} {:10} {:10.0f}\n", name,
                   group.cases, group.reached, group.proven_reached, group.proven,
                   group.sum / group.cases, group.worst, group.worst_case,
                   group.iterations / group.cases);
    }
}

/// One seed; adds to `all`.
void run(double seconds, std::uint64_t seed, const Budget& budget, const std::string& filter,
         bool verbose, Groups& all)
{
    Groups groups;
    for (const auto& reference : test::read_tour_references()) {
        const std::string name = fmt::format("{}/{}", reference.instance, reference.tours);
        if (!filter.empty() && name.find(filter) == std::string::npos) {
            continue;
        }
        const auto problem = value_or_throw(tour::Problem::make(
            test::read_tour_file(reference.instance, reference.tours), tour::Hopeless::Leave));
        const auto solution = solve_for(problem, seconds, seed, budget);
        const auto best = reference.best();
        const auto value = solution.plan.objective.value();
        const double gap = 100.0 * static_cast<double>(best - value) / static_cast<double>(best);
        for (const auto& key :
             {group_of(reference.instance),
              fmt::format("{} m={}", group_of(reference.instance)[0] == 'p' ? "Cordeau" : "Solomon",
                          reference.tours),
              std::string{group_of(reference.instance)[0] == 'p' ? "Cordeau all"
                                                                 : "Solomon all"}}) {
            for (Group* group : {&groups[key], &all[key]}) {
                ++group->cases;
                group->reached += value >= best ? 1 : 0;
                group->proven += reference.proven ? 1 : 0;
                group->proven_reached += reference.proven && value >= best ? 1 : 0;
                group->sum += gap;
                group->iterations += static_cast<double>(solution.iterations);
                if (gap > group->worst) {
                    group->worst = gap;
                    group->worst_case = name;
                }
            }
        }
        if (verbose) {
            fmt::print("{:10} {:6} of {:6} {}{:6.2f} %  {:8} iterations\n", name, value, best,
                       reference.proven ? "proven " : "       ", gap, solution.iterations);
        }
    }
    fmt::print("{} s a case, {}, seed {}\n", seconds, budget.words(), seed);
    print(groups);
}

}  // namespace

int main(int argc, char** argv)
{
    std::setvbuf(stdout, nullptr, _IOLBF, 0);  // a line at a time, also into a file
    double budget = 0;
    std::uint64_t seeds = 1;
    std::string filter;
    bool verbose = false;
    Budget spent;
    std::string clock;
    std::string what;
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        if (word == "--seconds" && i + 1 < argc) {
            budget = std::stod(argv[++i]);
        } else if (word == "--seeds" && i + 1 < argc) {
            seeds = std::stoull(argv[++i]);
        } else if (word == "--filter" && i + 1 < argc) {
            filter = argv[++i];
        } else if (word == "--threads" && i + 1 < argc) {
            spent.threads = std::stoi(argv[++i]);
        } else if (word == "--clock" && i + 1 < argc) {
            clock = argv[++i];
        } else if (word == "--prove" || word == "--days" || word == "--random" ||
                   word == "--taken") {
            what = word;
        } else if (word == "--verbose") {
            verbose = true;
        } else {
            fmt::print(
                "bench_tour [--seconds S] [--seeds N] [--threads T] [--clock processor|wall] "
                "[--filter TEXT] [--verbose] [--prove | --days | --random | --taken]\n");
            return 2;
        }
    }
    if (!clock.empty() && clock != "wall" && clock != "processor") {
        fmt::print("--clock is {}; processor or wall\n", clock);
        return 2;
    }
    spent.by_wall = clock.empty() ? spent.threads > 1 : clock == "wall";
    if (what == "--days") {
        days(seeds, spent);
        return 0;
    }
    if (what == "--random") {
        random_cases();
        return 0;
    }
    if (!test::has_tour_files()) {
        fmt::print("SKIPPED: the published tour problems are not in {}\n",
                   test::tour_folder().string());
        return 0;
    }
    if (what == "--prove") {
        prove(filter);
        return 0;
    }
    if (what == "--taken") {
        taken(budget > 0 ? budget : 1, seeds, filter, verbose);
        return 0;
    }
    for (const double length :
         budget > 0 ? std::vector<double>{budget} : std::vector<double>{1, 3}) {
        Groups all;
        for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
            run(length, seed, spent, filter, verbose, all);
        }
        if (seeds > 1) {
            fmt::print("{} s a case, {}, {} seeds together\n", length, spent.words(), seeds);
            print(all);
        }
    }
}
