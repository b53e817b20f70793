#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>

#include "geocore/base/error.hpp"
#include "planner/app/solve_tour.hpp"
#include "planner/tour/checker.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using app::parse_tour_file;

namespace {

/// The example of the reference page, so that page and program cannot part.
std::string example()
{
    std::ifstream page{std::string{NESTROUND_SOURCE_DIR} + "/docs/reference/tour-problem.md"};
    const std::string text{std::istreambuf_iterator<char>{page}, {}};
    const auto from = text.find("```json\n") + 8;
    return text.substr(from, text.find("```", from) - from);
}

std::string with(const std::string& field, const std::string& value)
{
    auto json = nlohmann::json::parse(example());
    json[nlohmann::json::json_pointer(field)] = nlohmann::json::parse(value);
    return json.dump();
}

/// The words that the text is refused with.
std::string refusal(const std::string& text)
{
    try {
        static_cast<void>(parse_tour_file(text, "p.json"));
    } catch (const Failure& failure) {
        return failure.error().text();
    }
    return "taken";
}

}  // namespace

TEST_CASE("the example of the manual is read as it says")
{
    const auto file = parse_tour_file(example(), "p.json");
    CHECK(file.name == "three nests");
    REQUIRE(file.input.jobs.size() == 3);
    // 3-4-5 triangles in tenths.
    CHECK(file.input.travel.seconds_between(0, 1) == 50);
    CHECK(file.input.travel.seconds_between(0, 2) == 100);
    CHECK(file.input.travel.seconds_between(1, 3) == 31);  // sqrt(10) = 3.162..., cut
    CHECK(file.input.jobs[1].service.front() == seconds{125});
    CHECK(file.input.jobs[1].windows[1] == tour::Window{seconds{400}, seconds{550}});
    CHECK(file.input.jobs[2].must_take);
    CHECK(file.input.vehicles[0].capacity.front() == 6);
    // A prize of 30 against a cost of 1 a unit of time, each time unit being ten tenths.
    CHECK(file.input.jobs[0].prize.front() == 300 * tour::Points{1});
    CHECK(file.input.vehicles[0].cost_per_second == tour::Points{1});
    CHECK(file.scale.prize(300) == 30);
}

TEST_CASE("a cut distance is never rounded up, however near the next number it is")
{
    // 7 - 24 - 25 scaled: exactly 2.5, which doubles may put at 2.4999...
    auto json = nlohmann::json::parse(example());
    json["travel"]["points"] = {{0, 0}, {0.7, 2.4}, {0.07, 0.24}, {1e-6, 0}};
    const auto file = parse_tour_file(json.dump(), "p.json");
    CHECK(file.input.travel.seconds_between(0, 1) == 25);
    CHECK(file.input.travel.seconds_between(0, 2) == 2);  // 0.25
    CHECK(file.input.travel.seconds_between(0, 3) == 0);
}

TEST_CASE("the example is solved to proof and the answer is the checker's")
{
    test::ScratchFolder folder;
    const auto answer = app::solve_tour(folder.write("p.json", example()), {});
    CHECK(answer.proven);
    CHECK(answer.plan.unserved.empty());
    CHECK(tour::check(answer.problem, answer.plan).empty());
    // By hand: home - gable - eaves - shed - home drives 5 + 3.1 + 5 + 10 = 23.1; 95 - 23.1. The
    // ride limit of 30 from the gable asks for it near the end: home - eaves - shed - gable.
    const auto json = nlohmann::json::parse(app::tour_answer_json(answer));
    const double driving = json["tours"][0]["driving"];
    CHECK(json["objective"].get<double>() == Approx(95 - driving).margin(1e-9));
    CHECK(json["tours"][0]["home"].get<double>() -
              json["tours"][0]["visits"].back()["leaves"].get<double>() >
          0);
    app::TourWish search;
    search.search_only = true;
    search.iterations = 5000;
    const auto found = app::solve_tour(folder.write("p.json", example()), search);
    CHECK(found.plan.objective == answer.plan.objective);
    CHECK(found.bound >= found.plan.objective);
}

TEST_CASE("a problem that breaks a rule is refused by field, with the way out")
{
    using Catch::Matchers::Contains;
    CHECK_THAT(refusal("{"), Contains("p.json:1"));
    CHECK_THAT(refusal("{\"jobs\": NaN}"), Contains("not JSON"));
    CHECK_THAT(refusal(with("/nestround_tour", "2")), Contains("version 1"));
    CHECK_THAT(refusal(with("/speling", "1")), Contains("'speling' is not known"));
    CHECK_THAT(refusal(with("/jobs/1/service", "12.55")),
               Contains("jobs[1].service") && Contains("decimals"));
    CHECK_THAT(refusal(with("/jobs/0/place", "4")), Contains("jobs[0].place"));
    CHECK_THAT(refusal(with("/jobs/0/windows", "[]")), Contains("leaves no time"));
    CHECK_THAT(refusal(with("/jobs/0/windows", "[[1]]")), Contains("jobs[0].windows[0]"));
    CHECK_THAT(refusal(with("/jobs/0/not_by", "[\"south\"]")), Contains("'south'"));
    CHECK_THAT(refusal(with("/jobs/0/demand", "{\"ice\": 1}")), Contains("'ice'"));
    CHECK_THAT(refusal(with("/travel", "{\"times\": [[0, 1], [1]]}")), Contains("hole"));
    CHECK_THAT(refusal(with("/travel", "{\"times\": [[0, -1], [1, 0]]}")),
               Contains("travel.times[0][1]"));
    CHECK_THAT(refusal(with("/travel", "{}")), Contains("either"));
    CHECK(refusal(example()) == "taken");
}

TEST_CASE("what only the whole problem shows is refused with file and job")
{
    using Catch::Matchers::Contains;
    test::ScratchFolder folder;
    const auto words = [&](const std::string& text) -> std::string {
        try {
            static_cast<void>(app::solve_tour(folder.write("p.json", text), {}));
        } catch (const Failure& failure) {
            return failure.error().text();
        }
        return "taken";
    };
    CHECK_THAT(words(with("/jobs/0/needs", "[\"rope\"]")), Contains("p.json, eaves"));
    CHECK_THAT(words(with("/jobs/0/windows", "[[20, 10]]")), Contains("ends at"));
    // Two that must begin at once, far apart.
    auto json = nlohmann::json::parse(example());
    json["jobs"][0]["must_take"] = true;
    json["jobs"][0]["starts_at"] = 20;
    json["jobs"][1]["must_take"] = true;
    json["jobs"][1]["starts_at"] = 20;
    json["jobs"][2]["must_take"] = false;
    CHECK_THAT(words(json.dump()), Contains("eaves, shed"));
    CHECK_THAT(words(json.dump()), Contains("--allow-missing"));
    CHECK_THROWS_AS(static_cast<void>(app::solve_tour(folder.file("none.json"), {})), Failure);
}
