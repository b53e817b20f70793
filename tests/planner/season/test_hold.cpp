#include "planner/season/hold.hpp"

#include <cmath>

#include "tests/support/catch.hpp"

using namespace nestround;
using Catch::Matchers::Contains;
using season::hold_curve;
using season::HoldAdvice;

namespace {

const Day kFrom = parse_day("2026-08-01").value();

/// A colony whose catch on day d is grams(d), spread by a tenth each way.
template <class Function>
season::OutlookOn colony(Function grams)
{
    return [grams](Day on) {
        const double g = grams(static_cast<double>((on - kFrom).count()));
        yield::NestOutlook outlook;
        outlook.workers = {g * 5, g * 10, g * 15};
        outlook.grams = {Grams{g * 0.9}, Grams{g}, Grams{g * 1.1}};
        return outlook;
    };
}

std::string all(const season::HoldCurve& curve)
{
    std::string text;
    for (const auto& reason : curve.reasons) {
        text += reason + "\n";
    }
    return text;
}

}  // namespace

TEST_CASE("Hold, AGrowingColonyIsHeldToItsPeakAndNoFurther")
{
    // exp(0.05 d) to day 10, then down at 0.1 a day; patience 40 days takes 0.025 a day of the
    // catch and of what a lost nest costs beside it.
    const auto grams = [](double d) {
        return 50 * std::exp(d <= 10 ? 0.05 * d : 0.5 - 0.1 * (d - 10));
    };
    const auto curve = hold_curve({}, colony(grams), kFrom, 28);
    CHECK(curve.best == 10);
    CHECK(curve.advice == HoldAdvice::Hold);
    CHECK(curve.verdict == "hold, best about 11 August");
    CHECK(curve.days[10].worth ==
          Approx(50 * std::exp(0.5) * std::exp(-10 / 40.0) - 25 * (1 - std::exp(-10 / 40.0))));
    CHECK_THAT(all(curve), Contains("declines after") && Contains("now") && Contains("one chance"));
}

TEST_CASE("Hold, GrowthBelowTheRiskOfWaitingIsNotWaitedFor")
{
    season::HoldSettings settings;
    settings.lost_nest = 0;
    const auto curve = hold_curve({}, colony([](double d) { return 50 * std::exp(0.02 * d); }),
                                  kFrom, 28, {}, settings);
    CHECK(curve.best == 0);
    CHECK(curve.advice == HoldAdvice::TakeWithin);
    // 0.005 a day is lost on balance: a tenth after 21 days.
    CHECK(curve.until == 21);
    CHECK(curve.verdict == "take it by 22 August");
}

TEST_CASE("Hold, PeopleNearItSpeakForTakingItNow")
{
    CallSheet sheet;
    const auto growing = colony([](double d) { return 50 + 3 * d; });
    const auto alone = hold_curve(sheet, growing, kFrom, 21);
    CHECK(alone.advice == HoldAdvice::Hold);
    sheet.call.allergic = true;
    const auto near = hold_curve(sheet, growing, kFrom, 21);
    CHECK(near.best == 0);
    CHECK_THAT(all(near), Contains("allergic"));
    const double lost = 25 * (1 - std::exp(-5 / 40.0));
    CHECK(near.days[5].risk == Approx(40 + lost));
    sheet.call.near_door = true;
    CHECK(hold_curve(sheet, growing, kFrom, 21).days[5].risk == Approx(50 + lost));
}

TEST_CASE("Hold, TheClientsDaysBoundTheChoice")
{
    CallSheet sheet;
    const auto growing = colony([](double d) { return 50 * std::exp(0.1 * d); });
    sheet.call.not_after = kFrom + std::chrono::days{4};
    const auto last = hold_curve(sheet, growing, kFrom, 21);
    CHECK(last.best == 4);
    CHECK_THAT(all(last), Contains("last day is 5 August"));
    sheet.call.not_after.reset();
    sheet.call.not_before = kFrom + std::chrono::days{3};
    const auto fading = colony([](double d) { return 50 * std::exp(-0.1 * d); });
    const auto first = hold_curve(sheet, fading, kFrom, 21);
    CHECK(first.best == 3);
    CHECK_THAT(first.verdict, Contains("wait for the client's day"));
    sheet.call.not_before = kFrom + std::chrono::days{60};
    const auto none = hold_curve(sheet, fading, kFrom, 21);
    CHECK(none.advice == HoldAdvice::AskFirst);
    CHECK_THAT(none.verdict, Contains("none of these days"));
}

