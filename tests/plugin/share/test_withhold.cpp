#include "plugin/share/withhold.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <map>
#include <tuple>

#include "geocore/base/random.hpp"
#include "geocore/place/geodesic.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::share;

namespace {

KnownNest nest_at(double lon, double lat)
{
    KnownNest nest;
    nest.key = "0191-key";
    nest.taxon = "VMAC";
    nest.season = 2026;
    nest.kind = NestKind::Ground;
    nest.place = {Longitude{lon}, Latitude{lat}};
    nest.height = Metres{3.37};
    nest.received = *parse_day("2026-08-04");
    nest.state = CallState::Taken;
    nest.caught = Grams{212};
    return nest;
}

std::vector<KnownNest> many(int count, std::uint64_t seed)
{
    Random random{seed};
    std::vector<KnownNest> nests;
    for (int i = 0; i < count; ++i) {
        auto nest = nest_at(random.uniform(-77.1, -77.0), random.uniform(41.1, 41.2));
        nest.key += std::to_string(i);
        nest.site = "place" + std::to_string(i);
        nest.taxon = random.below(3) == 0 ? "VGER" : "VMAC";
        nest.season = 2024 + static_cast<int>(random.below(3));
        nests.push_back(nest);
    }
    return nests;
}

app::PartnerSettings terms(app::PrivacyTier tier, double grid = 2000, int at_least = 5)
{
    app::PartnerSettings settings;
    settings.has_tier = true;
    settings.tier = tier;
    settings.grid_m = grid;
    settings.at_least = at_least;
    return settings;
}

using Key = std::tuple<std::string, std::string, int>;

std::map<Key, int> counts_of(const Shared& shared)
{
    std::map<Key, int> out;
    for (const auto& one : shared.counts) {
        out[{one.square.name, one.taxon, one.season}] = one.nests;
    }
    return out;
}

}  // namespace

