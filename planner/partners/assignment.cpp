#include "planner/partners/assignment.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>
#include <utility>

namespace nestround::partners {

namespace {

constexpr double kFar = std::numeric_limits<double>::infinity();
constexpr std::size_t kNone = std::numeric_limits<std::size_t>::max();

struct Edge {
    std::size_t column = 0;
    double cost = 0;
};

/// Each row has a column of its own besides, at no cost: to stay alone.
class Assignment {
public:
    Assignment(std::size_t rows, std::size_t columns, std::span<const Pair> pairs)
        : rows_{rows},
          edges_(rows),
          row_of_(columns + rows, kNone),
          column_of_(rows, kNone),
          height_(columns + rows, 0),
          length_(columns + rows, kFar),
          from_(columns + rows, kNone)
    {
        for (const auto& pair : pairs) {
            if (pair.gain > 0 && std::isfinite(pair.gain)) {
                edges_[pair.row].push_back({pair.column, -pair.gain});
            }
        }
        for (std::size_t row = 0; row < rows; ++row) {
            edges_[row].push_back({columns + row, 0});
        }
    }

    void run()
    {
        for (std::size_t row = 0; row < rows_; ++row) {
            place(row);
        }
    }
    [[nodiscard]] const std::vector<std::size_t>& columns() const { return column_of_; }

private:
    using Reached = std::pair<double, std::size_t>;

    /// The cheapest way from a new row over taken columns to a free one, by Dijkstra: heights keep
    /// what is left of the costs of made pairs at zero and of all others above it.
    void place(std::size_t first)
    {
        std::priority_queue<Reached, std::vector<Reached>, std::greater<>> open;
        std::vector<std::size_t> touched;
        std::vector<std::size_t> settled;
        const auto spread = [&](std::size_t row, double so_far, double base) {
            for (const auto& edge : edges_[row]) {
                const double length = so_far + (edge.cost - height_[edge.column] - base);
                if (length < length_[edge.column]) {
                    if (length_[edge.column] == kFar) {
                        touched.push_back(edge.column);
                    }
                    length_[edge.column] = length;
                    from_[edge.column] = row;
                    open.emplace(length, edge.column);
                }
            }
        };
        // The least of the new row's own costs as its base, so that no length is negative.
        double base = kFar;
        for (const auto& edge : edges_[first]) {
            base = std::min(base, edge.cost - height_[edge.column]);
        }
        spread(first, 0, base);
        std::size_t end = kNone;
        double way = 0;
        while (!open.empty()) {
            const auto [length, column] = open.top();
            open.pop();
            if (length > length_[column]) {
                continue;
            }
            if (row_of_[column] == kNone) {
                end = column;
                way = length;
                break;
            }
            settled.push_back(column);
            const auto row = row_of_[column];
            spread(row, length, base_of(row));
        }
        for (const auto column : settled) {
            height_[column] += length_[column] - way;
        }
        while (end != kNone) {
            const auto row = from_[end];
            const auto before = column_of_[row];
            row_of_[end] = row;
            column_of_[row] = end;
            end = row == first ? kNone : before;
        }
        for (const auto column : touched) {
            length_[column] = kFar;
            from_[column] = kNone;
        }
    }

    /// Of a row that has a column: the pair's own cost, so that nothing is left of it.
    [[nodiscard]] double base_of(std::size_t row) const
    {
        for (const auto& edge : edges_[row]) {
            if (edge.column == column_of_[row]) {
                return edge.cost - height_[edge.column];
            }
        }
        return 0;
    }

    std::size_t rows_;
    std::vector<std::vector<Edge>> edges_;
    std::vector<std::size_t> row_of_;     ///< of each column
    std::vector<std::size_t> column_of_;  ///< of each row
    std::vector<double> height_;          ///< potential of each column
    std::vector<double> length_;
    std::vector<std::size_t> from_;
};

}  // namespace

std::vector<double> pair_chances(std::size_t rows, std::size_t columns, std::span<const Pair> pairs)
{
    constexpr int kMostRounds = 200;
    constexpr double kStill = 1e-9;
    constexpr double kMostGain = 60;  // e to it is far from both ends of a double
    std::vector<double> weight;
    for (const auto& pair : pairs) {
        weight.push_back(std::exp(std::clamp(pair.gain, -kMostGain, kMostGain)));
    }
    // What each column tells each row: how free it is of all other rows.
    std::vector<double> freedom(pairs.size(), 1);
    std::vector<double> claim(pairs.size(), 0);
    std::vector<double> of_row(rows);
    std::vector<double> of_column(columns);
    double moved = 1;
    for (int round = 0; round < kMostRounds && moved > kStill; ++round) {
        std::fill(of_row.begin(), of_row.end(), 1);
        std::fill(of_column.begin(), of_column.end(), 1);
        for (std::size_t k = 0; k < pairs.size(); ++k) {
            of_row[pairs[k].row] += weight[k] * freedom[k];
        }
        for (std::size_t k = 0; k < pairs.size(); ++k) {
            // The row's other wishes; rounding must not make them less than staying alone.
            const double others = std::max(1.0, of_row[pairs[k].row] - weight[k] * freedom[k]);
            claim[k] = weight[k] / others;
            of_column[pairs[k].column] += claim[k];
        }
        moved = 0;
        for (std::size_t k = 0; k < pairs.size(); ++k) {
            const double next = 1 / std::max(1.0, of_column[pairs[k].column] - claim[k]);
            moved = std::max(moved, std::abs(next - freedom[k]));
            freedom[k] = next;
        }
    }
    std::fill(of_row.begin(), of_row.end(), 1);
    for (std::size_t k = 0; k < pairs.size(); ++k) {
        of_row[pairs[k].row] += weight[k] * freedom[k];
    }
    std::vector<double> out;
    for (std::size_t k = 0; k < pairs.size(); ++k) {
        out.push_back(weight[k] * freedom[k] / of_row[pairs[k].row]);
    }
    return out;
}

std::vector<std::optional<std::size_t>> assign(std::size_t rows, std::size_t columns,
                                               std::span<const Pair> pairs)
{
    Assignment work{rows, columns, pairs};
    work.run();
    std::vector<std::optional<std::size_t>> out;
    for (const auto column : work.columns()) {
        out.push_back(column < columns ? std::optional{column} : std::nullopt);
    }
    return out;
}

}  // namespace nestround::partners
