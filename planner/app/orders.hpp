/// \file orders.hpp
/// \brief Use cases: what laboratories want, how it stands, and what leaves.
///
/// Purpose:  `nestround order add|list|status|close`, `nestround lot ship|papers`; and what a gram
///           of each species is worth because of it, for the ranking and the season.
/// Units:    in the types; prices in the currency's smallest unit a gram.
/// Range:    open orders; what is in the freezer is sealed, not shipped and not withdrawn.
/// Accuracy: as entered; expectations as their plans.
/// Errors:   Failure naming the order, the lot or the file.
/// Source:   own.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "planner/app/freezer.hpp"
#include "planner/app/preferences.hpp"
#include "planner/freezer/stand.hpp"

namespace nestround::app {

struct OrderWishes {
    std::string laboratory;
    std::string species;  ///< code or name
    Grams wanted{};
    Day placed{};
    std::optional<Day> due;
    std::optional<std::int64_t> price_minor;
    std::optional<Grams> promised;
    LotPurpose purpose = LotPurpose::Venom;
    std::string note;
    bool again = false;  ///< another order like one that is open
};

[[nodiscard]] Order add_order(book::Book& book, const nature::TaxaTable& taxa,
                              const OrderWishes& wishes, Instant now, KeyMaker& keys);
/// An order by the end of its key, or by its laboratory when that has one open order only.
[[nodiscard]] Order find_order(const book::Book& book, const std::string& key);
/// Open, filled or cancelled.
void set_order_state(book::Book& book, const std::string& key, OrderState state, Instant now);

/// How the open orders stand.
struct OrderBook {
    std::vector<freezer::OrderStand> stands;
    std::map<std::string, freezer::Stock> stock;
    std::map<std::string, freezer::Demand> demand;
};
/// What was frozen longer ago and is in no lot counts as gone: catches of past seasons are in the
/// book to learn from.
inline constexpr std::chrono::days kLooseFor{60};
/// What is at hand on a day, from the book alone.
[[nodiscard]] OrderBook order_book(const book::Book& book, Day on);
/// The same with what the comb that stands will still give, and what the season is expected to
/// give, from a plan that `nestround season --json` wrote, when one is named.
[[nodiscard]] OrderBook order_book(const book::Book& book, const Preferences& preferences, Day on,
                                   const std::string& season_file);

/// The ranking's settings with the worth of a gram moved by orders, for every species whose worth
/// the settings do not say themselves.
enum class Beyond { Weighed, Ignored };  ///< whether a gram beyond what is wanted is worth less
[[nodiscard]] rank::RankSettings rank_by_orders(const book::Book& book,
                                                const Preferences& preferences, Day on,
                                                Beyond beyond = Beyond::Weighed);

struct ShipWishes {
    std::vector<std::string> lots;
    std::string order;  ///< may be empty
    Day shipped{};
    std::string carrier;
    std::string tracking;
    std::optional<Grams> ice;
    std::string note;
};

/// What left, with the stories of its lots and the link that guards it.
struct Sent {
    Shipment shipment;
    std::optional<Order> order;
    std::vector<freezer::LotStory> lots;
    std::optional<ChainLink> link;
};
[[nodiscard]] Sent ship_lots(book::Book& book, const ShipWishes& wishes, const Hand& hand,
                             KeyMaker& keys);
/// A shipment by the end of its key, or by the code of a lot in it.
[[nodiscard]] Sent find_shipment(const book::Book& book, const std::string& key);

}  // namespace nestround::app
