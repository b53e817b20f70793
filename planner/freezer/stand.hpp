/// \file stand.hpp
/// \brief How orders stand: what left, what lies ready, what is expected, what is missing, and what
///        one more gram is worth.
///
/// Purpose:  `nestround order status`, and the weight of a species in the ranking: one source.
/// Units:    grams; prices in the currency's smallest unit a gram.
/// Range:    open orders. What lies ready goes to the order that is due first (then the better
///           paid, then the older); venom orders take venom lots only, other orders take both, the
///           lots for other uses first.
/// Accuracy: expected grams are medians with 10 and 90 % bounds; bounds of separate sources are
///           added end to end, which is wider than they are.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/spread.hpp"
#include "geocore/records/freezer.hpp"

namespace nestround::freezer {

/// Of one species.
struct Stock {
    Grams venom{};                ///< sealed, not shipped, not withdrawn
    Grams other{};                ///< likewise, not for venom
    Grams loose{};                ///< frozen and in no lot, without insecticide
    Spread<Grams> from_brood{};   ///< still to emerge
    Spread<Grams> from_season{};  ///< of nests still to be taken
    bool brood_known = false;     ///< whether somebody has looked
    bool season_known = false;
};

struct OrderStand {
    Order order;
    Grams shipped{};           ///< in shipments of this order
    Grams ready{};             ///< of the freezer, set aside for it
    Grams loose{};             ///< of what is not bagged yet, set aside for it
    Spread<Grams> expected{};  ///< of brood and season, what earlier orders leave
    /// Wanted less shipped, ready and loose.
    [[nodiscard]] Grams missing() const;
    /// Promised less shipped, ready and loose; none when nothing was promised.
    [[nodiscard]] Grams promise_open() const;
};

/// What a species' orders want beyond what is at hand.
struct Demand {
    Grams missing{};
    /// Of the best paid gram that is missing; empty when no open order names a price.
    std::optional<std::int64_t> price_minor;
};

/// Orders that are not open are left out. By due day; an order without one comes last.
[[nodiscard]] std::vector<OrderStand> stand_of(std::span<const Order> orders,
                                               const std::map<OrderId, Grams>& shipped,
                                               std::map<std::string, Stock> stock);
/// By species, for every species with an open order.
[[nodiscard]] std::map<std::string, Demand> demand_of(std::span<const OrderStand> stands);

/// Points of one more gram. A species with no order keeps `base`; one whose orders are covered is
/// worth `surplus` of it; a price weighs against `minor_per_point` when both are known.
[[nodiscard]] double worth_of_gram(const Demand* demand, double base, double surplus,
                                   std::optional<double> minor_per_point);

}  // namespace nestround::freezer
