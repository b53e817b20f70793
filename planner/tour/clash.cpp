// The smallest set of must-takes that cannot be met together.
#include <algorithm>
#include <bit>
#include <numeric>

#include "planner/tour/exact.hpp"
#include "planner/tour/sharing.hpp"

namespace nestround::tour {

namespace {

constexpr std::uint64_t kClashWork = 200'000'000;

/// The problem with these jobs only, and those that they follow, all of them must-takes.
[[nodiscard]] std::optional<Problem> restricted(const Problem& problem,
                                                std::vector<std::size_t> jobs)
{
    for (std::size_t i = 0; i < jobs.size(); ++i) {
        const auto& follows = problem.job(jobs[i]).follows;
        if (follows && std::find(jobs.begin(), jobs.end(), follows->job) == jobs.end()) {
            jobs.push_back(follows->job);
        }
    }
    ProblemInput input = problem.input();
    input.jobs.clear();
    for (const auto j : jobs) {
        Job job = problem.job(j);
        job.must_take = true;
        if (job.follows) {
            const auto at = std::find(jobs.begin(), jobs.end(), job.follows->job);
            job.follows->job = static_cast<std::size_t>(at - jobs.begin());
        }
        input.jobs.push_back(std::move(job));
    }
    auto made = Problem::make(std::move(input), Hopeless::Leave);
    return made ? std::optional<Problem>{std::move(*made)} : std::nullopt;
}

/// Tries all sets of one, two and three.
[[nodiscard]] std::optional<std::vector<std::size_t>> small_clash(
    const Problem& problem, const std::vector<std::size_t>& musts)
{
    std::uint64_t work = kClashWork;
    const auto clashes = [&](const std::vector<std::size_t>& some) {
        const auto part = restricted(problem, some);
        const auto exact = part && work > 0 ? solve_exact(*part, {work, nullptr}) : std::nullopt;
        work -= std::min<std::uint64_t>(work, 20'000);
        return exact && !exact->feasible;
    };
    for (const auto a : musts) {
        if (clashes({a})) {
            return std::vector<std::size_t>{a};
        }
    }
    for (std::size_t a = 0; a < musts.size(); ++a) {
        for (std::size_t b = a + 1; b < musts.size(); ++b) {
            if (clashes({musts[a], musts[b]})) {
                return std::vector<std::size_t>{musts[a], musts[b]};
            }
        }
    }
    for (std::size_t a = 0; a < musts.size(); ++a) {
        for (std::size_t b = a + 1; b < musts.size(); ++b) {
            for (std::size_t c = b + 1; c < musts.size(); ++c) {
                if (clashes({musts[a], musts[b], musts[c]})) {
                    return std::vector<std::size_t>{musts[a], musts[b], musts[c]};
                }
            }
        }
    }
    return std::nullopt;
}

}  // namespace

std::optional<std::vector<std::size_t>> smallest_clash(const Problem& problem)
{
    std::vector<std::size_t> musts;
    for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
        if (problem.job(j).must_take) {
            musts.push_back(j);
        }
    }
    for (std::size_t r = 0; r < problem.resources(); ++r) {
        if (problem.is_carried(r)) {
            return std::nullopt;  // what is loaded elsewhere may be what they need
        }
    }
    if (musts.size() > kClashJobs || problem.has_follows()) {
        const auto whole = restricted(problem, musts);
        const auto exact = whole ? solve_exact(*whole, {kClashWork / 10, nullptr}) : std::nullopt;
        return exact && exact->feasible ? std::vector<std::size_t>{} : small_clash(problem, musts);
    }
    std::uint64_t work = kClashWork;
    std::vector<VehicleSets> vehicles;
    vehicles.reserve(problem.vehicles().size());
    for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
        vehicles.emplace_back(problem, v, musts, must_bonus(problem), work, nullptr);
        if (!vehicles.back().is_complete()) {
            return small_clash(problem, musts);
        }
    }
    const Sharing sharing{problem, musts, vehicles, work};
    if (!sharing.is_complete()) {
        return small_clash(problem, musts);
    }
    // Travel need not obey the triangle inequality, so a set may be met only together with others.
    const Set all = static_cast<Set>((std::size_t{1} << musts.size()) - 1);
    std::vector<bool> coverable(std::size_t{all} + 1, false);
    for (Set set = all;; --set) {
        bool met = sharing.is_feasible(set);
        for (std::size_t i = 0; i < musts.size() && !met; ++i) {
            const Set more = set | (Set{1} << i);
            met = more != set && coverable[more];
        }
        coverable[set] = met;
        if (set == 0) {
            break;
        }
    }
    std::optional<Set> smallest;
    for (Set set = 1; set <= all && all != 0; ++set) {
        if (!coverable[set] && (!smallest || std::popcount(set) < std::popcount(*smallest))) {
            smallest = set;
        }
    }
    return smallest ? members(*smallest, musts) : std::vector<std::size_t>{};
}

}  // namespace nestround::tour
