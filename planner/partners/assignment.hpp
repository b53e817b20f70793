/// \file assignment.hpp
/// \brief Which pairs to make so that nobody is in two and the sum of their gains is greatest.
///
/// Purpose:  two rows of a partner cannot be the same nest of ours; the best for one may have to
///           give way so that all together fit best.
/// Units:    gains are numbers without unit (here: logarithms of odds).
/// Range:    sparse: only the pairs listed can be made; a pair without gain is never made.
/// Accuracy: exact but for rounding: an optimum of the assignment problem.
/// Cost:     rows times pairs times the logarithm of the columns at worst.
/// Errors:   none; a gain that is not finite is not listed.
/// Source:   J. L. Williams and R. Lau, Approximate evaluation of marginal association
/// probabilities
///           with belief propagation, IEEE Transactions on Aerospace and Electronic Systems 50
///           (2014), for the chances;
///           shortest augmenting paths with potentials: H. W. Kuhn, The Hungarian method (1955);
///           R. Jonker and A. Volgenant, Computing 38 (1987).
#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace nestround::partners {

struct Pair {
    std::size_t row = 0;
    std::size_t column = 0;
    double gain = 0;
};

/// For each row its column, or none. Among equal optima the one that lower rows and columns reach
/// first; the same input gives the same answer.
[[nodiscard]] std::vector<std::optional<std::size_t>> assign(std::size_t rows, std::size_t columns,
                                                             std::span<const Pair> pairs);

/// The chance of each pair, in their order, when nobody is in two and each way to pair all weighs
/// the product of exp(gain) over its pairs. By belief propagation: exact where no pairs form a
/// circle, else near.
[[nodiscard]] std::vector<double> pair_chances(std::size_t rows, std::size_t columns,
                                               std::span<const Pair> pairs);

}  // namespace nestround::partners
