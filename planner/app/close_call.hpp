/// \file close_call.hpp
/// \brief What a visit that worked at the nest makes of its call: taken, or due a second time.
///
/// Purpose:  one rule for steps from a phone, lists of catches and comb brought home.
/// Units:    in the types.
/// Range:    waiting calls; others stay as they are.
/// Accuracy: `day` is the caller's; a visit counts when something was worked there.
/// Errors:   none.
/// Source:   own.
#pragma once

#include "geocore/book/book.hpp"

namespace nestround::app {

/// The call after this visit; nothing when it stays as it is. A call that wants a second visit
/// waits on after its first one, due from `after` that has ended: the visit's end, else `at`.
[[nodiscard]] std::optional<Call> call_after(const book::Book& book, const Call& call,
                                             const Visit& visit, Day day, Instant at);

}  // namespace nestround::app