TEST_CASE("Hold, ADeadColonyAndAPoisonedOneAreWorthNothing")
{
    const auto dead = hold_curve({}, colony([](double) { return 0.0; }), kFrom, 14);
    CHECK(dead.advice == HoldAdvice::AskFirst);
    CHECK_THAT(dead.verdict, Contains("no living colony"));
    const auto poisoned = hold_curve(
        {},
        [](Day) {
            yield::NestOutlook outlook;
            outlook.workers = {100, 200, 300};
            outlook.grams = {Grams{5}, Grams{10}, Grams{15}};
            outlook.venom = false;
            return outlook;
        },
        kFrom, 14);
    for (const auto& day : poisoned.days) {
        CHECK(day.worth <= 0);
    }
}

TEST_CASE("Hold, MorePatienceNeverAdvisesAnEarlierDay")
{
    const auto grams = [](double d) { return 40 * std::exp(-std::pow((d - 15) / 10, 2)); };
    std::size_t before = 0;
    for (const double patience : {5.0, 10.0, 20.0, 40.0, 80.0, 1000.0}) {
        season::HoldSettings settings;
        settings.patience_days = patience;
        const auto best = hold_curve({}, colony(grams), kFrom, 30, {}, settings).best;
        CHECK(best >= before);
        before = best;
    }
    CHECK(before == 15);
}

TEST_CASE("Hold, ANestThatIsLostCostsMoreThanItsCatch")
{
    // Grows by 0.04 a day: held for its catch of 50 g alone, not when the nest counts as 50 more.
    const auto growing = colony([](double d) { return 50 * std::exp(0.04 * d); });
    season::HoldSettings settings;
    settings.lost_nest = 0;
    CHECK(hold_curve({}, growing, kFrom, 21, {}, settings).advice == HoldAdvice::Hold);
    settings.lost_nest = 50;
    const auto curve = hold_curve({}, growing, kFrom, 21, {}, settings);
    CHECK(curve.advice != HoldAdvice::Hold);
    // Today is worth what it was, and taking it saves the loss of a nest that lives.
    CHECK(curve.days[0].worth == Approx(50));
    CHECK(curve.days[0].saved == 50);
    const auto dead = hold_curve({}, colony([](double) { return 0.0; }), kFrom, 3, {}, settings);
    CHECK(dead.days[0].saved == 0);
}

TEST_CASE("Hold, WhatWaitsForASecondVisitIsNoGrowingNest")
{
    CallSheet sheet;
    sheet.call.second.due = std::chrono::sys_days{kFrom} - std::chrono::hours{20};  // yesterday
    rank::RankSettings weights;
    weights.second_share = 0.2;
    weights.second_fade_days = 4;
    season::HoldSettings settings;
    settings.patience_days = 1e9;
    // A colony that would grow by a tenth a day, had it its queen.
    const auto curve = hold_curve(sheet, colony([](double d) { return 100 * std::exp(0.1 * d); }),
                                  kFrom, 10, weights, settings);
    const double that_day = 100 * std::exp(-0.1);
    for (std::size_t d = 0; d < curve.days.size(); ++d) {
        CHECK(curve.days[d].grams.middle.value() ==
              Approx(0.2 * that_day * std::exp(-(1.0 + static_cast<double>(d)) / 4)));
        CHECK(curve.days[d].saved == 0);
    }
    CHECK(curve.best == 0);
    CHECK(curve.advice == HoldAdvice::TakeNow);
    CHECK_THAT(all(curve), Contains("scatter") && !Contains("poison"));
}
