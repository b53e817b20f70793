#include "planner/rank/rank.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "geocore/nature/taxa_table.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using rank::RankedCall;
using rank::RankSettings;
using yield::NestOutlook;

namespace {

const Day kDay = *parse_day("2026-08-20");

CallSheet sheet_number(std::uint64_t number)
{
    Random random{number};
    CallSheet sheet;
    sheet.call.id = CallId{Uuid::make(
        std::chrono::sys_time<std::chrono::milliseconds>{std::chrono::milliseconds{number}},
        random)};
    sheet.call.received = kDay;
    sheet.nest.kind = NestKind::Ground;
    sheet.nest.taxon = "VMAC";
    sheet.site.place = LonLat{Longitude{-84}, Latitude{34}};
    return sheet;
}

/// 1,850 workers that give 80 g now and in later weeks.
NestOutlook steady()
{
    NestOutlook outlook;
    outlook.taxon = "VMAC";
    outlook.taxon_name = "Vespula maculifrons";
    outlook.stage = "raising queens and males";
    outlook.workers = {920, 1853, 3099};
    outlook.grams = {Grams{40}, Grams{80}, Grams{150}};
    outlook.in_7_days = Grams{80};
    outlook.in_14_days = Grams{80};
    return outlook;
}

bool says(const RankedCall& ranked, std::string_view part)
{
    return std::any_of(ranked.reasons.begin(), ranked.reasons.end(),
                       [&](const std::string& one) { return one.find(part) != std::string::npos; });
}

}  // namespace

TEST_CASE("Rank, ScoreIsTheSumOfItsParts")
{
    auto sheet = sheet_number(1);
    // 80 g at one point each.
    CHECK(rank::rank_call(sheet, steady(), kDay).score == Approx(80));
    sheet.call.near_door = true;
    CHECK(rank::rank_call(sheet, steady(), kDay).score == Approx(80 + 25));
    sheet.call.allergic = true;
    CHECK(rank::rank_call(sheet, steady(), kDay).score == Approx(80 + 25 + 60));
    sheet.call.received = kDay - std::chrono::days{9};
    const auto ranked = rank::rank_call(sheet, steady(), kDay);
    CHECK(ranked.score == Approx(80 + 25 + 60 + 9 * 2));
    REQUIRE(ranked.reasons.size() == 4);
    // Weightiest first.
    CHECK(ranked.reasons[0] ==
          "about 1,900 workers (920 to 3,100), raising queens and males; 80 g (40 to 150)");
    CHECK(ranked.reasons[1] == "someone allergic lives or works there");
    CHECK(ranked.reasons[2] == "near a door or window in use");
    CHECK(ranked.reasons[3] == "waiting 9 days");
}

TEST_CASE("Rank, WaitingStopsCountingAfterItsMost")
{
    auto sheet = sheet_number(1);
    sheet.call.received = kDay - std::chrono::days{200};
    CHECK(rank::rank_call(sheet, steady(), kDay).score == Approx(80 + 30 * 2));
    sheet.call.received = kDay + std::chrono::days{5};  // an odd record earns nothing
    CHECK(rank::rank_call(sheet, steady(), kDay).score == Approx(80));
}

TEST_CASE("Rank, AFadingColonyIsUrgentAndAGrowingOneMayWait")
{
    const auto sheet = sheet_number(1);
    auto fading = steady();
    fading.in_7_days = Grams{40};
    fading.in_14_days = Grams{20};
    const auto soon = rank::rank_call(sheet, fading, kDay);
    CHECK(soon.score == Approx(80 + 0.5 * 40));
    CHECK(says(soon, "take it soon: only 40 g left in a week and 20 g in two"));
    auto growing = steady();
    growing.in_7_days = Grams{100};
    growing.in_14_days = Grams{120};
    const auto later = rank::rank_call(sheet, growing, kDay);
    CHECK(later.score == Approx(80 - 0.5 * 20));
    CHECK(says(later, "may wait: would give 100 g in a week and 120 g in two"));
    // A change of less than a twentieth is not spoken of.
    auto still = steady();
    still.in_7_days = Grams{82};
    CHECK(rank::rank_call(sheet, still, kDay).reasons.size() == 1);
}

TEST_CASE("Rank, ScoreIsNeverBelowNothing")
{
    auto seedling = steady();
    seedling.grams = {Grams{0}, Grams{1}, Grams{3}};
    seedling.in_7_days = Grams{30};
    CHECK(rank::rank_call(sheet_number(1), seedling, kDay).score == 0);
}

TEST_CASE("Rank, DeadlinesAndPromisesAreNamed")
{
    auto sheet = sheet_number(1);
    sheet.call.not_after = kDay + std::chrono::days{3};
    const auto near = rank::rank_call(sheet, steady(), kDay);
    CHECK(near.score == Approx(80 + 30));
    CHECK(says(near, "last day is in 3 days"));
    sheet.call.not_after = kDay + std::chrono::days{4};
    CHECK(rank::rank_call(sheet, steady(), kDay).score == Approx(80));
    sheet.call.not_after = kDay - std::chrono::days{1};
    CHECK(says(rank::rank_call(sheet, steady(), kDay), "2026-08-19, is past"));
    sheet.call.not_after.reset();
    sheet.call.not_before = kDay + std::chrono::days{2};
    CHECK(says(rank::rank_call(sheet, steady(), kDay), "allows it from 2026-08-22"));
    sheet.call.must_take = true;
    CHECK(rank::rank_call(sheet, steady(), kDay).reasons.front().find("promised") == 0);
}

