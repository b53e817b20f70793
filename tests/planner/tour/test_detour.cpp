#include "planner/tour/detour.hpp"

#include <algorithm>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::tour;

TEST_CASE("Detour, IsWhatTheLongerTourCostsMore")
{
    Random random{5};
    for (int round = 0; round < 200; ++round) {
        constexpr std::size_t n = 8;
        roads::TravelMatrix matrix;
        matrix.rows = matrix.columns = n;
        for (std::size_t i = 0; i < n * n; ++i) {
            const bool cut = random.chance(0.05);
            matrix.duration_s.push_back(cut ? roads::kUnreachable
                                            : static_cast<std::uint32_t>(random.below(3600)));
            matrix.length_m.push_back(cut ? roads::kUnreachable
                                          : static_cast<std::uint32_t>(random.below(50000)));
        }
        const std::vector<std::size_t> order{0, 3, 1, 5, 6, 0};
        const std::size_t stop = 7;
        const auto drive = [&](const std::vector<std::size_t>& stops) {
            std::pair<std::int64_t, std::int64_t> sum{0, 0};
            for (std::size_t i = 1; i < stops.size(); ++i) {
                sum.first += matrix.duration_s[stops[i - 1] * n + stops[i]];
                sum.second += matrix.length_m[stops[i - 1] * n + stops[i]];
            }
            return sum;
        };
        const auto legs_open = [&](std::size_t i) {
            const auto open = [&](std::size_t a, std::size_t b) {
                return matrix.duration_s[a * n + b] != roads::kUnreachable;
            };
            return open(order[i], stop) && open(stop, order[i + 1]) && open(order[i], order[i + 1]);
        };
        const auto found = detours(matrix, order, stop);
        std::size_t possible = 0;
        for (std::size_t i = 0; i + 1 < order.size(); ++i) {
            possible += legs_open(i) ? 1 : 0;
        }
        REQUIRE(found.size() == possible);
        for (const auto& detour : found) {
            auto longer = order;
            longer.insert(longer.begin() + static_cast<std::ptrdiff_t>(detour.after) + 1, stop);
            CHECK(detour.seconds == drive(longer).first - drive(order).first);
            CHECK(detour.metres == drive(longer).second - drive(order).second);
            CHECK(detour.seconds >= found.front().seconds);
        }
    }
    CHECK(detours({1, 1, {0}, {0}}, std::vector<std::size_t>{0}, 0).empty());
}
