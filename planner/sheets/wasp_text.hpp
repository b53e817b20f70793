/// \file wasp_text.hpp
/// \brief Which wasp it may be: the answer for people and for programs, and the list of traits.
///
/// Purpose:  names with chances, what speaks against, what to look at next, look-alikes; never a
///           certainty, and always that the wasps, not the nest, settle the name.
/// Units:    chances in whole percent on the sheet, 0 to 1 in JSON; information in bits.
/// Range:    width as in morning_text.hpp.
/// Accuracy: as geocore/nature/naming.hpp.
/// Errors:   none.
/// Source:   own; keys of the JSON in docs/reference/taxa.md.
#pragma once

#include <string>
#include <vector>

#include "geocore/nature/naming.hpp"
#include "planner/sheets/morning_text.hpp"

namespace nestround::sheets {

/// What the answer is about.
struct WaspHead {
    std::string place;  ///< "41.2, -77.1", or how the crew names the place
    Day on{};
    std::vector<std::string> notes;
};

[[nodiscard]] std::string wasp_text(const nature::WaspName& name, const WaspHead& head,
                                    const nature::TaxaTable& table, const TextOptions& options);
[[nodiscard]] std::string wasp_json(const nature::WaspName& name, const WaspHead& head);

[[nodiscard]] std::string traits_text(const std::vector<nature::Trait>& traits,
                                      const TextOptions& options);
[[nodiscard]] std::string traits_json(const std::vector<nature::Trait>& traits);
/// "--eye-loop" of the trait "eye_loop".
[[nodiscard]] std::string trait_option(const nature::Trait& trait);

}  // namespace nestround::sheets
