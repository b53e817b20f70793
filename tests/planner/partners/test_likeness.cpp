// Place, season and wasp of a pair, each against the other; figures worked by hand.
#include "planner/partners/likeness.hpp"

#include <cmath>
#include <numbers>

#include "geocore/place/geodesic.hpp"
#include "planner/partners/partner_figures.hpp"
#include "planner/partners/row_key.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::partners;

namespace {

const LonLat kHome{Longitude{-77.0}, Latitude{41.0}};

Day day(const char* text) { return value_or_throw(parse_day(text)); }

LonLat at(double east, double north)
{
    const double apart = std::hypot(east, north);
    return place::geodesic_destination(kHome, std::atan2(east, north) * 180 / std::numbers::pi,
                                       Metres{apart});
}

OwnNest own(double east, double north, const char* taxon = "VMAC", int season = 2026)
{
    OwnNest nest;
    nest.place = at(east, north);
    nest.uncertainty = Metres{20};
    nest.taxon = taxon;
    nest.season = season;
    return nest;
}

SentNest sent(const char* name = "Vespula maculifrons", const char* on = "2026-08-04")
{
    SentNest nest;
    nest.place = kHome;
    nest.uncertainty = Metres{30};
    nest.name = read_name(nature::standard_taxa(), name);
    nest.first = nest.last = day(on);
    return nest;
}

std::vector<Candidate> among(std::vector<OwnNest> own, const SentNest& one)
{
    return Neighbours{std::move(own), nature::standard_taxa()}.candidates(one);
}

double weight_of_season(const OwnNest& ours, const SentNest& theirs)
{
    const auto found = among({ours}, theirs);
    REQUIRE(found.size() == 1);
    return found.front().evidence.season;
}

}  // namespace

TEST_CASE("Likeness, TheNearestOfTheSameWaspAndSeasonIsLikeliest")
{
    const auto found = among({own(300, 0), own(10, 5), own(40, 0)}, sent());
    REQUIRE(found.size() >= 2);
    CHECK(found[0].own == 1);
    CHECK(found[0].chance > 0.9);
    CHECK(found[1].own == 2);
    CHECK(words_of(found[0].evidence) ==
          "11 m apart, 95 % within 44 m; both 2026; both Vespula maculifrons");
    for (const auto& one : found) {
        CHECK(one.own != 0);
    }
}

TEST_CASE("Likeness, ChancesAndTheUnknownNestAddUpToOne")
{
    const auto found = among({own(10, 0), own(-20, 0), own(0, 30)}, sent());
    double sum = 0;
    double odds = 0;
    for (const auto& one : found) {
        sum += one.chance;
        odds += std::exp(one.evidence.weight());
    }
    CHECK(found.size() == 3);
    CHECK(sum < 1);
    CHECK(sum == Approx(odds / (1 + odds)));
}

TEST_CASE("Likeness, ThePlaceCountsAgainstHowCrowdedItIs")
{
    // One nest of ours within 2 km is below the least density, 0.5 a km2; sigma by hand:
    // (30^2 + 20^2) / 2.4477^2 + 10^2 = 316.99 m2.
    const auto alone = among({own(0, 0)}, sent());
    const double square = (900.0 + 400.0) / (2.4477 * 2.4477) + 100;
    CHECK(alone.front().evidence.place ==
          Approx(std::log(1 / (2 * std::numbers::pi * square) / 0.5e-6)));
    std::vector<OwnNest> crowd{own(0, 0)};
    for (int i = 1; i < 100; ++i) {
        crowd.push_back(own(-1000 + 20 * i, 700));
    }
    const auto crowded = among(crowd, sent());
    const double density = 100 / (std::numbers::pi * 4e6);
    CHECK(crowded.front().evidence.place ==
          Approx(std::log(1 / (2 * std::numbers::pi * square) / density)));
    CHECK(crowded.front().chance < alone.front().chance);
}

