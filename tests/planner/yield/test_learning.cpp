#include "planner/yield/learning.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <map>
#include <string>

#include "geocore/base/random.hpp"
#include "geocore/nature/season.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::yield;

namespace {

const LonLat kPlace{Longitude{-77}, Latitude{41.25}};

/// Made once a taxon: colonies take long to make.
const nature::Season& season_of_place(const nature::Candidate& only)
{
    static std::map<std::string, nature::Season> made;
    auto found = made.find(only.taxon->code);
    if (found == made.end()) {
        found =
            made.emplace(only.taxon->code, nature::Season::make(nature::standard_taxa(),
                                                                std::span{&only, 1}, kPlace.lat))
                .first;
    }
    return found->second;
}

constexpr std::array<const char*, 4> kTaxa{"VMAC", "VGER", "DMAC", "VCRA"};
constexpr std::array<const char*, 3> kMethods{"hand", "ground_pole", "ladder"};

const nature::TaxaTable& table() { return nature::standard_taxa(); }

CatchCase bare(Random& random)
{
    CatchCase record;
    record.nest.taxon = kTaxa[random.below(kTaxa.size())];
    record.nest.kind = NestKind::Void;
    record.place = kPlace;
    record.day = Day{std::chrono::year{2025} / 7 / 15} +
                 std::chrono::days{static_cast<int>(random.below(60))};
    record.method = kMethods[random.below(kMethods.size())];
    record.crew = random.chance(0.5) ? "North" : "South";
    return record;
}

/// A book of a world whose effects are drawn from the priors of the model; the share is a true
/// logistic, which the model straightens.
std::vector<CatchCase> world(Random& random, int records)
{
    const double common = random.normal(0, 0.25);
    std::map<std::string, double> level;
    std::map<std::string, double> share;
    for (const auto* taxon : kTaxa) {
        level[taxon] = random.normal(0, 0.35);
        share[taxon] = random.normal(0, 0.35);
    }
    for (const auto* method : kMethods) {
        share[method] = random.normal(0, 0.40);
    }
    for (const auto* crew : {"North", "South"}) {
        share[crew] = random.normal(0, 0.30);
    }
    std::vector<CatchCase> out;
    for (int i = 0; i < records; ++i) {
        auto record = bare(random);
        const nature::Candidate only{table().find(record.nest.taxon), 1};
        const auto workers =
            season_of_place(only).on(nature::season_day(record.day, kPlace.lat, 2025)).workers;
        const double wide =
            std::log(workers.high / std::max(1.0, workers.low)) / 2 / 1.2815515655446004;
        const double p = table().figure(record.nest.taxon, "catch_share.void")->middle();
        const double at = std::log(p / (1 - p)) + share[record.nest.taxon] + share[record.method] +
                          share[record.crew] + random.normal(0, 0.45);
        const double alive =
            workers.middle * std::exp(common + level[record.nest.taxon] + random.normal(0, wide));
        record.count = std::max(1, static_cast<int>(alive / (1 + std::exp(-at))));
        const double mg = table().figure(record.nest.taxon, "mass.worker")->middle() *
                          std::exp(random.normal(0.1, 0.08));
        record.mass = Grams{*record.count * mg / 1000 * 0.97};
        out.push_back(record);
    }
    return out;
}

}  // namespace

TEST_CASE("Learning, WithoutRecordsIsThePriorExactly")
{
    const Learner learner{table()};
    for (const auto kind : {NestKind::Aerial, NestKind::Ground, NestKind::Void}) {
        const auto* row = table().figure("VMAC", "catch_share." + std::string{text(kind)});
        CHECK(learner.catch_share("VMAC", kind) ==
              Spread<double>{row->lowest(), row->middle(), row->highest()});
    }
    CHECK(learner.level("VMAC") == Spread<double>{1, 1, 1});
    CHECK(learner.mass_mg("VGER")->middle == table().figure("VGER", "mass.worker")->middle());
    CHECK(learner.records() == 0);
}

TEST_CASE("Learning, EightForecastsInTenHoldOnInventedBooks")
{
    Random random{11};
    int inside = 0;
    int below = 0;
    int all = 0;
    for (int book = 0; book < 25; ++book) {
        Learner learner{table()};
        for (const auto& record : world(random, 40)) {
            const auto forecast = learner.forecast(record);
            REQUIRE(forecast.has_value());
            const double count = *record.count;
            inside += count >= forecast->wasps.low && count <= forecast->wasps.high ? 1 : 0;
            below += count < forecast->wasps.middle ? 1 : 0;
            ++all;
            learner.add(record);
        }
    }
    CAPTURE(inside, below, all);
    CHECK(inside >= 0.72 * all);
    CHECK(inside <= 0.88 * all);
    CHECK(below >= 0.40 * all);
    CHECK(below <= 0.60 * all);
}

