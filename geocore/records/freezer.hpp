/// \file freezer.hpp
/// \brief Sealed bags: what is in them, where they lie, who wants them, what left.
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

#include <cstdint>
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

/// How wasps were frozen.
enum class FreezingMethod { Unknown, DryIce, Freezer, Other };

/// What a link of the chain is of.
enum class ChainKind { Seal, Correction, Move, Shipment, Excursion };

[[nodiscard]] std::string_view text(FreezingMethod method);  ///< "dry_ice", ...
[[nodiscard]] std::string_view text(ChainKind kind);         ///< "seal", ...
[[nodiscard]] std::optional<FreezingMethod> freezing_method(std::string_view text);
[[nodiscard]] std::optional<ChainKind> chain_kind(std::string_view text);
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
    FreezingMethod method = FreezingMethod::Unknown;
    std::string sealed_by;
};

/// A place in a freezer, by the names that stand on it.
struct FreezerPlace {
    std::string freezer;
    std::string shelf;  ///< may be empty
    std::string box;    ///< may be empty

    /// "freezer A, shelf 2, box 7".
    [[nodiscard]] std::string text() const;
    friend bool operator==(const FreezerPlace&, const FreezerPlace&) = default;
};

/// Where a sealed lot was put; the last one counts.
struct LotMove {
    LotMoveId id;
    LotId lot;
    Instant at{};
    std::string who;
    FreezerPlace place;
    std::string note;
};

/// A time in which a place was warmer than it should be, and the lots that lay there.
struct Excursion {
    ExcursionId id;
    FreezerPlace place;  ///< empty shelf or box: all of them
    Instant began{};
    Instant ended{};
    Celsius limit{};
    Celsius warmest{};
    int readings = 0;  ///< above the limit
    std::string who;
    std::string note;
    std::vector<LotId> lots;
};

/// One link of the chain: the record as hashed, resting on the link before.
struct ChainLink {
    int number = 0;
    Instant at{};
    ChainKind kind = ChainKind::Seal;
    Uuid row;            ///< of the lot, correction, move, shipment or excursion
    std::string record;  ///< canonical text of the row; docs/reference/lots.md
    std::string previous;
    std::string hash;
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

/// A lot as it stands today: where it lies or when it left, and what was written beside it.
struct LotCard {
    Lot lot;                            ///< as sealed
    std::optional<FreezerPlace> place;  ///< where it was last put
    std::optional<ShipmentId> shipment;
    std::optional<Day> shipped;
    bool withdrawn = false;
    int corrections = 0;
    int excursions = 0;
};

/// Something that went into a lot, or could, with the way back to the call.
struct Ancestor {
    std::optional<LotParent> parent;  ///< empty while it is in no lot
    std::optional<CatchId> catch_id;  ///< this or `collection`
    std::optional<CollectionId> collection;
    std::optional<CombId> comb;
    std::string taxon;
    std::optional<Grams> mass;   ///< of the whole catch or collection
    std::optional<Grams> taken;  ///< what weighed parts are in lots already
    std::optional<int> count;
    Instant at{};  ///< when frozen or collected
    VisitId visit;
    Instant visited{};
    NestId nest;
    bool insecticide = false;
    std::optional<CallId> call;
    std::optional<Day> received;
    std::string call_key;  ///< the source's own key of the call
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
    std::optional<std::int64_t> price_minor;  ///< of a gram, in the currency's smallest unit
    std::optional<Grams> promised;
};

/// What left, and the lots in it.
struct Shipment {
    ShipmentId id;
    std::optional<OrderId> order;
    Day shipped{};
    std::string carrier;
    std::string tracking;
    std::string note;
    std::optional<Grams> ice;  ///< dry ice packed with it
    std::string packed_by;
    std::vector<LotId> lots;  ///< sealed, not withdrawn, each in one shipment only
};

}  // namespace nestround
