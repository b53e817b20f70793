// source: SciPy (Debian: python3-scipy): chi2.ppf, multivariate_normal, integrate.quad,
//         optimize.linear_sum_assignment.
// source: GeographicLib, geodesic on the WGS 84 ellipsoid.
#include <fmt/format.h>

#include <GeographicLib/Geodesic.hpp>
#include <cmath>
#include <fstream>
#include <sstream>

#include "geocore/base/random.hpp"
#include "planner/partners/assignment.hpp"
#include "planner/partners/likeness.hpp"
#include "planner/partners/partner_figures.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/shell.hpp"
#include "tests/support/witness.hpp"

using namespace nestround;
using namespace nestround::partners;

namespace {

std::vector<double> witness(const std::string& request)
{
    return testing::ask_witness("partners/partners_witness.py", request);
}

double upto(Random& dice, double most) { return most * double(dice.below(1'000'000)) / 1e6; }

}  // namespace

TEST_CASE("PartnersPublished, TheCircleOf95PerCentIsThatOfChiSquare")
{
    CHECK(partner_figure("place", "deviations_in_uncertainty") ==
          Approx(witness("circle").at(0)).epsilon(5e-5));
}

TEST_CASE("PartnersPublished, DensitiesOfDisplacementAreThoseOfSciPy")
{
    Random dice{3};
    std::string request;
    std::vector<double> ours;
    const double least = partner_figure("place", "least_deviation");
    for (int i = 0; i < 60; ++i) {
        SentNest sent;
        OwnNest own;
        own.uncertainty = Metres{5 + upto(dice, 200)};
        const bool square = i % 2 == 1;
        const double size = square ? 100 + upto(dice, 1000) : 5 + upto(dice, 300);
        const double reach = square ? 1.3 * size : 2.0 * size;
        const double east = upto(dice, 2 * reach) - reach;
        const double north = upto(dice, 2 * reach) - reach;
        sent.form = square ? PlaceForm::Cell : PlaceForm::Point;
        sent.uncertainty = Metres{square ? size * std::sqrt(2.0) : size};
        ours.push_back(displacement_density(sent, own, east, north));
        request += fmt::format("{} {} {} {} {} {}\n", square ? "square" : "normal", size,
                               own.uncertainty->value(), least, east, north);
    }
    const auto theirs = witness(request);
    REQUIRE(theirs.size() == ours.size());
    for (std::size_t i = 0; i < ours.size(); ++i) {
        CAPTURE(i);
        CHECK(ours[i] == Approx(theirs[i]).epsilon(1e-6).margin(1e-15));
    }
}

TEST_CASE("PartnersPublished, AssignmentsAreAsGoodAsSciPys")
{
    Random dice{11};
    std::string request;
    std::vector<double> ours;
    for (const std::size_t size : {3U, 10U, 40U, 150U}) {
        std::vector<Pair> pairs;
        for (std::size_t row = 0; row < size; ++row) {
            for (std::size_t column = 0; column < size; ++column) {
                if (dice.below(size) < 8) {
                    pairs.push_back({row, column, upto(dice, 12) - 2});
                }
            }
        }
        const auto made = assign(size, size, pairs);
        double sum = 0;
        request += fmt::format("assign {} {} {}\n", size, size, pairs.size());
        for (const auto& pair : pairs) {
            sum += made[pair.row] == pair.column ? pair.gain : 0;
            request += fmt::format("{} {} {}\n", pair.row, pair.column, pair.gain);
        }
        ours.push_back(sum);
    }
    const auto theirs = witness(request);
    REQUIRE(theirs.size() == ours.size());
    for (std::size_t i = 0; i < ours.size(); ++i) {
        CHECK(ours[i] == Approx(theirs[i]).epsilon(1e-9));
    }
}

TEST_CASE("PartnersPublished, DistancesAreThoseOfGeographicLib")
{
    Random dice{5};
    const auto& earth = GeographicLib::Geodesic::WGS84();
    for (int i = 0; i < 50; ++i) {
        SentNest sent;
        sent.place = {Longitude{-77 + upto(dice, 1)}, Latitude{41 + upto(dice, 1)}};
        sent.uncertainty = Metres{50};
        OwnNest own;
        own.place = {Longitude{sent.place.lon.value() + upto(dice, 4e-4)},
                     Latitude{sent.place.lat.value() + upto(dice, 4e-4)}};
        own.season = 2026;
        const auto found = Neighbours{{own}, nature::standard_taxa()}.candidates(sent);
        double metres = 0;
        earth.Inverse(sent.place.lat.value(), sent.place.lon.value(), own.place.lat.value(),
                      own.place.lon.value(), metres);
        REQUIRE(found.size() == 1);
        CHECK(found.front().evidence.apart.value() == Approx(metres).margin(1e-6));
    }
}
