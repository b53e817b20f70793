#include "geocore/nature/degree_days.hpp"

#include <cmath>
#include <numbers>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

namespace {

constexpr std::array kAllMethods{DegreeDayMethod::Average,        DegreeDayMethod::ClippedAverage,
                                 DegreeDayMethod::SingleTriangle, DegreeDayMethod::DoubleTriangle,
                                 DegreeDayMethod::SingleSine,     DegreeDayMethod::DoubleSine};
constexpr std::array kAllCutoffs{Cutoff::Horizontal, Cutoff::Intermediate, Cutoff::Vertical};

/// What the curve gives when it is walked in small steps.
double walked(const DegreeDayRule& rule, DayRange day, bool sine)
{
    constexpr int kSteps = 200000;
    const double low = day.minimum.value();
    const double high = day.maximum.value();
    double vertical = 0;
    double warm = 0;
    double hot = 0;
    for (int i = 0; i < kSteps; ++i) {
        const double at = (i + 0.5) / kSteps;
        const double height =
            sine ? (1 + std::sin(std::numbers::pi * (2 * at - 0.5))) / 2 : 1 - std::abs(2 * at - 1);
        const double temperature = low + (high - low) * height;
        const double over = std::max(0.0, temperature - rule.lower.value());
        warm += over;
        hot += std::max(0.0, temperature - rule.upper->value());
        vertical += temperature <= rule.upper->value() ? over : 0;
    }
    warm /= kSteps;
    hot /= kSteps;
    vertical /= kSteps;
    switch (rule.cutoff) {
        case Cutoff::Horizontal:
            return warm - hot;
        case Cutoff::Vertical:
            return vertical;
        default:
            return std::max(warm - 2 * hot, vertical);
    }
}

}  // namespace

TEST_CASE("DegreeDays, AreWhatTheCurveGivesInSmallSteps")
{
    Random random{71};
    for (int i = 0; i < 40; ++i) {
        const double low = random.uniform(-10, 25);
        const DayRange day{Celsius{low}, Celsius{low + random.uniform(0, 25)}};
        const double lower = random.uniform(0, 15);
        for (const auto cutoff : kAllCutoffs) {
            for (const bool sine : {false, true}) {
                const DegreeDayRule rule{
                    sine ? DegreeDayMethod::SingleSine : DegreeDayMethod::SingleTriangle,
                    Celsius{lower}, Celsius{lower + 12}, cutoff};
                CAPTURE(low, day.maximum.value(), lower, text(cutoff), sine);
                CHECK(degree_days(rule, day).value() ==
                      Approx(walked(rule, day, sine)).margin(2e-4));
            }
        }
    }
}

TEST_CASE("DegreeDays, FallAsTheLowerThresholdRises")
{
    Random random{72};
    for (int i = 0; i < 300; ++i) {
        const double low = random.uniform(-15, 30);
        const DayRange day{Celsius{low}, Celsius{low + random.uniform(0, 25)}};
        const Celsius next{random.uniform(-15, 30)};
        for (const auto method : kAllMethods) {
            for (const auto cutoff : kAllCutoffs) {
                double before = 1e9;
                for (double lower = -5; lower <= 30; lower += 0.5) {
                    const double heat =
                        degree_days({method, Celsius{lower}, Celsius{31}, cutoff}, day, next)
                            .value();
                    CHECK(heat >= 0);
                    CHECK(heat <= before + 1e-12);
                    before = heat;
                }
            }
        }
    }
}

TEST_CASE("DegreeDays, GrowWithTheUpperThresholdAndCutoffsAreOrdered")
{
    Random random{73};
    for (int i = 0; i < 300; ++i) {
        const double low = random.uniform(-5, 35);
        const DayRange day{Celsius{low}, Celsius{low + random.uniform(0, 25)}};
        for (const auto method : kAllMethods) {
            double before = 0;
            for (double upper = 10; upper <= 60; upper += 1) {
                const auto by = [&](Cutoff cutoff) {
                    return degree_days({method, Celsius{10}, Celsius{upper}, cutoff}, day).value();
                };
                const double horizontal = by(Cutoff::Horizontal);
                CHECK(horizontal >= before - 1e-12);
                before = horizontal;
                CHECK(by(Cutoff::Intermediate) <= horizontal + 1e-12);
                CHECK(by(Cutoff::Vertical) <= by(Cutoff::Intermediate) + 1e-12);
            }
            // A threshold that is never reached is none.
            CHECK(before ==
                  Approx(degree_days({method, Celsius{10}, std::nullopt, Cutoff::Horizontal}, day)
                             .value()));
        }
    }
}

