/// \file call_row.hpp
/// \brief One row of a list of calls as records.
///
/// Purpose:  the rules of each column of a call, apart from where rows come from.
/// Units:    as calls.hpp.
/// Range:    as calls.hpp.
/// Accuracy: as entered.
/// Errors:   a RefusedRow with the row's first fault.
/// Source:   docs/reference/call-columns.md; the bounds there are marked assumptions.
#pragma once

#include "geocore/intake/calls.hpp"
#include "geocore/intake/fields.hpp"

namespace nestround::intake {

[[nodiscard]] const Vocabulary& call_vocabulary();

/// `place` is where the row says, in whatever form; NaN or off the Earth is refused here.
[[nodiscard]] tl::expected<CallRow, RefusedRow> read_call_row(const Columns& columns,
                                                              const GridRow& row, LonLat place,
                                                              const CallMapping& mapping);

}  // namespace nestround::intake
