/// \file check_rules.hpp
/// \brief The rules between rows, as queries that find what breaks them. Private to this room.
///
/// Purpose:  what triggers hold at the door, asked again of the rows that are in; and the order of
///           dates, which is reported and not refused, because clocks in the field are wrong.
/// Units:    days and instants as the columns say; a local day and a UTC instant may differ by a
///           day.
/// Range:    each query gives the fids of its table that break the rule.
/// Accuracy: exact.
/// Errors:   none.
/// Source:   own; schema/rules.sql.
#pragma once

#include <span>
#include <string_view>

#include "geocore/book/check.hpp"
#include "geocore/book/connection.hpp"

namespace nestround::book {

struct RowRule {
    std::string_view table;
    std::string_view words;
    std::string_view sql;
};

[[nodiscard]] std::span<const RowRule> row_rules();

/// What check() asks, but for the soundness of the file, of a book as it stands in a change that is
/// not committed.
[[nodiscard]] CheckReport check_rows(Connection& connection);

}  // namespace nestround::book
