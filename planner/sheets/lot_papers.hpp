/// \file lot_papers.hpp
/// \brief What travels with lots: a packing list and a certificate of origin.
///
/// Purpose:  `nestround lot ship`, `nestround lot papers`.
/// Units:    grams; days as recorded.
/// Range:    one shipment.
/// Promise:  no client, no place of a nest: the region's name, the ends of keys. Nothing is called
///           safe.
/// Errors:   none.
/// Source:   own; parcel rules as the caller has them, each with its source.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "planner/freezer/family.hpp"
#include "planner/sheets/document.hpp"

namespace nestround::sheets {

struct PaperLot {
    freezer::LotStory story;
    std::string name;  ///< scientific
};

struct PaperRule {
    std::string words;
    std::string source;
    std::string mark;  ///< published, secondhand, ...
};

struct ShipmentPaper {
    Shipment shipment;
    std::optional<Order> order;
    std::vector<PaperLot> lots;
    std::string region;
    std::optional<ChainLink> link;
    std::vector<PaperRule> parcel;  ///< of a parcel with dry ice
    std::string parcel_mark;
};

[[nodiscard]] Document packing_list(const ShipmentPaper& paper);
[[nodiscard]] Document certificate_of_origin(const ShipmentPaper& paper);

}  // namespace nestround::sheets
