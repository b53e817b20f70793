#include "planner/app/solve_tour.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>

#include "geocore/base/error.hpp"
#include "planner/app/side_by_side.hpp"
#include "planner/tour/bound.hpp"
#include "planner/tour/checker.hpp"
#include "planner/tour/exact.hpp"
#include "planner/tour/route_bound.hpp"

namespace nestround::app {

namespace {

using Clock = std::chrono::steady_clock;

constexpr std::uint64_t kBoundWork = 60'000'000;  ///< some three seconds at most
constexpr std::uint64_t kExactWork = 20'000'000;  ///< a second, and 500 MB
constexpr double kWorkASecond = 20'000'000;
constexpr double kProofShare = 0.15;  ///< of the seconds wished for, kept for the bound
constexpr double kMostProof = 4;      ///< seconds, of a long run
constexpr double kLeastProof = 0.02;  ///< seconds, however late it is

std::string bytes_of(const std::string& path)
{
    std::ifstream file{path, std::ios::binary};
    if (!file) {
        throw Failure{ErrorCode::NotFound, "there is no such file, or it cannot be read", path};
    }
    return {std::istreambuf_iterator<char>{file}, {}};
}

double seconds_since(Clock::time_point begin)
{
    return std::chrono::duration<double>(Clock::now() - begin).count();
}

[[noreturn]] void refuse_clash(const TourAnswer& answer, const std::string& path)
{
    std::vector<std::string> names;
    for (const auto j : answer.missing_musts) {
        names.push_back(answer.problem.job(j).name);
    }
    std::string message = fmt::format("no plan found that takes every must-take; left out: {}",
                                      fmt::join(names, ", "));
    if (const auto clash = tour::smallest_clash(answer.problem); clash && !clash->empty()) {
        names.clear();
        for (const auto j : *clash) {
            names.push_back(answer.problem.job(j).name);
        }
        message = fmt::format(
            "these must-takes cannot be met together: {}; free one of them, or "
            "give --allow-missing",
            fmt::join(names, ", "));
    }
    throw Failure{ErrorCode::Infeasible, message, path};
}

/// What keeps a job out: a rule of its own, or that its worth does not pay here.
std::string why_unserved(const tour::Problem& problem, std::size_t j)
{
    std::string reason;
    for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
        const auto never = tour::why_never(problem, j, v);
        if (never.empty()) {
            return "possible alone, but the time went to jobs worth more";
        }
        reason = never;
    }
    return reason.empty() ? "there is no vehicle" : reason;
}

/// The part of the seconds wished for that the search may have.
double search_seconds(double seconds)
{
    return seconds - std::min(kProofShare * seconds, kMostProof);
}

/// Work for the time that is left, or `most` where no clock counts.
std::uint64_t work_left(const TourWish& wish, Clock::time_point begin, std::uint64_t most)
{
    if (!wish.seconds) {
        return most;
    }
    const double left = std::max(kLeastProof, *wish.seconds - seconds_since(begin));
    return std::min(most, static_cast<std::uint64_t>(std::min(left, 60.0) * kWorkASecond));
}

void search(TourAnswer& answer, const TourWish& wish, Clock::time_point begin)
{
    tour::SolveOptions options;
    options.seed = wish.seed;
    options.searches = wish.searches;
    options.side_by_side = run_side_by_side;
    options.progress = wish.progress;
    options.polish_share = kPolishShare;
    options.stop.iterations = wish.iterations;
    if (wish.seconds) {
        options.stop.iterations = std::uint64_t{1} << 40U;
        options.stop.share_used = [&] {
            return seconds_since(begin) / search_seconds(*wish.seconds);
        };
    }
    auto solution = tour::solve(answer.problem, options);
    answer.plan = std::move(solution.plan);
    answer.missing_musts = std::move(solution.missing_musts);
    answer.iterations = solution.iterations;
}

void note_missing(TourAnswer& answer)
{
    answer.missing_musts.clear();
    for (const auto j : answer.plan.unserved) {
        if (answer.problem.job(j).must_take) {
            answer.missing_musts.push_back(j);
        }
    }
}

/// The bound, and the better plans that are found on the way to it.
void prove(TourAnswer& answer, const TourWish& wish, Clock::time_point begin)
{
    if (!answer.missing_musts.empty()) {
        return;
    }
    auto found = tour::best_bound(answer.problem, answer.plan, work_left(wish, begin, kBoundWork));
    answer.bound = std::min(answer.bound, found.bound);
    if (found.better) {
        answer.plan = std::move(*found.better);
    }
    if (answer.plan.objective >= answer.bound || wish.search_only) {
        return;
    }
    const tour::ExactLimits limits{work_left(wish, begin, kExactWork), &answer.plan};
    if (const auto exact = tour::solve_exact(answer.problem, limits)) {
        answer.plan = exact->plan;
        answer.bound = exact->plan.objective;
        answer.proven = true;
        note_missing(answer);
    }
}

}  // namespace