TEST_CASE("Learning, FindsTheCrewThatCatchesMore")
{
    Random random{12};
    std::vector<CatchCase> records;
    for (int i = 0; i < 300; ++i) {
        auto record = bare(random);
        record.nest.taxon = "VGER";
        record.method = "hand";
        const nature::Candidate only{table().find("VGER"), 1};
        const double workers = season_of_place(only)
                                   .on(nature::season_day(record.day, kPlace.lat, 2025))
                                   .workers.middle;
        record.count = static_cast<int>(workers * (record.crew == "North" ? 0.75 : 0.3) *
                                        std::exp(random.normal(0, 0.3)));
        record.mass = Grams{*record.count * 0.090 * 0.97};
        records.push_back(record);
    }
    const auto learned = learn(records, table());
    const auto north = learned.catch_share("VGER", NestKind::Void, "hand", "North");
    const auto south = learned.catch_share("VGER", NestKind::Void, "hand", "South");
    CHECK(north.middle > south.middle + 0.15);
    // The table says 74.1 mg; the book's wasps weigh 90.
    CHECK(learned.mass_mg("VGER")->middle == Approx(90).epsilon(0.02));
    CHECK(learned.records_of("VGER") == 300);
}

TEST_CASE("Learning, TheOrderOfRecordsDoesNotMatter")
{
    Random random{13};
    auto records = world(random, 60);
    records[7].count = *records[7].count * 300;  // an outlier among them
    records[9].method = "";
    const auto forward = learn(records, table());
    std::reverse(records.begin(), records.end());
    const auto backward = learn(records, table());
    CHECK(forward.outliers() == 1);
    CHECK(backward.outliers() == 1);
    for (const auto* taxon : kTaxa) {
        CHECK(forward.level(taxon).middle == Approx(backward.level(taxon).middle).epsilon(1e-9));
        CHECK(forward.mass_mg(taxon)->high == Approx(backward.mass_mg(taxon)->high).epsilon(1e-9));
        for (const auto* method : kMethods) {
            CHECK(forward.catch_share(taxon, NestKind::Void, method, "North").low ==
                  Approx(backward.catch_share(taxon, NestKind::Void, method, "North").low)
                      .epsilon(1e-9));
        }
    }
}

TEST_CASE("Learning, LeavesOutMalesPoisonAndWhatItCannotRead")
{
    Random random{14};
    auto records = world(random, 5);
    records[0].males = true;
    records[1].nest.insecticide = true;
    records[2].nest.taxon = "";
    records[3].count.reset();
    records[3].mass.reset();
    const auto learned = learn(records, table());
    CHECK(learned.records() == 1);
    CHECK(learned.left_out().size() == 4);
    CHECK(learned.left_out().at("males") == 1);
    CHECK(learned.left_out().at("insecticide was used") == 1);
    const auto only = learn(std::span{records}.subspan(4), table());
    CHECK(only.level("VGER") == learned.level("VGER"));
    records[4].day = Day{std::chrono::year{2025} / 1 / 15};
    CHECK(learn(std::span{records}.subspan(4), table())
              .left_out()
              .contains("no workers expected on that day"));
}

TEST_CASE("Learning, MoreRecordsMakeItNarrower")
{
    Random random{15};
    const auto records = world(random, 400);
    const auto width = [&](std::size_t count) {
        const auto level = learn(std::span{records}.first(count), table()).level("VGER");
        return std::log(level.high / level.low);
    };
    CHECK(width(400) < width(10));
    CHECK(width(400) > 0);
}

TEST_CASE("Learning, SpreadsSeenInTheBookReplaceGuessedOnes")
{
    // Catches that all lie close to what is expected: the guessed spreads were too wide.
    Random random{5};
    Learner tight{table()};
    Learner loose{table()};
    const double untouched = Learner{table()}.scale();
    CHECK(untouched == 1);
    for (int i = 0; i < 80; ++i) {
        auto record = bare(random);
        record.count = 1;  // a forecast is asked of a record that has one
        const auto middle = tight.forecast(record)->wasps.middle;
        record.count = std::max(1, static_cast<int>(middle * std::exp(random.normal(0, 0.2))));
        tight.add(record);
        record.count = std::max(1, static_cast<int>(middle * std::exp(random.normal(0, 1.4))));
        loose.add(record);
    }
    CHECK(tight.scale() < 0.5);
    CHECK(loose.scale() > 1.3);
    auto next = bare(random);
    next.count = 1;
    const auto of_tight = tight.forecast(next)->wasps;
    const auto of_loose = loose.forecast(next)->wasps;
    CHECK(of_tight.high / of_tight.low < of_loose.high / of_loose.low);
}

TEST_CASE("Learning, BroodCollectedLaterTellsTheLevelOfColoniesAndNotTheShareCaught")
{
    Random random{6};
    Learner learner{table()};
    Learner without{table()};
    for (int i = 0; i < 40; ++i) {
        auto record = bare(random);
        record.nest.taxon = "VGER";
        record.taxon.clear();
        record.count = 1;
        record.count = static_cast<int>(Learner{table()}.forecast(record)->wasps.middle);
        learner.add(record);
        without.add(record);
        record.brood = true;
        record.count = 6000;  // far more than the calendar's sealed cells give
        learner.add(record);
    }
    CHECK(learner.level("VGER").middle > 1.3 * without.level("VGER").middle);
    CHECK(learner.catch_share("VGER", NestKind::Void).middle <
          without.catch_share("VGER", NestKind::Void).middle);
}
