/// \file freezer.hpp
/// \brief Sealed bags, what is in them, who wants them and what left: lots, orders, shipments.
///
/// Purpose:  plain records as the book holds them. A lot is a bag of one species; its parents are
///           the catches and collections it was filled from. A sealed lot is never edited: a
///           correction is a further row that says who, when and why.
/// Units:    in the types.
/// Range:    a parent names either a catch or a collection; masses are above zero.
/// Accuracy: as weighed.
/// Errors:   none; the book's CHECKs and triggers refuse bad values.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"

namespace nestround {

/// What a lot may be sold for. Nothing from a nest that had insecticide enters a lot for venom.
enum class LotPurpose { Venom, Other };

/// What became of an order.
enum class OrderState { Open, Filled, Cancelled };

[[nodiscard]] std::string_view text(LotPurpose purpose);  ///< "venom", "other"
[[nodiscard]] std::string_view text(OrderState state);    ///< "open", "filled", "cancelled"
[[nodiscard]] std::optional<LotPurpose> lot_purpose(std::string_view text);
[[nodiscard]] std::optional<OrderState> order_state(std::string_view text);

struct Lot {
    LotId id;
    std::string code;   ///< as printed on the label; no two lots share one
    std::string taxon;  ///< code of the taxa table; never empty
    LotPurpose purpose = LotPurpose::Venom;
    Instant frozen_at{};               ///< when the first of it was frozen
    std::optional<Grams> mass;         ///< net; needed to seal
    std::optional<int> count;          ///< of wasps, where counted
    std::string container;             ///< bag or box, and where it lies
    std::optional<Instant> sealed_at;  ///< from then on the row is never edited
    std::string note;
};

/// One thing that went into a lot: a catch or a collection, never both.
struct LotParent {
    LotParentId id;
    LotId lot;
    std::optional<CatchId> catch_id;
    std::optional<CollectionId> collection;
    std::optional<Grams> mass;  ///< how much of it went into this lot; empty: not weighed apart
};

/// What is put right on a sealed lot, without touching it.
struct LotCorrection {
    LotCorrectionId id;
    LotId lot;
    Instant at{};
    std::string who;
    std::string field;    ///< "mass", "count", "frozen_at", "container", "note" or "withdrawn"
    std::string was;      ///< as it stood before
    std::string becomes;  ///< empty for "withdrawn"
    std::string why;
};

/// What a laboratory wants.
struct Order {
    OrderId id;
    std::string laboratory;  ///< private
    std::string taxon;
    LotPurpose purpose = LotPurpose::Venom;
    Grams wanted{};
    Day placed{};
    std::optional<Day> due;
    OrderState state = OrderState::Open;
    std::string note;
};

/// What left, and the lots in it.
struct Shipment {
    ShipmentId id;
    std::optional<OrderId> order;
    Day shipped{};
    std::string carrier;
    std::string tracking;
    std::string note;
    std::vector<LotId> lots;  ///< sealed, not withdrawn, each in one shipment only
};

}  // namespace nestround