TEST_CASE("DegreeDays, DoubleMethodsWithEqualNeighboursAreTheSingle")
{
    Random random{74};
    for (int i = 0; i < 200; ++i) {
        const double low = random.uniform(-5, 25);
        const DayRange day{Celsius{low}, Celsius{low + random.uniform(0, 20)}};
        for (const auto cutoff : kAllCutoffs) {
            const auto by = [&](DegreeDayMethod method) {
                return degree_days({method, Celsius{10}, Celsius{27}, cutoff}, day, day.minimum)
                    .value();
            };
            CHECK(by(DegreeDayMethod::DoubleSine) == by(DegreeDayMethod::SingleSine));
            CHECK(by(DegreeDayMethod::DoubleTriangle) == by(DegreeDayMethod::SingleTriangle));
        }
    }
}

TEST_CASE("DegreeDays, OfAnEvenDayAreTheDifferenceFromTheThreshold")
{
    for (const auto method : kAllMethods) {
        CAPTURE(text(method));
        const auto at = [&](double temperature, Cutoff cutoff) {
            return degree_days({method, Celsius{10}, Celsius{30}, cutoff},
                               {Celsius{temperature}, Celsius{temperature}}, Celsius{temperature})
                .value();
        };
        for (const auto cutoff : kAllCutoffs) {
            CHECK(at(10, cutoff) == 0);
            CHECK(at(4, cutoff) == 0);
            CHECK(at(17.5, cutoff) == Approx(7.5));
            CHECK(at(30, cutoff) == Approx(20));
        }
        CHECK(at(33, Cutoff::Horizontal) == Approx(20));
        CHECK(at(33, Cutoff::Intermediate) == Approx(17));
        CHECK(at(33, Cutoff::Vertical) == Approx(0).margin(1e-12));
    }
}

TEST_CASE("DegreeDays, AreTheSameHeatInFahrenheit")
{
    // The same sine worked in Fahrenheit throughout: thresholds 50 and 86, day 44 to 91.
    const double middle = 67.5;
    const double swing = 23.5;
    const auto above = [&](double threshold) {
        const double angle = std::asin((threshold - middle) / swing);
        return ((middle - threshold) * (std::numbers::pi / 2 - angle) + swing * std::cos(angle)) /
               std::numbers::pi;
    };
    const DegreeDayRule rule{DegreeDayMethod::SingleSine, celsius_from_fahrenheit(50),
                             celsius_from_fahrenheit(86), Cutoff::Horizontal};
    const auto heat = degree_days(rule, {celsius_from_fahrenheit(44), celsius_from_fahrenheit(91)});
    CHECK(heat.value() * 1.8 == Approx(above(50) - above(86)).margin(1e-9));
}

TEST_CASE("DegreeDays, TakeExtremesEitherWayRound")
{
    const DegreeDayRule rule{DegreeDayMethod::SingleSine, Celsius{10}, Celsius{30},
                             Cutoff::Vertical};
    CHECK(degree_days(rule, {Celsius{25}, Celsius{5}}).value() ==
          degree_days(rule, {Celsius{5}, Celsius{25}}).value());
}

TEST_CASE("DegreeDays, RefuseThresholdsTheWrongWayRound")
{
    const auto result =
        checked({DegreeDayMethod::SingleSine, Celsius{20}, Celsius{10}, Cutoff::Horizontal});
    REQUIRE_FALSE(result.has_value());
    CHECK(result.error().message.find("swap") != std::string::npos);
    CHECK(checked({DegreeDayMethod::SingleSine, Celsius{10}, Celsius{10}, Cutoff::Horizontal})
              .has_value());
}

TEST_CASE("DegreeDays, NamesReadAsTheyAreWritten")
{
    for (const auto method : kAllMethods) {
        CHECK(degree_day_method(text(method)) == method);
    }
    for (const auto one : kAllCutoffs) {
        CHECK(cutoff(text(one)) == one);
    }
    CHECK_FALSE(degree_day_method("sine").has_value());
}

TEST_CASE("DegreeDays, ShareOfTheDayAboveAThreshold")
{
    CHECK(share_above({Celsius{0}, Celsius{20}}, Celsius{10}) == Approx(0.5));
    CHECK(share_above({Celsius{0}, Celsius{20}}, Celsius{5}) == Approx(2.0 / 3));
    CHECK(share_above({Celsius{12}, Celsius{20}}, Celsius{5}) == 1);
    CHECK(share_above({Celsius{-9}, Celsius{-1}}, Celsius{0}) == 0);
}
