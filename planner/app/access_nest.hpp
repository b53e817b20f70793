/// \file access_nest.hpp
/// \brief Use case: how one nest of the book is reached, by one crew or each of them.
///
/// Purpose:  `nestround access BOOK --call KEY`.
/// Units:    as planner/access.
/// Range:    any call of the book.
/// Accuracy: as planner/access; minutes are learned from the book's visits.
/// Errors:   Failure: NotFound for a call or crew that is not there.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/access/learned.hpp"
#include "planner/app/preferences.hpp"

namespace nestround::app {

struct NestAccess {
    CallSheet sheet;
    std::string crew;
    access::AccessPlan plan;
};

struct NestAccesses {
    std::vector<NestAccess> crews;          ///< one a crew
    std::vector<access::MethodTime> times;  ///< what the book's visits say
};

/// `own`: the settings of the book. `crew` empty: every active crew.
[[nodiscard]] NestAccesses access_nest(const book::Book& book, const access::AccessSettings& own,
                                       const std::string& call, const std::string& crew);

}  // namespace nestround::app
