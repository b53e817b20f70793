// nestround tour solve
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <iostream>
#include <memory>
#include <optional>
#include <string>

#include "geocore/base/error.hpp"
#include "planner/app/solve_tour.hpp"
#include "planner/commands/commands.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string problem;
    std::optional<double> seconds;
    std::optional<std::uint64_t> iterations;
    std::uint64_t seed = 1;
    std::string to;
    int searches = 2;
    bool json = false;
    bool search_only = false;
    bool allow_missing = false;
};

void solve(const Words& words)
{
    app::TourWish wish;
    if (words.seconds && words.iterations) {
        throw Failure{ErrorCode::BadUsage, "give --seconds or --iterations, not both"};
    }
    if (words.seconds && !(*words.seconds > 0 && *words.seconds <= 86400)) {
        throw Failure{ErrorCode::BadUsage, "--seconds wants a time above 0 and up to a day"};
    }
    wish.seconds = words.seconds;
    wish.iterations = words.iterations.value_or(wish.iterations);
    wish.seed = words.seed;
    wish.searches = words.searches;
    wish.search_only = words.search_only;
    wish.allow_missing = words.allow_missing;
    const auto answer = app::solve_tour(words.problem, wish);
    const std::string text =
        words.json ? app::tour_answer_json(answer) : app::tour_answer_text(answer);
    if (words.to.empty()) {
        std::cout << text;
    } else {
        sheets::write_file(words.to, text);
    }
}

}  // namespace

void add_tour(CLI::App& app)
{
    auto* tour = app.add_subcommand("tour", "The tour solver by itself");
    tour->require_subcommand(1);
    auto* command =
        tour->add_subcommand("solve", "Choose and order the jobs of a problem in a JSON file");
    const auto words = std::make_shared<Words>();
    command->add_option("problem", words->problem, "The problem; docs/reference/tour-problem.md")
        ->required();
    command->add_option("--seconds", words->seconds, "Take this long, bound and all");
    command->add_option("--iterations", words->iterations,
                        "Search this many steps; the same number and seed give the same plan");
    command->add_option("--seed", words->seed, "Of the search")->capture_default_str();
    command->add_option("--searches", words->searches, "Searches side by side, each on a thread")
        ->check(CLI::Range(1, 16))
        ->capture_default_str();
    command->add_flag("--json", words->json, "The answer as JSON");
    command->add_option("--to", words->to, "Write the answer to this file");
    command->add_flag("--search-only", words->search_only,
                      "Search small problems too, instead of solving them exactly");
    command->add_flag("--allow-missing", words->allow_missing,
                      "Leave out must-takes that clash, and jobs that no vehicle can do");
    command->callback([words] { solve(*words); });
}

}  // namespace nestround::commands
