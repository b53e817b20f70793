/// \file refused_row.hpp
/// \brief A row of somebody's file that was not taken, and what to do about it.
///
/// Purpose:  every reader of files gives what it could read and a list of these.
/// Units:    rows of text files count lines from 1, the header's line included, as an editor shows
///           them; features of a layer count from 1 in the layer's order.
/// Range:    column is empty where the whole row is at fault.
/// Accuracy: not applicable.
/// Errors:   this is one.
/// Source:   own.
#pragma once

#include <cstddef>
#include <string>

namespace nestround::intake {

struct RefusedRow {
    std::size_t row = 0;
    std::string column;   ///< as the file names it
    std::string reason;   ///< "'2023-02-29' is not a date"
    std::string way_out;  ///< "write year-month-day, as 2026-08-04"

    /// "row 17, column lat: reason; way out".
    [[nodiscard]] std::string text() const;

    friend bool operator==(const RefusedRow&, const RefusedRow&) = default;
};

}  // namespace nestround::intake