TEST_CASE("Withhold, ASquareHoldsItsPlaceAndItsUncertaintyReachesEveryCornerOfIt")
{
    Random random{3};
    for (int i = 0; i < 2000; ++i) {
        const LonLat at{Longitude{random.uniform(-180, 180)}, Latitude{random.uniform(-89, 89)}};
        const Metres side{random.uniform(100, 50'000)};
        const auto square = square_of(at, side);
        CAPTURE(at.lon.value(), at.lat.value(), side.value());
        CHECK(square.west <= at.lon);
        CHECK(at.lon <= square.east);
        CHECK(square.south <= at.lat);
        CHECK(at.lat <= square.north);
        CHECK(place::geodesic_distance(at, square.middle) <= square.uncertainty);
        // The same square from anywhere in it.
        CHECK(square_of(square.middle, side).name == square.name);
    }
    // About as wide as high, where there is room around the earth for it.
    const auto square = square_of({Longitude{-77}, Latitude{41}}, Metres{2000});
    CHECK(square.uncertainty.value() == Approx(1414).margin(12));
}

TEST_CASE("Withhold, TheGridTierMovesPlacesAndCoarsensDaysAndSaysSo")
{
    const std::vector nests{nest_at(-77.01234567, 41.12345678)};
    const auto shared = withhold(nests, "county", terms(app::PrivacyTier::Grid));
    REQUIRE(shared.nests.size() == 1);
    const auto& one = shared.nests.front();
    CHECK(one.place.lon != nests.front().place.lon);
    CHECK(one.place.lat != nests.front().place.lat);
    CHECK(place::geodesic_distance(one.place, nests.front().place) <= *one.uncertainty);
    CHECK(date_text(shared, one) == "2026-08");
    CHECK(std::chrono::year_month_day{*one.date}.day() == std::chrono::day{1});
    CHECK(one.height == Metres{3});
    CHECK_FALSE(one.caught);
    CHECK(shared.generalised.find("2000 m") != std::string::npos);
    // What the book is not sure of is added: the nest may lie outside its square.
    auto unsure = nests;
    unsure.front().place_uncertainty = Metres{300};
    const auto wider = withhold(unsure, "county", terms(app::PrivacyTier::Grid));
    CHECK(wider.nests.front().uncertainty->value() == Approx(one.uncertainty->value() + 300));
}

TEST_CASE("Withhold, NestsOfASquareCannotBeToldApartByPlace")
{
    auto a = nest_at(-77.0101, 41.1201);
    auto b = nest_at(-77.0102, 41.1203);
    b.key = "another";
    const std::vector nests{a, b};
    const auto shared = withhold(nests, "county", terms(app::PrivacyTier::Grid, 5000));
    CHECK(shared.nests[0].place == shared.nests[1].place);
    CHECK(shared.nests[0].id != shared.nests[1].id);
}

TEST_CASE("Withhold, IdsStayWithAPartnerAndDifferBetweenPartners")
{
    const std::vector nests{nest_at(-77, 41)};
    const auto exact = terms(app::PrivacyTier::Exact);
    const auto first = withhold(nests, "county", exact).nests.front().id;
    CHECK(withhold(nests, "county", exact).nests.front().id == first);
    CHECK(withhold(nests, "museum", exact).nests.front().id != first);
    CHECK(id_text(withhold(nests, "county", exact).nests.front()).size() == 16);
}

TEST_CASE("Withhold, ACellsCountIsNeverBelowWhatWasAgreedAndNothingIsSummed")
{
    const auto nests = many(600, 1);
    for (const int at_least : {2, 5, 11}) {
        const auto shared =
            withhold(nests, "county", terms(app::PrivacyTier::Cells, 2000, at_least));
        CHECK(shared.nests.empty());
        REQUIRE_FALSE(shared.counts.empty());
        int given = 0;
        for (const auto& one : shared.counts) {
            CHECK(one.houses >= at_least);
            CHECK(one.nests >= one.houses);
            given += one.nests;
        }
        CHECK(given + shared.held_back == shared.considered);
        CHECK(shared.considered == 600);
    }
    const auto none = withhold(nests, "county", terms(app::PrivacyTier::Cells, 2000, 601));
    CHECK(none.counts.empty());
    CHECK(none.held_back == 600);
}

TEST_CASE("Withhold, ManyNestsOfOneHouseAreNoCount")
{
    const auto settings = terms(app::PrivacyTier::Cells, 2000, 5);
    const auto given = [&](double apart, bool one_site) {
        std::vector<KnownNest> nests;
        for (int i = 0; i < 5; ++i) {
            auto nest = nest_at(-77.0101 + i * apart, 41.1201);
            nest.key += std::to_string(i);
            nest.site = one_site ? "the farm" : "place" + std::to_string(i);
            nests.push_back(nest);
        }
        return withhold(nests, "county", settings).counts.size();
    };
    CHECK(given(0.001, false) == 1);  // five houses
    CHECK(given(0.001, true) == 0);   // a farm that the book has as one place
    CHECK(given(1e-6, false) == 0);   // a house that the book has as five
}

TEST_CASE("Withhold, SharesOfOtherSeasonsOrSpeciesCannotBeSubtracted")
{
    const auto nests = many(600, 2);
    const auto settings = terms(app::PrivacyTier::Cells, 2000, 5);
    const auto all = counts_of(withhold(nests, "county", settings));
    for (const auto& keep : {std::function<bool(const KnownNest&)>{
                                 [](const KnownNest& one) { return one.season == 2025; }},
                             std::function<bool(const KnownNest&)>{
                                 [](const KnownNest& one) { return one.taxon == "VGER"; }}}) {
        std::vector<KnownNest> some;
        std::copy_if(nests.begin(), nests.end(), std::back_inserter(some), keep);
        // The smaller share holds rows of the larger one, each with the same count.
        for (const auto& [key, count] : counts_of(withhold(some, "county", settings))) {
            REQUIRE(all.count(key) == 1);
            CHECK(all.at(key) == count);
        }
    }
}
