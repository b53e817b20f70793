/// \file partner_row.hpp
/// \brief One row of a partner's table as a record. Private.
///
/// Purpose:  reads field by field; the first fault of a row is its refusal.
/// Units:    metres, days.
/// Range:    seasons 1800 to 2200, uncertainties up to 1000 km, nothing after the day of reading.
/// Accuracy: as sent.
/// Errors:   a RefusedRow.
/// Source:   Darwin Core terms; docs/reference/partner.md.
#pragma once

#include <string>
#include <string_view>

#include "geocore/intake/fields.hpp"
#include "geocore/intake/partner_layer.hpp"
#include "geocore/intake/partner_shapes.hpp"

namespace nestround::intake {

struct RowTerms {
    Day on{};                  ///< nothing later is taken
    std::string place_field;   ///< as messages name it
    bool generalised = false;  ///< the layer says that its places are middles of squares
};

[[nodiscard]] tl::expected<PartnerNest, RefusedRow> read_partner_row(const Columns& columns,
                                                                     const GridRow& row,
                                                                     const PlacedShape& shape,
                                                                     const RowTerms& terms);

/// Words without control characters, cut to `most` bytes at the end of a character.
[[nodiscard]] std::string plain_words(std::string_view text, std::size_t most);

}  // namespace nestround::intake
