/// \file own_catches.hpp
/// \brief Use case: the catches of the book as something to learn from, and how well that goes.
///
/// Purpose:  loads past catches with their nests and crews, never one of the day asked for or
/// later;
///           forecasts each of them from what was known before.
/// Units:    as the records.
/// Range:    a catch whose note begins with "males" is one of males. What came of a visit's combs
/// is
///           one record, once the last count was made ten days after the visit or later. Second
///           visits for one call are left out.
/// Accuracy: as planner/yield/learning.hpp.
/// Errors:   Failure of the book's reading.
/// Source:   docs/science/learning.md.
#pragma once

#include <memory>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/preferences.hpp"
#include "planner/yield/learning.hpp"

namespace nestround::app {

/// Oldest first; those frozen on a day before `before`.
[[nodiscard]] std::vector<yield::CatchCase> own_catches(const book::Book& book, Day before);

/// The settings of the yield with what the book taught up to the day before; `table` must outlive
/// them.
[[nodiscard]] yield::YieldSettings learned_settings(const book::Book& book,
                                                    const Preferences& preferences,
                                                    const nature::TaxaTable& table, Day before);

struct BacktestRow {
    Day day{};
    std::string taxon;
    Spread<Grams> forecast;
    Grams caught{};
    Grams naive{};  ///< mean of the species' catches so far, else of all; 0 before the first
};

struct Backtest {
    std::vector<BacktestRow> rows;
    std::size_t inside = 0;  ///< of the 80 % interval
    std::size_t above = 0;
    std::size_t below = 0;
    double error = 0;          ///< median of |middle - caught| / caught
    double naive_error = 0;    ///< the same of the naive mean, over the rows that have one
    double error_of_same = 0;  ///< ours over those same rows
    std::size_t left_out = 0;
};

/// Each record forecast from those of earlier days.
[[nodiscard]] Backtest backtest(const std::vector<yield::CatchCase>& records,
                                const nature::TaxaTable& table);

}  // namespace nestround::app
