#include "planner/app/close_call.hpp"

#include <algorithm>

namespace nestround::app {

namespace {

/// Whether the nest was worked at on another visit for this call.
[[nodiscard]] bool was_there_before(const book::Book& book, const Call& call, const Visit& visit)
{
    const auto visits = book.visits(call.nest);
    return std::any_of(visits.begin(), visits.end(), [&](const Visit& other) {
        return other.id != visit.id && other.call == call.id &&
               other.method != WorkMethod::NotReached && other.begun <= visit.begun;
    });
}

}  // namespace

std::optional<Call> call_after(const book::Book& book, const Call& call, const Visit& visit,
                               Day day, Instant at)
{
    if (call.state != CallState::Waiting) {
        return std::nullopt;
    }
    Call after = call;
    if (call.second.after && !was_there_before(book, call, visit)) {
        after.second.due = visit.ended.value_or(at) + *call.second.after;
        return after;
    }
    after.state = CallState::Taken;
    after.closed = std::max(day, call.received);
    return after;
}

}  // namespace nestround::app
