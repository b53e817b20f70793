/// \file enter_call.hpp
/// \brief Use case: one call as it is taken down, and what is changed of it later.
///
/// Purpose:  what the desk writes; each is one change, with who did it.
/// Units:    in the records.
/// Range:    a call whose key was made where it was typed is entered once, however often it comes.
/// Accuracy: as entered.
/// Errors:   Failure: NotFound, RuleBroken; the book is then as it was.
/// Source:   own.
#pragma once

#include <optional>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::app {

struct TypedCall {
    CallSheet sheet;  ///< keys nil, but that of the call when it was made elsewhere
    std::optional<Client> client;
    std::vector<PhotoId> photos;  ///< taken before the call was entered
};

struct EnteredCall {
    CallId call;
    bool known = false;  ///< it was there already, and nothing was written
};

[[nodiscard]] EnteredCall enter_call(book::Book& book, TypedCall typed, const Deed& deed,
                                     Instant now, KeyMaker& keys);

/// Writes call, nest and site, and the client when one is given: the call's own, or a new one.
void change_call(book::Book& book, CallSheet sheet, const std::optional<Client>& client,
                 const Deed& deed, Instant now, KeyMaker& keys);

}  // namespace nestround::app
