/// \file family.hpp
/// \brief The story of a lot, and all that shares a nest with it: what trace and recall show.
///
/// Purpose:  values between the book and the sheets. No client, no place of a nest: a nest is known
///           by the end of its key, a call by its day and key.
/// Units:    in the types.
/// Range:    one lot, or all lots of some nests.
/// Accuracy: as entered.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/records/freezer.hpp"

namespace nestround::freezer {

/// Where a lot came from and where it went.
struct LotStory {
    LotCard card;
    Lot now;  ///< corrections applied
    std::vector<LotMove> moves;
    std::vector<LotCorrection> corrections;
    std::vector<Excursion> excursions;
    std::vector<Ancestor> ancestors;
    std::optional<Shipment> shipment;
    std::string laboratory;  ///< that the shipment went to; empty when it had no order
};

/// Where a lot is now, in words.
[[nodiscard]] std::string whereabouts(const LotStory& story);

/// What shares a nest with what was asked for.
struct Recall {
    std::string asked;
    std::vector<NestId> nests;
    std::vector<LotStory> lots;
    std::vector<Ancestor> loose;  ///< frozen and in no lot, or only in part
};

/// The last six characters of a key.
[[nodiscard]] std::string tail(const Uuid& key);

}  // namespace nestround::freezer
