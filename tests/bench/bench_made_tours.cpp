// The tour solver on problems made by seed, of kinds that nothing was tuned to.
//
//   bench_made_tours [--seconds S] [--seeds N] [--from SEED] [--threads T] [--clock WHICH |
//   --iterations N]
//                    [--filter TEXT] [--old] [--best FILE [--keep]]
//
// Prints the worth of each, a line a shape, a column a seed, so that two builds can be compared.
// --best: a table of the best worth known to us of each (tests/data/made-tours-best.csv: what the
// longest runs so far have found, by no means optima); prints the gap to it. --keep writes what is
// better into it. --old: the older list of shapes. --clock as bench_tour says. --search: seed of
// the search itself, where it shall differ from that of the problem.
#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <map>
#include <sstream>
#include <string>

#include "geocore/base/error.hpp"
#include "tests/support/made_tours.hpp"
#include "tests/support/tour_budget.hpp"

namespace {

using namespace nestround;

using Best = std::map<std::pair<std::string, std::uint64_t>, std::int64_t>;

Best read_best(const std::string& path)
{
    Best best;
    std::ifstream file{path};
    std::string line;
    std::getline(file, line);
    while (std::getline(file, line)) {
        std::istringstream row{line};
        std::string shape;
        std::string seed;
        std::string worth;
        std::getline(row, shape, ',');
        std::getline(row, seed, ',');
        std::getline(row, worth, ',');
        best[{shape, std::stoull(seed)}] = std::stoll(worth);
    }
    return best;
}

void write_best(const std::string& path, const Best& best)
{
    std::ofstream file{path};
    file << "shape,seed,best_known_to_us\n";
    for (const auto& [key, worth] : best) {
        file << fmt::format("{},{},{}\n", key.first, key.second, worth);
    }
}

struct Wish {
    double seconds = 1;
    std::uint64_t from = 1;
    std::uint64_t seeds = 1;
    std::uint64_t search = 0;
    std::string filter;
    std::string best;
    bool keeps = false;
    bool is_old = false;
    test::Budget budget;
};

void run(const Wish& wish)
{
    Best best = wish.best.empty() ? Best{} : read_best(wish.best);
    fmt::print("{} s a case, {}\n", wish.seconds, wish.budget.words());
    double gaps = 0;
    int cases = 0;
    for (const auto& shape : wish.is_old ? test::made_tour_shapes() : test::wide_tour_shapes()) {
        if (std::string{shape.name}.find(wish.filter) == std::string::npos) {
            continue;
        }
        fmt::print("{:22}", shape.name);
        double iterations = 0;
        double sum = 0;
        for (std::uint64_t seed = wish.from; seed < wish.from + wish.seeds; ++seed) {
            const auto problem = value_or_throw(
                tour::Problem::make(test::made_tour(shape, seed), tour::Hopeless::Leave));
            const auto found = test::solve_for(problem, wish.seconds,
                                               wish.search > 0 ? wish.search : seed, wish.budget);
            iterations += static_cast<double>(found.iterations);
            const auto worth = found.plan.objective.value();
            fmt::print(" {:8}", worth);
            auto& known = best[{shape.name, seed}];
            if (wish.keeps && worth > known) {
                known = worth;
                write_best(wish.best, best);
            }
            if (known > 0) {
                const double gap =
                    100 * (1 - static_cast<double>(worth) / static_cast<double>(known));
                fmt::print(" {:5.2f}%", gap);
                sum += gap;
            }
        }
        fmt::print("  mean {:5.2f}%  {:9.0f} iterations\n", sum / static_cast<double>(wish.seeds),
                   iterations / static_cast<double>(wish.seeds));
        gaps += sum;
        cases += static_cast<int>(wish.seeds);
    }
    fmt::print("{} cases, mean gap to the best known to us {:.3f} %\n", cases,
               gaps / std::max(1, cases));
}

}  // namespace

int main(int argc, char** argv)
{
    std::setvbuf(stdout, nullptr, _IOLBF, 0);
    Wish wish;
    std::string clock;
    for (int i = 1; i < argc; ++i) {
        const std::string word = argv[i];
        const bool has_more = i + 1 < argc;
        if (word == "--seconds" && has_more) {
            wish.seconds = std::stod(argv[++i]);
        } else if (word == "--seeds" && has_more) {
            wish.seeds = std::stoull(argv[++i]);
        } else if (word == "--from" && has_more) {
            wish.from = std::stoull(argv[++i]);
        } else if (word == "--search" && has_more) {
            wish.search = std::stoull(argv[++i]);
        } else if (word == "--threads" && has_more) {
            wish.budget.threads = std::stoi(argv[++i]);
        } else if (word == "--iterations" && has_more) {
            wish.budget.iterations = std::stoull(argv[++i]);
        } else if (word == "--clock" && has_more) {
            clock = argv[++i];
        } else if (word == "--filter" && has_more) {
            wish.filter = argv[++i];
        } else if (word == "--best" && has_more) {
            wish.best = argv[++i];
        } else if (word == "--keep") {
            wish.keeps = true;
        } else if (word == "--old") {
            wish.is_old = true;
        } else {
            fmt::print(
                "bench_made_tours [--seconds S] [--seeds N] [--from SEED] [--search SEED] "
                "[--threads T] [--clock processor|wall | --iterations N] [--filter TEXT] [--old] "
                "[--best FILE [--keep]]\n");
            return 2;
        }
    }
    if ((!clock.empty() && clock != "wall" && clock != "processor") ||
        (wish.keeps && wish.best.empty())) {
        fmt::print("--clock is processor or wall; --keep needs --best\n");
        return 2;
    }
    wish.budget.by_wall = clock.empty() ? wish.budget.threads > 1 : clock == "wall";
    run(wish);
}
