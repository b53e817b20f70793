/// \file live_table.hpp
/// \brief A layer as plain values: columns with titles and units, rows with shapes and a style.
///
/// Purpose:  what the book holds becomes rows here, without a word of GDAL; table_layer.hpp shows
///           them.
/// Units:    a column's title ends in its unit; shapes are WGS 84 degrees.
/// Range:    some thousand rows.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own; styles in the notation of OGR feature styles.
#pragma once

#include <cstdint>
#include <functional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/units/units.hpp"
#include "planner/app/live_view.hpp"

namespace nestround::driver {

enum class ColumnType { Whole, Real, Text, Date, Clock, Flag };

struct Column {
    std::string name;
    ColumnType type = ColumnType::Text;
    std::string title;   ///< in words, with the unit
    std::string domain;  ///< of the words it may hold, see domains(); may be empty
};

enum class ShapeKind { Point, Line, Polygon };

using Cell = std::variant<std::monostate, std::int64_t, double, std::string, Day, ClockTime, bool>;

struct Row {
    std::vector<std::vector<LonLat>> shape;  ///< points, lines or rings; empty: nowhere
    std::vector<Cell> cells;                 ///< one a column
    std::string style;
};

struct Table {
    std::string name;
    std::string title;
    ShapeKind shape = ShapeKind::Point;
    std::vector<Column> columns;
    std::function<std::vector<Row>(app::LiveView&)> rows;  ///< asked for once, when first read
};

/// Every layer that is worked out; those of the day only when there are roads.
[[nodiscard]] std::vector<Table> live_tables(const app::LiveView& view);

/// Columns of the layer of all nests, which is read row by row.
[[nodiscard]] std::vector<Column> nest_columns();
[[nodiscard]] Row nest_row(const book::NestRow& row);

struct Domain {
    std::string name;
    std::string meaning;
    std::vector<std::pair<std::string, std::string>> words;  ///< as stored, and what it means
};
[[nodiscard]] std::vector<Domain> domains(app::LiveView& view);

}  // namespace nestround::driver
