/// \file gdal_cell.hpp
/// \brief A field of a foreign layer's row as text. Private.
///
/// Purpose:  one way to read what any program wrote, whatever type it gave the column.
/// Units:    none; dates as 2026-08-04.
/// Range:    every type of field that GDAL knows; nothing set is an empty text.
/// Accuracy: numbers in the shortest form that reads back the same. Bytes that are no UTF-8 are
///           taken as Windows-1252.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <ogr_feature.h>

#include <string>

namespace nestround::intake {

[[nodiscard]] std::string cell_text(const OGRFeature& feature, int field);

}  // namespace nestround::intake
