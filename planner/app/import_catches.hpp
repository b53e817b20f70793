/// \file import_catches.hpp
/// \brief Use case: what visits brought home, from a file into the book.
///
/// Purpose:  finds the call, its nest and the crew of each row; writes a visit and its catch, and
///           closes the call as taken. A catch that is there already is not written again.
/// Units:    as the records.
/// Range:    a row whose call or crew the book does not have is refused.
/// Accuracy: not applicable.
/// Errors:   Failure; the book is then as it was.
/// Source:   own.
#pragma once

#include <cstddef>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/intake/catches.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::app {

struct CatchTally {
    std::size_t added = 0;
    std::size_t known = 0;
    std::vector<intake::RefusedRow> refused;
};

[[nodiscard]] CatchTally import_catches(book::Book& book, const intake::CatchBatch& batch,
                                        Instant now, KeyMaker& keys);

}  // namespace nestround::app
