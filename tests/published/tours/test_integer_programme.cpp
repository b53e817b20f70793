// The exact solver against an integer programme, solved by another program.
// what: the best objective of small problems with windows, prizes by vehicle, costs of driving and
//       of leaving, overtime, capacities, carried and shared loads, ride limits, second visits
// source: GLPK's glpsol (Debian: glpk-utils), branch and cut; the programme is written here from
// the
//       model of docs/science/tour.md and shares no code with the solvers
// units: points
// tolerance: none; all values are whole numbers
#include <fmt/format.h>

#include <fstream>
#include <iterator>
#include <regex>
#include <string>

#include "planner/tour/exact.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/random_tours.hpp"
#include "tests/support/shell.hpp"

using namespace nestround;
using tour::Problem;

namespace {

constexpr std::int64_t kBig = 2000;  ///< more than any time or load in these problems

/// Writes the programme in the LP form. Nodes: jobs 0 to n - 1; S leaves, E comes home.
class Programme {
public:
    explicit Programme(const Problem& problem) : p_{problem} {}

    std::string text()
    {
        for (std::size_t v = 0; v < p_.vehicles().size(); ++v) {
            vehicle(v);
        }
        for (std::size_t j = 0; j < p_.jobs().size(); ++j) {
            job(j);
        }
        for (std::size_t r = 0; r < p_.resources(); ++r) {
            if (const auto limit = p_.shared_limit(r)) {
                std::string sum;
                for (std::size_t j = 0; j < p_.jobs().size(); ++j) {
                    for (std::size_t v = 0; v < p_.vehicles().size(); ++v) {
                        sum += fmt::format(" + {} {}", p_.demand(j, r), y(v, j));
                    }
                }
                row(sum + fmt::format(" <= {}", *limit));
            }
        }
        return "Maximize\n obj:" + objective_ + "\nSubject To\n" + rows_ + "Bounds\n" + bounds_ +
               "Binaries\n" + binaries_ + "End\n";
    }

private:
    static std::string y(std::size_t v, std::size_t j) { return fmt::format("y_{}_{}", v, j); }
    static std::string x(std::size_t v, const std::string& a, const std::string& b)
    {
        return fmt::format("x_{}_{}_{}", v, a, b);
    }
    void row(const std::string& words) { rows_ += fmt::format(" c{}:{}\n", ++count_, words); }
    void binary(const std::string& name) { binaries_ += " " + name + "\n"; }

    void arc(std::size_t v, const std::string& a, const std::string& b, std::int64_t drive)
    {
        binary(x(v, a, b));
        const auto& car = p_.vehicle(v);
        const std::int64_t cost =
            drive * car.cost_per_second.value() + (a == "S" ? car.fixed_cost.value() : 0);
        objective_ += fmt::format(" - {} {}\n", cost, x(v, a, b));
    }

    void vehicle(std::size_t v)
    {
        const auto& car = p_.vehicle(v);
        const std::size_t n = p_.jobs().size();
        std::string out;
        for (std::size_t j = 0; j < n; ++j) {
            const std::string b = std::to_string(j);
            const std::size_t place = p_.job(j).place;
            binary(y(v, j));
            objective_ += fmt::format(" + {} {}\n", p_.prize(j, v).value(), y(v, j));
            arc(v, "S", b, p_.drive(car.start_place, place).count());
            arc(v, b, "E", p_.drive(place, car.end_place).count());
            out += " + " + x(v, "S", b);
            std::string in = " " + x(v, "S", b);
            std::string on = " " + x(v, b, "E");
            for (std::size_t i = 0; i < n; ++i) {
                if (i != j) {
                    const std::string a = std::to_string(i);
                    arc(v, a, b, p_.drive(p_.job(i).place, place).count());
                    in += " + " + x(v, a, b);
                    on += " + " + x(v, b, a);
                    after(v, i, j);
                }
            }
            row(in + " - " + y(v, j) + " = 0");
            row(on + " - " + y(v, j) + " = 0");
            if (!p_.may_serve(j, v)) {
                row(" " + y(v, j) + " = 0");
            }
            const std::int64_t first =
                car.shift.opens.count() + p_.drive(car.start_place, place).count();
            row(fmt::format(" t_{} - {} {} >= {}", j, kBig, x(v, "S", b), first - kBig));
            const std::int64_t home =
                p_.service(j, v).count() + p_.drive(place, car.end_place).count();
            row(fmt::format(" h_{} - t_{} - {} {} >= {}", v, j, kBig, x(v, b, "E"), home - kBig));
            if (const auto limit = p_.job(j).ride_limit) {
                row(fmt::format(" h_{} - t_{} + {} {} <= {}", v, j, kBig, y(v, j),
                                kBig + limit->count() + p_.service(j, v).count()));
            }
        }
        row(out + " <= 1");
        bounds_ += fmt::format(" 0 <= h_{} <= {}\n", v, p_.last_home(v).count());
        if (car.overtime) {
            objective_ += fmt::format(" - {} o_{}\n", car.overtime->cost_per_second.value(), v);
            row(fmt::format(" o_{} - h_{} >= -{}", v, v, car.shift.closes.count()));
        }
        for (std::size_t r = 0; r < p_.resources() && !car.capacity.empty(); ++r) {
            p_.is_carried(r) ? carried(v, r) : consumed(v, r);
        }
    }

