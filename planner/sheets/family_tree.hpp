/// \file family_tree.hpp
/// \brief The family tree of lots as a picture: calls, nests, comb, catches, lots, shipments.
///
/// Purpose:  `nestround lot trace --picture`: what went where, at one look, in both directions.
/// Units:    millimetres of the page; a band is as thick as its share of the lot's mass.
/// Range:    some hundred things; a larger family makes a longer page.
/// Promise:  no client and no place; the same family gives the same bytes.
/// Errors:   Failure (OutputFailed) when the page is too large for Cairo.
/// Source:   own.
#pragma once

#include <span>
#include <string>

#include "planner/freezer/family.hpp"
#include "planner/sheets/map_canvas.hpp"

namespace nestround::sheets {

[[nodiscard]] std::string family_tree_picture(const std::string& title,
                                              std::span<const freezer::LotStory> lots,
                                              std::span<const Ancestor> loose, MapFormat format);

}  // namespace nestround::sheets
