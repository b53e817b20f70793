#include "planner/desk/events.hpp"

#include <algorithm>

namespace nestround::desk {

std::uint64_t EventHub::publish(std::string name, std::string data)
{
    std::uint64_t number = 0;
    {
        const std::lock_guard lock{mutex_};
        number = ++last_;
        events_.push_back({number, std::move(name), std::move(data)});
        if (events_.size() > kKept) {
            events_.pop_front();
        }
    }
    news_.notify_all();
    return number;
}

std::uint64_t EventHub::last() const
{
    const std::lock_guard lock{mutex_};
    return last_;
}

std::optional<std::vector<Event>> EventHub::wait(std::uint64_t after,
                                                 std::chrono::milliseconds patience) const
{
    std::unique_lock lock{mutex_};
    news_.wait_for(lock, patience, [&] { return closed_ || last_ != after; });
    if (closed_) {
        return std::nullopt;
    }
    std::vector<Event> out;
    // A number of an earlier run of the program counts as missed too.
    const bool unknown = after > last_;
    if (unknown || (!events_.empty() && after + 1 < events_.front().number)) {
        out.push_back({last_, "missed", "{}"});
        return out;
    }
    for (const Event& event : events_) {
        if (event.number > after) {
            out.push_back(event);
        }
    }
    return out;
}

void EventHub::close()
{
    {
        const std::lock_guard lock{mutex_};
        closed_ = true;
    }
    news_.notify_all();
}

std::string event_text(const Event& event)
{
    std::string data = event.data;
    std::replace(data.begin(), data.end(), '\n', ' ');
    return "id: " + std::to_string(event.number) + "\nevent: " + event.name + "\ndata: " + data +
           "\n\n";
}

}  // namespace nestround::desk