    /// b begins after a, in time.
    void after(std::size_t v, std::size_t a, std::size_t b)
    {
        const std::int64_t gap =
            p_.service(a, v).count() + p_.drive(p_.job(a).place, p_.job(b).place).count();
        row(fmt::format(" t_{} - t_{} - {} {} >= {}", b, a, kBig,
                        x(v, std::to_string(a), std::to_string(b)), gap - kBig));
    }

    void consumed(std::size_t v, std::size_t r)
    {
        std::string sum;
        for (std::size_t j = 0; j < p_.jobs().size(); ++j) {
            sum += fmt::format(" + {} {}", p_.demand(j, r), y(v, j));
        }
        row(sum + fmt::format(" <= {}", p_.vehicle(v).capacity[r]));
    }

    void carried(std::size_t v, std::size_t r)
    {
        for (std::size_t j = 0; j < p_.jobs().size(); ++j) {
            const auto load = [&](std::size_t i) { return fmt::format("l_{}_{}", r, i); };
            row(fmt::format(" {} + {} {} <= {}", load(j), kBig, y(v, j),
                            kBig + p_.vehicle(v).capacity[r]));
            const std::string b = std::to_string(j);
            const std::int64_t q = p_.demand(j, r);
            for (const int sign : {1, -1}) {
                const char* plus = sign > 0 ? "" : "-";
                row(fmt::format(" {} {} - {} {} >= {}", plus, load(j), kBig, x(v, "S", b),
                                sign * q - kBig));
                for (std::size_t i = 0; i < p_.jobs().size(); ++i) {
                    if (i != j) {
                        row(fmt::format(" {} {} {} {} - {} {} >= {}", plus, load(j),
                                        sign > 0 ? "-" : "+", load(i), kBig,
                                        x(v, std::to_string(i), b), sign * q - kBig));
                    }
                }
            }
        }
    }

    void job(std::size_t j)
    {
        std::string taken;
        for (std::size_t v = 0; v < p_.vehicles().size(); ++v) {
            taken += " + " + y(v, j);
        }
        row(taken + (p_.job(j).must_take ? " = 1" : " <= 1"));
        std::string opens;
        std::string closes;
        std::string one;
        const auto windows = p_.windows(j);
        for (std::size_t w = 0; w < windows.size(); ++w) {
            const std::string z = fmt::format("z_{}_{}", j, w);
            binary(z);
            one += " + " + z;
            opens += fmt::format(" - {} {}", windows[w].opens.count(), z);
            closes +=
                fmt::format(" - {} {}", std::min<std::int64_t>(windows[w].closes.count(), kBig), z);
        }
        row(one + " = 1");
        row(fmt::format(" t_{}", j) + opens + " >= 0");
        row(fmt::format(" t_{}", j) + closes + " <= 0");
        if (const auto& follows = p_.job(j).follows) {
            second(j, *follows);
        }
    }

