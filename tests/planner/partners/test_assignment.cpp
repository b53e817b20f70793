// The best pairs together, against trying all of them.
#include <algorithm>
#include <numeric>

#include "geocore/base/random.hpp"
#include "planner/partners/assignment.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using partners::assign;
using partners::Pair;

namespace {

/// The greatest sum by trying every row's choices.
double best_by_trying(std::size_t row, std::size_t rows, const std::vector<Pair>& pairs,
                      std::vector<bool>& taken)
{
    if (row == rows) {
        return 0;
    }
    double best = best_by_trying(row + 1, rows, pairs, taken);
    for (const auto& pair : pairs) {
        if (pair.row == row && !taken[pair.column] && pair.gain > 0) {
            taken[pair.column] = true;
            best = std::max(best, pair.gain + best_by_trying(row + 1, rows, pairs, taken));
            taken[pair.column] = false;
        }
    }
    return best;
}

double gain_of(const std::vector<std::optional<std::size_t>>& made, const std::vector<Pair>& pairs)
{
    double sum = 0;
    for (const auto& pair : pairs) {
        sum += made[pair.row] == pair.column ? pair.gain : 0;
    }
    return sum;
}

}  // namespace

TEST_CASE("Assignment, TheBestForOneGivesWayToTheBestForAll")
{
    // Greedy would take (0, 0) for 5 and leave row 1 with nothing: 5 against 4 + 4.
    const std::vector<Pair> pairs{{0, 0, 5}, {0, 1, 4}, {1, 0, 4}};
    const auto made = assign(2, 2, pairs);
    CHECK(made[0] == 1);
    CHECK(made[1] == 0);
}

TEST_CASE("Assignment, NobodyIsPairedForNothing")
{
    const std::vector<Pair> pairs{{0, 0, -1}, {1, 0, 0}};
    const auto made = assign(3, 1, pairs);
    CHECK_FALSE(made[0]);
    CHECK_FALSE(made[1]);
    CHECK_FALSE(made[2]);
    CHECK(assign(0, 0, {}).empty());
}

TEST_CASE("Assignment, IsTheBestOfAllOnRandomPairs")
{
    Random dice{7};
    for (int round = 0; round < 300; ++round) {
        const std::size_t rows = 1 + dice.below(6);
        const std::size_t columns = 1 + dice.below(6);
        std::vector<Pair> pairs;
        for (std::size_t row = 0; row < rows; ++row) {
            for (std::size_t column = 0; column < columns; ++column) {
                if (dice.below(3) > 0) {
                    pairs.push_back({row, column, double(dice.below(2000)) / 100 - 4});
                }
            }
        }
        const auto made = assign(rows, columns, pairs);
        std::vector<bool> taken(columns, false);
        std::vector<int> used(columns, 0);
        for (const auto& column : made) {
            if (column) {
                ++used[*column];
            }
        }
        CHECK(std::all_of(used.begin(), used.end(), [](int n) { return n <= 1; }));
        CHECK(gain_of(made, pairs) == Approx(best_by_trying(0, rows, pairs, taken)));
    }
}
