/// \file lot_values.hpp
/// \brief A lot with its corrections applied: what is held to be true of it now.
///
/// Purpose:  a sealed lot stays as it was sealed; what is shown, weighed and shipped is this.
/// Units:    in the types.
/// Range:    corrections in the order in which they were made; the last of a field counts.
/// Accuracy: as entered.
/// Errors:   read_correction gives InvalidInput for a value that the field cannot hold.
/// Source:   own.
#pragma once

#include <span>
#include <string>
#include <string_view>

#include "geocore/base/error.hpp"
#include "geocore/records/freezer.hpp"

namespace nestround::freezer {

/// Checks the field and its new value: mass in grams ("41.5"), count, frozen_at, container, note.
/// Gives the value in the form in which it is kept.
[[nodiscard]] Result<std::string> read_correction(std::string_view field, std::string_view value);
/// A field as it stands, in the form in which corrections keep it.
[[nodiscard]] std::string value_of(const Lot& lot, std::string_view field);
[[nodiscard]] Lot as_corrected(Lot lot, std::span<const LotCorrection> corrections);

}  // namespace nestround::freezer
