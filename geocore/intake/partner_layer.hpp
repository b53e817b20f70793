/// \file partner_layer.hpp
/// \brief Nests from a layer, table or archive that a partner sent.
///
/// Purpose:  rows become records without keys; what cannot be understood is refused by row and
/// field,
///           never guessed. Nothing is written to the book here.
/// Units:    WGS 84 degrees out, whatever the layer has in; uncertainties in metres.
/// Range:    formats of foreign_file.hpp, text tables and Darwin Core archives; areas become their
///           middle with the way to the farthest corner as uncertainty.
/// Accuracy: coordinates by PROJ without grids from the network; the middle of an area in degrees.
/// Errors:   Failure for the file as a whole; a RefusedRow for a row. Read a file before the book
/// is
///           opened: a reader that closes the book's own file would drop its locks.
/// Source:   Darwin Core terms; docs/reference/partner.md.
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/intake/refused_row.hpp"
#include "geocore/records/partner.hpp"

namespace nestround::intake {

struct PartnerMapping {
    std::map<std::string, std::string> columns;  ///< our name of a column -> the file's
    std::string layer;                           ///< of a file with several
    std::string crs;                             ///< of a file that names none
    Day on{};                                    ///< later dates are refused
};

struct PartnerBatch {
    std::string file;  ///< its name, for messages
    std::string sha256;
    std::string layer;
    std::string crs;
    /// Without keys and taxon; `source_key` is empty where none was sent.
    std::vector<PartnerNest> rows;
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};

/// Names that --column may give a column to.
[[nodiscard]] const std::vector<std::string>& partner_columns();

[[nodiscard]] PartnerBatch read_partner_layer(const std::filesystem::path& file,
                                              const PartnerMapping& mapping);

/// The days that a date may mean: 2026-08-04, 2026-08, 2026, one of these with a clock time, or two
/// with a slash between.
struct DaySpan {
    Day first{};
    Day last{};
};
[[nodiscard]] std::optional<DaySpan> day_span(std::string_view text);

}  // namespace nestround::intake
