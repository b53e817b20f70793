#include "planner/sheets/brood_sheet.hpp"

#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::sheets;
using Catch::Contains;

namespace {

/// One comb of an invented place in a box at home, collected once.
brood::BroodInput one_box()
{
    brood::BroodInput input;
    input.on = Day{std::chrono::year{2026} / 8 / 23};
    input.days = 40;
    input.figures = brood::brood_figures(nature::standard_taxa(), "all");
    brood::StandingHabitat standing;
    standing.habitat.name = "box\x1b[2J";
    standing.habitat.combs = 2;
    standing.habitat.set_point = Celsius{30};
    brood::StandingComb comb;
    comb.key = "3f9a1c";
    comb.name = "Quill barn";
    comb.taxon = "VMAC";
    comb.taxon_name = "Vespula maculifrons";
    comb.first_day = -3;
    comb.input.figures = brood::brood_figures(nature::standard_taxa(), "VMAC");
    comb.input.brood.sealed_small = 900;
    comb.input.brood.sealed_large = 40;
    brood::WarmthInput warm;
    warm.midnight = warm.stands_from = input.on - std::chrono::days{3};
    warm.days = 43;
    warm.set_point = Celsius{30};
    comb.input.warmth = brood::warm_days(warm, comb.input.figures);
    comb.input.taken = {{2, 100.0, 2.0, 0}};
    standing.combs.push_back(comb);
    input.habitats.push_back(standing);
    return input;
}

}  // namespace

TEST_CASE("BroodSheet, SaysWhatCameWhatComesAndWhenToGoRound")
{
    const auto input = one_box();
    const auto plan = brood::plan_brood(input);
    const BroodSheet sheet{input, plan, {"a note"}};
    const auto text = brood_text(sheet, {});
    CHECK_THAT(text, Contains("comb 3f9a1c  Quill barn") && Contains("1 of 2 combs") &&
                         Contains("900 sealed worker cells") && Contains("100 workers, 2 queens") &&
                         Contains("still to come about") && Contains("room for 1 more") &&
                         Contains("end and clean") && Contains("a note"));
    CHECK(text.find('\x1b') == std::string::npos);  // a name cannot steer the terminal
    const auto json = nlohmann::json::parse(brood_json(sheet));
    CHECK(json["form"] == "nestround-brood");
    CHECK(json["rounds"].size() == plan.rounds.rounds.size());
    CHECK(json["habitats"][0]["combs"][0]["collections"][0]["workers"] == 100);
    const auto picture = brood_picture(sheet, MapFormat::Svg);
    CHECK_THAT(picture, Contains("<svg"));
}

TEST_CASE("BroodSheet, TasksFollowTheRoundsAndBecomeReminders")
{
    const auto input = one_box();
    const auto plan = brood::plan_brood(input);
    const BroodSheet sheet{input, plan, {}};
    const auto tasks = brood_tasks(sheet);
    REQUIRE(tasks.size() == plan.rounds.rounds.size());
    CHECK_THAT(tasks.front().title, Contains("collect about"));
    CHECK_THAT(tasks.back().title, Contains("end and clean"));
    const auto stamp = value_or_throw(parse_instant("2026-08-23T06:00:00Z"));
    const auto at_six = [](Day day) { return Instant{day} + std::chrono::hours{18}; };
    const auto calendar = brood_calendar(sheet, stamp, at_six);
    std::size_t events = 0;
    for (auto at = calendar.find("BEGIN:VEVENT"); at != std::string::npos;
         at = calendar.find("BEGIN:VEVENT", at + 1)) {
        ++events;
    }
    CHECK(events == tasks.size());
    CHECK(calendar == brood_calendar(sheet, stamp, at_six));
    CHECK_THAT(calendar, Contains("T180000Z"));
}

TEST_CASE("BroodSheet, AnEmptyBookSaysHowToBegin")
{
    brood::BroodInput input;
    input.on = Day{std::chrono::year{2026} / 8 / 23};
    const auto plan = brood::plan_brood(input);
    CHECK_THAT(brood_text({input, plan, {}}, {}), Contains("nestround habitat add"));
    CHECK(brood_tasks({input, plan, {}}).empty());
    CHECK_THAT(brood_picture({input, plan, {}}, MapFormat::Svg), Contains("<svg"));
}