TourAnswer solve_tour(const std::string& path, const TourWish& wish)
{
    const auto begin = Clock::now();
    auto file = parse_tour_file(bytes_of(path), path);
    auto made = tour::Problem::make(
        std::move(file.input), wish.allow_missing ? tour::Hopeless::Leave : tour::Hopeless::Refuse);
    if (!made) {
        auto error = made.error();
        error.where = error.where.empty() ? path : path + ", " + error.where;
        throw Failure{std::move(error)};
    }
    TourAnswer answer{
        std::move(file.name), file.scale, std::move(*made), {}, {}, {}, {}, false, 0, 0};
    answer.bound = tour::upper_bound(answer.problem);
    const bool is_small = answer.problem.jobs().size() <= kExactTourJobs && !wish.search_only;
    const auto exact = is_small ? tour::solve_exact(answer.problem, {kExactWork, nullptr})
                                : std::optional<tour::ExactResult>{};
    if (exact) {
        answer.plan = exact->plan;
        note_missing(answer);
        answer.proven = true;
        answer.bound = answer.missing_musts.empty() ? answer.plan.objective : answer.bound;
    } else {
        search(answer, wish, begin);
        prove(answer, wish, begin);
    }
    auto broken = tour::check(answer.problem, answer.plan);
    std::erase_if(broken, [](const auto& each) { return each.rule == tour::Rule::MustTake; });
    if (!broken.empty()) {
        throw Failure{ErrorCode::Internal, "the plan breaks a rule: " + broken.front().message,
                      path};
    }
    if (!answer.missing_musts.empty() && !wish.allow_missing) {
        refuse_clash(answer, path);
    }
    answer.proven = answer.proven || answer.plan.objective >= answer.bound;
    for (const auto j : answer.plan.unserved) {
        answer.why_unserved.push_back(why_unserved(answer.problem, j));
    }
    answer.seconds = seconds_since(begin);
    return answer;
}

std::optional<double> gap_percent(const TourAnswer& answer)
{
    const auto bound = static_cast<double>(answer.bound.value());
    const auto value = static_cast<double>(answer.plan.objective.value());
    if (answer.proven) {
        return 0;
    }
    if (bound <= 0) {
        return std::nullopt;
    }
    return std::max(0.0, 100 * (bound - value) / bound);
}

std::string tour_answer_json(const TourAnswer& answer)
{
    using Json = nlohmann::ordered_json;
    const auto& scale = answer.scale;
    Json json;
    json["nestround_tour_answer"] = 1;
    json["name"] = answer.name;
    json["objective"] = scale.prize(answer.plan.objective.value());
    json["bound"] = scale.prize(answer.bound.value());
    const auto gap = gap_percent(answer);
    json["gap_percent"] = gap ? Json(*gap) : Json(nullptr);
    json["proven"] = answer.proven;
    json["served"] = answer.problem.jobs().size() - answer.plan.unserved.size();
    json["iterations"] = answer.iterations;
    json["seconds"] = answer.seconds;
    json["tours"] = Json::array();
    for (const auto& tour : answer.plan.tours) {
        Json out;
        out["vehicle"] = answer.problem.vehicle(tour.vehicle).name;
        out["departs"] = scale.time(tour.depart);
        out["home"] = scale.time(tour.home);
        out["driving"] = scale.time(tour.driving);
        out["length"] = tour.metres;
        if (tour.pause) {
            out["pause"] = {{"after_visits", tour.pause->after},
                            {"begins", scale.time(tour.pause->begin)}};
        }
        out["visits"] = Json::array();
        for (const auto& visit : tour.visits) {
            out["visits"].push_back({{"job", answer.problem.job(visit.job).name},
                                     {"number", visit.job},
                                     {"arrives", scale.time(visit.arrive)},
                                     {"begins", scale.time(visit.begin)},
                                     {"leaves", scale.time(visit.leave)}});
        }
        json["tours"].push_back(std::move(out));
    }
    json["unserved"] = Json::array();
    for (std::size_t i = 0; i < answer.plan.unserved.size(); ++i) {
        json["unserved"].push_back({{"job", answer.problem.job(answer.plan.unserved[i]).name},
                                    {"number", answer.plan.unserved[i]},
                                    {"why", answer.why_unserved[i]}});
    }
    json["missing_must_takes"] = Json::array();
    for (const auto j : answer.missing_musts) {
        json["missing_must_takes"].push_back(answer.problem.job(j).name);
    }
    return json.dump(2) + "\n";
}

std::string tour_answer_text(const TourAnswer& answer)
{
    const auto& scale = answer.scale;
    std::string text = fmt::format("{}: worth {}", answer.name.empty() ? "tour" : answer.name,
                                   scale.prize(answer.plan.objective.value()));
    if (answer.proven) {
        text += ", the best possible";
    } else if (const auto gap = gap_percent(answer)) {
        text += fmt::format(", within {:.1f} % of the best possible (at most {})", *gap,
                            scale.prize(answer.bound.value()));
    }
    text +=
        fmt::format("; {} of {} jobs\n", answer.problem.jobs().size() - answer.plan.unserved.size(),
                    answer.problem.jobs().size());
    for (const auto& tour : answer.plan.tours) {
        if (tour.visits.empty()) {
            text += fmt::format("  {} stays\n", answer.problem.vehicle(tour.vehicle).name);
            continue;
        }
        text += fmt::format("  {} leaves {}, home {}, drives {}\n",
                            answer.problem.vehicle(tour.vehicle).name, scale.time(tour.depart),
                            scale.time(tour.home), scale.time(tour.driving));
        for (std::size_t i = 0; i < tour.visits.size(); ++i) {
            const auto& visit = tour.visits[i];
            if (tour.pause && tour.pause->after == i) {
                text += fmt::format("    {:>10}  pause\n", scale.time(tour.pause->begin));
            }
            text += fmt::format("    {:>10}  {}\n", scale.time(visit.begin),
                                answer.problem.job(visit.job).name);
        }
        if (tour.pause && tour.pause->after == tour.visits.size()) {
            text += fmt::format("    {:>10}  pause\n", scale.time(tour.pause->begin));
        }
    }
    for (std::size_t i = 0; i < answer.plan.unserved.size(); ++i) {
        text +=
            fmt::format("  not taken: {}: {}\n", answer.problem.job(answer.plan.unserved[i]).name,
                        answer.why_unserved[i]);
    }
    return text;
}

}  // namespace nestround::app