    void second(std::size_t j, const tour::Follows& rule)
    {
        std::string first;
        std::string service;
        std::string mine;
        for (std::size_t v = 0; v < p_.vehicles().size(); ++v) {
            first += " - " + y(v, rule.job);
            mine += " + " + y(v, j);
            service += fmt::format(" - {} {}", p_.service(rule.job, v).count(), y(v, rule.job));
            if (rule.same_vehicle) {
                row(" " + y(v, j) + " - " + y(v, rule.job) + " <= 0");
            }
        }
        row(mine + first + " <= 0");
        const auto scaled = [&](std::int64_t sign) {
            std::string words;
            for (std::size_t v = 0; v < p_.vehicles().size(); ++v) {
                words += fmt::format(" {} {} {}", sign > 0 ? "+" : "-", kBig, y(v, j));
            }
            return words;
        };
        row(fmt::format(" t_{} - t_{}", j, rule.job) + service + scaled(-1) +
            fmt::format(" >= {}", rule.least.count() - kBig));
        if (rule.most) {
            row(fmt::format(" t_{} - t_{}", j, rule.job) + service + scaled(1) +
                fmt::format(" <= {}", rule.most->count() + kBig));
        }
    }

    const Problem& p_;
    std::string objective_;
    std::string rows_;
    std::string bounds_;
    std::string binaries_;
    int count_ = 0;
};

/// The best objective, or nothing when there is no plan at all.
std::optional<std::int64_t> best_of(const Problem& problem)
{
    const testing::ScratchFolder folder;
    const std::string file = folder.file("tours.lp");
    const std::string answer = folder.file("answer.txt");
    std::ofstream{file} << Programme{problem}.text();
    const auto said =
        testing::run_shell(fmt::format("glpsol --lp '{}' --cuts --tmlim 60 -o '{}'", file, answer));
    INFO(said.words);
    REQUIRE(said.code == 0);
    if (said.words.find("HAS NO PRIMAL FEASIBLE") != std::string::npos ||
        said.words.find("NO INTEGER FEASIBLE") != std::string::npos ||
        said.words.find("NO PRIMAL FEASIBLE") != std::string::npos) {
        return std::nullopt;
    }
    REQUIRE(said.words.find("INTEGER OPTIMAL SOLUTION FOUND") != std::string::npos);
    std::ifstream stream{answer};
    const std::string words{std::istreambuf_iterator<char>{stream}, {}};
    std::smatch match;
    REQUIRE(std::regex_search(words, match, std::regex{R"(Objective:\s+obj = (\S+))"}));
    return std::llround(std::stod(match[1]));
}

void equals_programme(std::uint64_t seed, const test::RandomTourShape& shape)
{
    CAPTURE(seed);
    const auto problem =
        Problem::make(test::random_tour_problem(seed, shape), tour::Hopeless::Leave);
    REQUIRE(problem);
    const auto exact = tour::solve_exact(*problem);
    REQUIRE(exact);
    const auto best = best_of(*problem);
    REQUIRE(best.has_value() == exact->feasible);
    if (best) {
        CHECK(exact->plan.objective.value() == *best);
    }
}

}  // namespace

TEST_CASE("IntegerProgramme, ExactSolverAgrees")
{
    // Installed with the test packages: .ci/packages --tests.
    REQUIRE(testing::run_shell("glpsol --version").code == 0);
    for (std::uint64_t seed = 1; seed <= 12; ++seed) {
        test::RandomTourShape plain{5, 2, 0.1, 0.3, 0, true};
        equals_programme(8000 + seed, plain);
        test::RandomTourShape costs = plain;
        costs.overtime_chance = 0.7;
        costs.fixed_chance = 0.5;
        equals_programme(8100 + seed, costs);
        test::RandomTourShape loads{5, 2, 0.1, 0, 0, seed % 2 == 0};
        loads.carried = true;
        loads.shared = true;
        equals_programme(8200 + seed, loads);
        test::RandomTourShape seconds{5, 2, 0.1, 0.1, 0, true};
        seconds.follow_chance = 0.5;
        seconds.overtime_chance = 0.4;
        equals_programme(8300 + seed, seconds);
    }
}
