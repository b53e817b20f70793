#include "planner/partners/pairing.hpp"

#include <algorithm>
#include <cmath>
#include <numeric>

#include "planner/partners/partner_figures.hpp"

namespace nestround::partners {

namespace {

constexpr int kMostRounds = 50;
constexpr double kStill = 1e-4;
constexpr double kLeastKnown = 0.02;

double log_odds(double share) { return std::log(share / (1 - share)); }

}  // namespace

Pairing pair_all(std::size_t rows, std::size_t columns, std::span<const Pair> pairs)
{
    const double prior = partner_figure("ground", "share_known");
    const double rows_of_prior = partner_figure("ground", "rows_of_prior");
    std::vector<Pair> shifted{pairs.begin(), pairs.end()};
    std::vector<double> chances;
    Pairing out;
    out.known = prior;
    for (int round = 0; round < kMostRounds; ++round) {
        for (std::size_t k = 0; k < pairs.size(); ++k) {
            shifted[k].gain = pairs[k].gain + log_odds(out.known) - log_odds(prior);
        }
        chances = pair_chances(rows, columns, shifted);
        const double paired = std::accumulate(chances.begin(), chances.end(), 0.0);
        const double next = std::clamp(
            (paired + rows_of_prior * prior) / (static_cast<double>(rows) + rows_of_prior),
            kLeastKnown, 1 - kLeastKnown);
        const double moved = std::abs(next - out.known);
        if (moved < kStill) {
            break;  // the chances are those of this share
        }
        out.known = next;
    }
    out.column = assign(rows, columns, shifted);
    out.chance.assign(rows, 0);
    for (std::size_t k = 0; k < pairs.size(); ++k) {
        if (out.column[pairs[k].row] == pairs[k].column) {
            out.chance[pairs[k].row] = chances[k];
        }
    }
    return out;
}

}  // namespace nestround::partners
