/// \file name_wasp.hpp
/// \brief Use case: which wasp is it, from what was seen or from what the book says of a call.
///
/// Purpose:  turns lengths into answers, takes kind, height and width of a waiting nest from the
///           book, and asks the naming.
/// Units:    lengths in the type.
/// Range:    what is typed goes before what the book holds; the book is only read.
/// Accuracy: as geocore/nature/naming.hpp.
/// Errors:   Failure: InvalidInput for an unknown trait or answer; NotFound for an unknown call.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/nature/naming.hpp"
#include "geocore/records/call.hpp"

namespace nestround::app {

/// A trait as typed: an answer, or a length for a trait that is measured.
struct TypedTrait {
    std::string trait;
    std::string answer;
    std::optional<Metres> length;
};

/// The answer that a typed trait gives.
[[nodiscard]] nature::Seen read_trait(const nature::TaxaTable& table, const TypedTrait& typed);
/// What the book's record of a nest says, without the traits that were typed.
[[nodiscard]] std::vector<nature::Seen> traits_of_nest(const nature::TaxaTable& table,
                                                       const Nest& nest,
                                                       const std::vector<nature::Seen>& typed);

}  // namespace nestround::app
