// How far the tour solver stays below the best known values of the published problems.
//
//   bench_tour [--seconds S] [--seeds N] [--filter TEXT] [--verbose]
//
// Prints the mean and the worst gap by group, of one run each, in S seconds of processor time (both
// 1 and 3 when not given), and for N seeds the worst mean.
#include <fmt/format.h>

#include <algorithm>
#include <ctime>
#include <map>
#include <string>

#include "planner/tour/checker.hpp"
#include "planner/tour/solver.hpp"
#include "tests/support/tour_files.hpp"

namespace {

using namespace nestround;

double processor_seconds()
{
    timespec now{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &now);
    return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

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

std::string group_of(const std::string& instance)
{
    return instance.substr(0, instance.find_first_of("0123456789"));
}

void run(double budget, std::uint64_t seed, const std::string& filter, bool verbose)
{
    std::map<std::string, Group> groups;
    for (const auto& reference : test::read_tour_references()) {
        const std::string name = fmt::format("{}/{}", reference.instance, reference.tours);
        if (!filter.empty() && name.find(filter) == std::string::npos) {
            continue;
        }
        const auto problem = value_or_throw(tour::Problem::make(
            test::read_tour_file(reference.instance, reference.tours), tour::Hopeless::Leave));
        const double begin = processor_seconds();
        tour::SolveOptions options;
        options.seed = seed;
        options.stop.iterations = 1ULL << 40U;
        options.stop.share_used = [&] { return (processor_seconds() - begin) / budget; };
        const auto solution = tour::solve(problem, options);
        const auto broken = tour::check(problem, solution.plan);
        if (!broken.empty()) {
            fmt::print("{}: BROKEN {}\n", name, broken.front().message);
            std::exit(1);
        }
        const auto best = reference.best();
        const auto value = solution.plan.objective.value();
        const double gap = 100.0 * static_cast<double>(best - value) / static_cast<double>(best);
        for (const auto& key :
             {group_of(reference.instance),
              fmt::format("{} m={}", group_of(reference.instance)[0] == 'p' ? "Cordeau" : "Solomon",
                          reference.tours),
              std::string{group_of(reference.instance)[0] == 'p' ? "Cordeau all"
                                                                 : "Solomon all"}}) {
            Group& group = groups[key];
            ++group.cases;
            group.reached += value >= best ? 1 : 0;
            group.proven += reference.proven ? 1 : 0;
            group.proven_reached += reference.proven && value >= best ? 1 : 0;
            group.sum += gap;
            group.iterations += static_cast<double>(solution.iterations);
            if (gap > group.worst) {
                group.worst = gap;
                group.worst_case = name;
            }
        }
        if (verbose) {
            fmt::print("{:10} {:6} of {:6} {}{:6.2f} %  {:8} iterations\n", name, value, best,
                       reference.proven ? "proven " : "       ", gap, solution.iterations);
        }
    }
    fmt::print("{} s of processor time a case, seed {}\n", budget, seed);
    fmt::print(
        "group          cases  reached  proven  mean gap %  worst %            iterations\n");
    for (const auto& [name, group] : groups) {
        fmt::print("{:14} {:5}  {:7}  {:2}/{:2}  {:10.3f}  {:7.2f} {:10} {:10.0f}\n", name,
                   group.cases, group.reached, group.proven_reached, group.proven,
                   group.sum / group.cases, group.worst, group.worst_case,
                   group.iterations / group.cases);
    }
}

}  // namespace

int main(int argc, char** argv)
{
    double budget = 0;
    std::uint64_t seeds = 1;
    std::string filter;
    bool verbose = false;
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        if (word == "--seconds" && i + 1 < argc) {
            budget = std::stod(argv[++i]);
        } else if (word == "--seeds" && i + 1 < argc) {
            seeds = std::stoull(argv[++i]);
        } else if (word == "--filter" && i + 1 < argc) {
            filter = argv[++i];
        } else if (word == "--verbose") {
            verbose = true;
        } else {
            fmt::print("bench_tour [--seconds S] [--seeds N] [--filter TEXT] [--verbose]\n");
            return 2;
        }
    }
    if (!test::has_tour_files()) {
        fmt::print("SKIPPED: the published tour problems are not in {}\n",
                   test::tour_folder().string());
        return 0;
    }
    for (std::uint64_t seed = 1; seed <= seeds; ++seed) {
        for (const double length :
             budget > 0 ? std::vector<double>{budget} : std::vector<double>{1, 3}) {
            run(length, seed, filter, verbose);
        }
    }
}
