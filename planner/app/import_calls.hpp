/// \file import_calls.hpp
/// \brief Use case: call-outs from a file, or one typed in, into the book.
///
/// Purpose:  gives rows their keys, leaves out what the book already has, writes all in one change.
/// Units:    as the records.
/// Range:    with a road network, a call with no road within its limit is refused: a place in the
///           water, or longitude and latitude swapped.
/// Accuracy: not applicable.
/// Errors:   Failure; the book is then as it was.
/// Source:   own.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/intake/calls.hpp"
#include "geocore/roads/snapper.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::app {

struct CallTally {
    std::size_t added = 0;
    std::size_t known = 0;  ///< already in the book by their key
    std::vector<intake::RefusedRow> refused;
    std::vector<std::string> flags;  ///< "row 7: ..."
};

struct ImportOptions {
    bool all_or_none = false;                 ///< any refused row refuses the file
    const roads::Snapper* snapper = nullptr;  ///< checks that a road is near, when given
};

[[nodiscard]] CallTally import_calls(book::Book& book, intake::CallBatch batch, Instant now,
                                     KeyMaker& keys, const ImportOptions& options = {});

}  // namespace nestround::app
