/// \file lot_text.hpp
/// \brief Lots and orders on the terminal: lists, the family tree, what is called back, how orders
///        stand.
///
/// Purpose:  `nestround lot list|show|trace|recall|loose`, `nestround order list|status`.
/// Units:    grams as weighed.
/// Range:    any number of lots.
/// Promise:  no client and no place of a nest; a nest is the end of its key.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "planner/freezer/family.hpp"
#include "planner/freezer/stand.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::sheets {

[[nodiscard]] std::string lot_list_text(std::span<const freezer::LotStory> lots);
[[nodiscard]] std::string loose_text(std::span<const Ancestor> things);
/// All that is known of one lot; `name` is the species' scientific name.
[[nodiscard]] std::string lot_text(const freezer::LotStory& story, const std::string& name);
/// Lot, what went into it, comb, nest, call: a tree.
[[nodiscard]] std::string trace_text(const freezer::LotStory& story);
/// A nest, what it gave, and the lots that this went into: the tree the other way.
[[nodiscard]] std::string nest_text(NestId nest, std::span<const freezer::LotStory> lots,
                                    std::span<const Ancestor> loose);
[[nodiscard]] std::string recall_text(const freezer::Recall& recall);
[[nodiscard]] std::string order_list_text(std::span<const Order> orders,
                                          const std::string& currency);
/// `worth`: points of one more gram by species.
[[nodiscard]] std::string order_status_text(std::span<const freezer::OrderStand> stands,
                                            const std::map<std::string, freezer::Stock>& stock,
                                            const std::map<std::string, double>& worth,
                                            const std::string& currency);
/// "12.50 USD".
[[nodiscard]] std::string money_text(std::int64_t minor, const std::string& currency);

}  // namespace nestround::sheets
