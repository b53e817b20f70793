/// \file import_crews.hpp
/// \brief Use case: crews and what is on their trucks from tables into the book.
///
/// Purpose:  a crew is known by its name; one that is there is brought up to date, gear and all.
/// Units:    as the records.
/// Range:    gear of a crew that neither file nor book knows is an error.
/// Accuracy: not applicable.
/// Errors:   Failure; the book is then as it was.
/// Source:   own.
#pragma once

#include <cstddef>
#include <optional>

#include "geocore/book/book.hpp"
#include "geocore/intake/crews.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::app {

struct CrewTally {
    std::size_t added = 0;
    std::size_t changed = 0;
    std::size_t gear = 0;
};

[[nodiscard]] CrewTally import_crews(book::Book& book, intake::CrewBatch crews,
                                     const std::optional<intake::GearBatch>& gear, Instant now,
                                     KeyMaker& keys);

}  // namespace nestround::app
