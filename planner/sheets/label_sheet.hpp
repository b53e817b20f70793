/// \file label_sheet.hpp
/// \brief Labels for bags, many to a sheet, each with its code as words and as a QR code.
///
/// Purpose:  `nestround lot label`: each bag bears species and date, mass, and the code that leads
///           back to the wall it came from.
/// Units:    millimetres.
/// Range:    labels from 30 by 20 mm; as many sheets as needed.
/// Promise:  the same lots on the same sheet give the same bytes, whenever they are printed.
/// Errors:   Failure{BadUsage} when a label does not fit the sheet or its words not the label;
///           OutputFailed from the canvas.
/// Source:   QR code: ISO/IEC 18004:2015 (libqrencode), error correction M, quiet zone of 4.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geocore/records/freezer.hpp"

namespace nestround::sheets {

struct LotLabel {
    Lot lot;           ///< corrections applied
    std::string name;  ///< scientific
};

struct LabelSheet {
    double page_width = 210;
    double page_height = 297;
    double label_width = 63;
    double label_height = 38;
    double gap_x = 0;
    double gap_y = 0;
    std::optional<std::pair<double, double>> margin;  ///< left, top; empty: centred
    int skip = 0;                                     ///< places already used of the first sheet
    bool outlines = false;
};

[[nodiscard]] int columns_of(const LabelSheet& sheet);
[[nodiscard]] int rows_of(const LabelSheet& sheet);

[[nodiscard]] std::string label_sheet_pdf(const std::vector<LotLabel>& labels,
                                          const LabelSheet& sheet);

}  // namespace nestround::sheets