TEST_CASE("Likeness, ANestLivesOneSeason")
{
    CHECK(weight_of_season(own(0, 0), sent()) == 0);
    CHECK(weight_of_season(own(0, 0, "VMAC", 2025), sent()) == Approx(std::log(0.01)));
    auto year_unknown = sent();
    year_unknown.first.reset();
    year_unknown.last.reset();
    CHECK(weight_of_season(own(0, 0), year_unknown) == 0);  // ours are all of one season
    auto two_years = sent();
    two_years.first = day("2025-06-01");
    CHECK(weight_of_season(own(0, 0), two_years) == Approx(-std::log(2)));
    auto by_season = sent();
    by_season.season = 2025;  // what they call it goes before the date
    CHECK(weight_of_season(own(0, 0), by_season) == Approx(std::log(0.01)));
    auto taken = own(0, 0);
    taken.gone = day("2026-07-01");
    CHECK(weight_of_season(taken, sent()) == Approx(std::log(0.2)));
    taken.gone = day("2026-07-30");
    CHECK(weight_of_season(taken, sent()) == 0);
}

TEST_CASE("Likeness, AnotherNameNeverSpeaksForAPair")
{
    const std::vector<OwnNest> ours{own(0, 0), own(900, 0), own(0, 900, "VGER"),
                                    own(900, 900, "PFUS")};
    const auto taxon = [&](const char* name) {
        return among(ours, sent(name)).front().evidence.taxon;
    };
    const double all = 4 + 0.5 * 19;
    CHECK(taxon("Vespula maculifrons") == Approx(std::log(0.9 * all / 2.5)));
    CHECK(taxon("Vespula germanica") < 0);
    CHECK(taxon("Vespula") > 0);
    CHECK(taxon("Vespula") < taxon("Vespula maculifrons"));
    CHECK(taxon("Polistes fuscatus") < taxon("Vespula germanica"));
    CHECK(taxon("Apis mellifera") < 0);
    CHECK(taxon("unknown") == 0);
}

TEST_CASE("Likeness, ASquareHoldsItsNestsAlike")
{
    auto square = sent();
    square.form = PlaceForm::Cell;
    square.uncertainty = Metres{1414.2};  // 1000 m from the middle to each side
    const auto here = own(0, 0);
    const double middle = displacement_density(square, here, 0, 0);
    CHECK(middle == Approx(1 / 4e6).epsilon(1e-4));
    CHECK(displacement_density(square, here, 900, -900) == Approx(middle).epsilon(1e-3));
    CHECK(displacement_density(square, here, 1000, 0) == Approx(middle / 2).epsilon(1e-3));
    CHECK(displacement_density(square, here, 1200, 0) < middle / 1e6);
}

TEST_CASE("Likeness, CountsAreComparedByTheSquare")
{
    auto square = sent();
    square.form = PlaceForm::Cell;
    square.uncertainty = Metres{1414.2};
    const Neighbours ours{
        {own(0, 0), own(900, 900), own(1100, 0), own(0, 10, "VGER"), own(0, 20, "VMAC", 2025)},
        nature::standard_taxa()};
    CHECK(ours.count_in(square) == 2);
    square.name = read_name(nature::standard_taxa(), "Vespula");
    CHECK(ours.count_in(square) == 3);
}

TEST_CASE("Likeness, WorksAcrossTheAntimeridianAndWithoutAnyNest")
{
    CHECK(among({}, sent()).empty());
    auto theirs = sent();
    theirs.place = {Longitude{179.9999}, Latitude{-17}};
    auto ours = own(0, 0);
    ours.place = {Longitude{-179.9999}, Latitude{-17}};
    const auto found = among({ours}, theirs);
    REQUIRE(found.size() == 1);
    CHECK(found.front().evidence.apart.value() == Approx(21.3).margin(0.2));
}

TEST_CASE("Likeness, EveryFigureHasItsSourceAndMark")
{
    CHECK(partner_figures().size() == 16);
    for (const auto& row : partner_figures()) {
        CHECK_FALSE(row.source.empty());
        CHECK(row.middle() > 0);
    }
}

TEST_CASE("RowKey, TheSamePartsGiveTheSameKeyAndOthersAnother")
{
    const std::vector<std::string> one{"county", "a1"};
    const std::vector<std::string> shifted{"countya", "1"};
    CHECK(key_of(one) == key_of(one));
    CHECK(key_of(one) != key_of(shifted));
    const auto text = key_of(one).text();
    CHECK(text.size() == 36);
    CHECK(text[14] == '8');
    CHECK(Uuid::parse(text).value() == key_of(one));
}
