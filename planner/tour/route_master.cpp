#include "planner/tour/route_master.hpp"

#include <algorithm>
#include <cmath>

namespace nestround::tour {

namespace {

constexpr double kSmall = 1e-9;
constexpr double kLeastPivot = 1e-7;
constexpr double kShift = 1e-6;     ///< of right-hand sides
constexpr double kUnwanted = -1e4;  ///< worth of leaving unused what must be used
constexpr std::size_t kRenewEvery = 100;

}  // namespace

void RouteMaster::add_row(double amount, bool exactly)
{
    // A different bit more of each, or less where it must be exact: then it stays within reach.
    const double bit = kShift * (1 + static_cast<double>(amounts_.size() * 37 % 101) / 101);
    amounts_.push_back(exactly ? amount : amount + bit);
    exactly_.push_back(exactly);
    columns_.push_back({exactly ? kUnwanted : 0.0, {{static_cast<int>(columns_.size()), 1.0}}});
}

void RouteMaster::add_column(double worth, std::vector<Entry> entries)
{
    if (basis_.empty()) {
        begin();
    }
    columns_.push_back({worth, std::move(entries)});
    in_basis_.push_back(false);
}

void RouteMaster::begin()
{
    const std::size_t rows = amounts_.size();
    inverse_.assign(rows, std::vector<double>(rows, 0.0));
    for (std::size_t i = 0; i < rows; ++i) {
        inverse_[i][i] = 1;
        basis_.push_back(static_cast<int>(i));
    }
    in_basis_.assign(rows, true);
    level_ = amounts_;
    direction_.assign(rows, 0.0);
    find_prices();
}

double RouteMaster::gain(const Column& column) const
{
    double gain = column.worth;
    for (const auto& entry : column.entries) {
        gain -= prices_[static_cast<std::size_t>(entry.row)] * entry.amount;
    }
    return gain;
}

double RouteMaster::value() const
{
    double sum = 0;
    for (std::size_t i = 0; i < basis_.size(); ++i) {
        sum += columns_[static_cast<std::size_t>(basis_[i])].worth * level_[i];
    }
    return sum;
}

void RouteMaster::find_prices()
{
    prices_.assign(amounts_.size(), 0.0);
    for (std::size_t i = 0; i < basis_.size(); ++i) {
        const double worth = columns_[static_cast<std::size_t>(basis_[i])].worth;
        if (worth == 0) {
            continue;
        }
        for (std::size_t k = 0; k < prices_.size(); ++k) {
            prices_[k] += worth * inverse_[i][k];
        }
    }
}

bool RouteMaster::pivot(int entering)
{
    const std::size_t rows = amounts_.size();
    const Column& column = columns_[static_cast<std::size_t>(entering)];
    for (std::size_t i = 0; i < rows; ++i) {
        double sum = 0;
        for (const auto& entry : column.entries) {
            sum += inverse_[i][static_cast<std::size_t>(entry.row)] * entry.amount;
        }
        direction_[i] = sum;
    }
    std::size_t leaving = rows;
    double least = 0;
    for (std::size_t i = 0; i < rows; ++i) {
        if (direction_[i] <= kLeastPivot) {
            continue;
        }
        const double ratio = std::max(0.0, level_[i]) / direction_[i];
        if (leaving == rows || ratio < least - kSmall ||
            (ratio <= least + kSmall && direction_[i] > direction_[leaving])) {
            leaving = i;
            least = ratio;
        }
    }
    if (leaving == rows) {
        return false;
    }
    for (std::size_t i = 0; i < rows; ++i) {
        level_[i] -= i == leaving ? 0 : least * direction_[i];
    }
    level_[leaving] = least;
    auto& row = inverse_[leaving];
    for (auto& each : row) {
        each /= direction_[leaving];
    }
    for (std::size_t i = 0; i < rows; ++i) {
        if (i == leaving || std::abs(direction_[i]) < 1e-14) {
            continue;
        }
        for (std::size_t k = 0; k < rows; ++k) {
            inverse_[i][k] -= direction_[i] * row[k];
        }
    }
    in_basis_[static_cast<std::size_t>(basis_[leaving])] = false;
    in_basis_[static_cast<std::size_t>(entering)] = true;
    basis_[leaving] = entering;
    return true;
}

/// Works the inverse out anew, so that rounding does not add up.
void RouteMaster::renew()
{
    const std::size_t rows = amounts_.size();
    std::vector<std::vector<double>> matrix(rows, std::vector<double>(2 * rows, 0.0));
    for (std::size_t i = 0; i < rows; ++i) {
        matrix[i][rows + i] = 1;
    }
    for (std::size_t c = 0; c < rows; ++c) {
        for (const auto& entry : columns_[static_cast<std::size_t>(basis_[c])].entries) {
            matrix[static_cast<std::size_t>(entry.row)][c] += entry.amount;
        }
    }
    for (std::size_t c = 0; c < rows; ++c) {
        std::size_t best = c;
        for (std::size_t i = c + 1; i < rows; ++i) {
            best = std::abs(matrix[i][c]) > std::abs(matrix[best][c]) ? i : best;
        }
        if (std::abs(matrix[best][c]) < kSmall) {
            return;  // the old one will do
        }
        std::swap(matrix[c], matrix[best]);
        const double by = matrix[c][c];
        for (auto& each : matrix[c]) {
            each /= by;
        }
        for (std::size_t i = 0; i < rows; ++i) {
            const double factor = matrix[i][c];
            if (i == c || factor == 0) {
                continue;
            }
            for (std::size_t k = c; k < 2 * rows; ++k) {
                matrix[i][k] -= factor * matrix[c][k];
            }
        }
    }
    for (std::size_t i = 0; i < rows; ++i) {
        level_[i] = 0;
        for (std::size_t k = 0; k < rows; ++k) {
            inverse_[i][k] = matrix[i][rows + k];
            level_[i] += inverse_[i][k] * amounts_[k];
        }
    }
}

std::size_t RouteMaster::solve(std::size_t most_pivots)
{
    if (basis_.empty()) {
        begin();
    }
    std::size_t pivots = 0;
    for (; pivots < most_pivots; ++pivots) {
        find_prices();
        int entering = -1;
        double most = kSmall;
        for (std::size_t c = 0; c < columns_.size(); ++c) {
            // What a row must not leave unused does not come back.
            if (in_basis_[c] || (c < exactly_.size() && exactly_[c])) {
                continue;
            }
            const double gained = gain(columns_[c]);
            if (gained > most) {
                most = gained;
                entering = static_cast<int>(c);
            }
        }
        if (entering < 0 || !pivot(entering)) {
            break;
        }
        if (++since_renewed_ >= kRenewEvery) {
            renew();
            since_renewed_ = 0;
        }
    }
    find_prices();
    for (std::size_t i = 0; i < prices_.size(); ++i) {
        prices_[i] = exactly_[i] ? prices_[i] : std::max(0.0, prices_[i]);
    }
    return pivots;
}

}  // namespace nestround::tour