TEST_CASE("Rank, InsecticideAndEmptyNestsSaySo")
{
    auto poisoned = steady();
    poisoned.venom = false;
    poisoned.grams = {};
    poisoned.in_7_days = {};
    const auto ranked = rank::rank_call(sheet_number(1), poisoned, kDay);
    CHECK(ranked.score == 0);
    CHECK(says(ranked, "nothing for laboratories"));
    NestOutlook empty;
    empty.stage = "over";
    CHECK(says(rank::rank_call(sheet_number(1), empty, kDay), "no workers expected"));
}

TEST_CASE("Rank, ADeadColonyIsNotUrgent")
{
    auto sheet = sheet_number(1);
    sheet.call.allergic = true;
    sheet.call.near_door = true;
    sheet.call.received = kDay - std::chrono::days{100};
    NestOutlook dead;
    dead.stage = "over";
    dead.workers = {0, 0.4, 37};  // one in ten such colonies may linger
    const auto ranked = rank::rank_call(sheet, dead, kDay);
    CHECK(ranked.score == 0);
    CHECK(says(ranked, "ask the client before driving"));
    CHECK(says(ranked, "someone allergic"));
    // The same call with a living colony is urgent.
    CHECK(rank::rank_call(sheet, steady(), kDay).score > 80 + 25 + 60);
}

TEST_CASE("Rank, TiesFollowTheFilesOwnKeys")
{
    auto first = sheet_number(1);
    auto second = sheet_number(2);
    first.call.source_key = "C2";
    second.call.source_key = "C1";
    yield::Forecaster forecaster{nature::standard_taxa()};
    const std::vector<CallSheet> sheets{first, second};
    const auto ranked = rank::rank_calls(sheets, forecaster, kDay);
    REQUIRE(ranked[0].score == ranked[1].score);
    CHECK(ranked[0].sheet.call.source_key == "C1");
}

TEST_CASE("Rank, WorthOfATaxonReplacesTheCommonWorth")
{
    RankSettings settings;
    settings.worth_by_taxon["VMAC"] = 2.5;
    CHECK(rank::rank_call(sheet_number(1), steady(), kDay, settings).score == Approx(200));
    settings.worth_by_taxon = {{"DMAC", 9}};
    CHECK(rank::rank_call(sheet_number(1), steady(), kDay, settings).score == Approx(80));
}

TEST_CASE("Rank, BestFirstAndTiesByKey")
{
    std::vector<CallSheet> sheets;
    for (std::uint64_t i = 0; i < 6; ++i) {
        sheets.push_back(sheet_number(6 - i));  // keys fall, nests are alike
    }
    sheets[2].call.allergic = true;
    yield::Forecaster forecaster{nature::standard_taxa()};
    const auto ranked = rank::rank_calls(sheets, forecaster, kDay);
    REQUIRE(ranked.size() == 6);
    CHECK(ranked[0].sheet.call.id == sheets[2].call.id);
    for (std::size_t i = 2; i < 6; ++i) {
        CHECK(ranked[i - 1].score == ranked[i].score);
        CHECK(ranked[i - 1].sheet.call.id < ranked[i].sheet.call.id);
    }
    std::reverse(sheets.begin(), sheets.end());
    const auto again = rank::rank_calls(sheets, forecaster, kDay);
    for (std::size_t i = 0; i < 6; ++i) {
        CHECK(again[i].sheet.call.id == ranked[i].sheet.call.id);
        CHECK(again[i].reasons == ranked[i].reasons);
    }
}

TEST_CASE("Rank, AfterTheFirstVisitOnlyThoseThatWereAwayAreLeftAndScatter")
{
    auto sheet = sheet_number(1);
    rank::RankSettings settings;
    settings.second_share = 0.25;
    settings.second_fade_days = 3;
    CHECK(rank::share_left(sheet.call, kDay, settings) == 1);
    CHECK(rank::forecast_day(sheet.call, kDay) == kDay);
    sheet.call.second.due =
        std::chrono::sys_days{kDay} - std::chrono::days{3} + std::chrono::hours{14};
    CHECK(rank::forecast_day(sheet.call, kDay) == kDay - std::chrono::days{3});
    CHECK(rank::share_left(sheet.call, kDay - std::chrono::days{3}, settings) == 0.25);
    CHECK(rank::share_left(sheet.call, kDay, settings) == Approx(0.25 / std::exp(1.0)));
    // A day on which it is not due yet is not in the past of it.
    CHECK(rank::share_left(sheet.call, kDay - std::chrono::days{9}, settings) == 0.25);
    const auto whole = steady();
    const auto ranked = rank::rank_call(sheet, whole, kDay, settings);
    CHECK(ranked.outlook.grams.middle.value() ==
          Approx(whole.grams.middle.value() * 0.25 / std::exp(1.0)));
    CHECK(ranked.outlook.sealed_workers.high == 0);
    CHECK(ranked.outlook.in_7_days.value() ==
          Approx(ranked.outlook.grams.middle.value() * std::exp(-7.0 / 3)));
}
