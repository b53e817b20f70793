/// \file route_master.hpp
/// \brief Which parts of known tours are worth most together, and the price of each thing they use.
///
/// Purpose:  the inside of the bound by routes: a linear programme that grows by columns. Rows are
///           things of which so much is there (jobs, vehicles, shared loads), columns are tours.
/// Units:    values in a unit of the caller's, near 1; shares without unit.
/// Range:    some hundred rows, some thousand columns.
/// Accuracy: floating point. Prices may be slightly off: a bound made of them must be worked out
///           in integers. Right-hand sides are moved by some millionths, so that the method does
///           not go round in circles.
/// Cost:     rows^2 and the entries of all columns, a pivot.
/// Errors:   none; solve() stops when the pivots allowed are used up.
/// Source:   own; the revised simplex method after G. B. Dantzig, W. Orchard-Hays, "The product
///           form for the inverse in the simplex method", Math. Tables Aids Comput. 8 (1954).
#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace nestround::tour {

class RouteMaster {
public:
    struct Entry {
        int row;
        double amount;
    };

    /// At most `amount`, or exactly so much; not negative. All rows come before the first column.
    void add_row(double amount, bool exactly);
    void add_column(double worth, std::vector<Entry> entries);

    /// Goes on from the last solution; returns the pivots made.
    std::size_t solve(std::size_t most_pivots);

    /// By row; at least 0 for rows with "at most".
    [[nodiscard]] const std::vector<double>& prices() const { return prices_; }
    [[nodiscard]] double value() const;
    [[nodiscard]] std::size_t columns() const { return columns_.size(); }

private:
    struct Column {
        double worth;
        std::vector<Entry> entries;
    };

    [[nodiscard]] double gain(const Column& column) const;
    void begin();
    void find_prices();
    bool pivot(int entering);
    void renew();

    std::vector<double> amounts_;
    std::vector<bool> exactly_;
    std::vector<Column> columns_;               ///< the first rows are what each row leaves unused
    std::vector<std::vector<double>> inverse_;  ///< of the basis, by row
    std::vector<int> basis_;                    ///< the column of each row
    std::vector<bool> in_basis_;
    std::vector<double> level_;  ///< of the basic columns
    std::vector<double> prices_;
    std::vector<double> direction_;
    std::size_t since_renewed_ = 0;
};

}  // namespace nestround::tour
