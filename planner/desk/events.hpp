/// \file events.hpp
/// \brief What happens, told to all who listen: one list of events, numbered.
///
/// Purpose:  two people at the desk see each other's changes, and long work its progress.
/// Units:    none.
/// Range:    the last kKept events are remembered, so that a line that broke can take up again;
///           who fell further behind is told to load anew (event "missed").
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   form of an event: WHATWG HTML, server-sent events.
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstdint>
#include <deque>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

namespace nestround::desk {

struct Event {
    std::uint64_t number = 0;
    std::string name;  ///< changed, progress, finished, failed, missed
    std::string data;  ///< JSON, one line
};

class EventHub {
public:
    static constexpr std::size_t kKept = 512;

    /// Tells all who listen; gives the event's number.
    std::uint64_t publish(std::string name, std::string data);
    [[nodiscard]] std::uint64_t last() const;
    /// The events after `after`; waits for one at most so long. Nothing when the hub is closed.
    [[nodiscard]] std::optional<std::vector<Event>> wait(std::uint64_t after,
                                                         std::chrono::milliseconds patience) const;
    /// Lets all who wait go.
    void close();

private:
    mutable std::mutex mutex_;
    mutable std::condition_variable news_;
    std::deque<Event> events_;
    std::uint64_t last_ = 0;
    bool closed_ = false;
};

/// As it goes over the line: id, event, data and an empty line.
[[nodiscard]] std::string event_text(const Event& event);

}  // namespace nestround::desk
