// How many of theirs we know is learned from the pairs.
#include <cmath>

#include "planner/partners/pairing.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using partners::Pair;
using partners::pair_all;

TEST_CASE("Pairing, TheShareKnownIsLearnedAndSharpensTheChances")
{
    // 100 rows, each with one nest at even odds: alone they would be in doubt for ever.
    std::vector<Pair> all;
    std::vector<Pair> few;
    for (std::size_t i = 0; i < 100; ++i) {
        all.push_back({i, i, 3});
        if (i < 10) {
            few.push_back({i, i, 3});
        }
    }
    const auto many = pair_all(100, 100, all);
    CHECK(many.known > 0.95);
    CHECK(many.chance[0] > 1 / (1 + std::exp(-3)));
    const auto rare = pair_all(100, 100, few);
    CHECK(rare.known < 0.2);
    CHECK(rare.chance[0] < many.chance[0]);
    CHECK(rare.column[0] == 0);
    CHECK_FALSE(rare.column[50]);
    CHECK(rare.chance[50] == 0);
}

TEST_CASE("Pairing, AFewRowsKeepTheSharesOfTheTable")
{
    const auto one = pair_all(1, 1, std::vector<Pair>{{0, 0, 0}});
    CHECK(one.known == Approx(0.5).margin(0.01));
    CHECK(one.chance.size() == 1);
    const auto none = pair_all(0, 0, {});
    CHECK(none.known == Approx(0.5).margin(0.01));
    CHECK(none.column.empty());
}
