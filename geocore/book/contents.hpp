/// \file contents.hpp
/// \brief Keeps the GeoPackage contents table true after a change. Private.
///
/// Purpose:  extents and instants of change, for whoever reads the file without us.
/// Units:    degrees; instants in UTC.
/// Range:    the tables of a book.
/// Promise:  part of the transaction that it is called in.
/// Errors:   Failure as Connection's.
/// Source:   OGC 12-128r17, requirements 13 to 15.
#pragma once

#include <set>
#include <string>
#include <string_view>

#include "geocore/book/connection.hpp"

namespace nestround::book {

/// The box of all rows of a table with geometries. The R-tree holds single precision; the contents
/// table gets the true box.
void write_extent(Connection& connection, std::string_view table);
/// Extents of those tables that have geometries, and the instant of change of all.
void write_contents(Connection& connection, const std::set<std::string>& tables,
                    const std::string& now);

}  // namespace nestround::book
