/// \file works.hpp
/// \brief Long work: one after the other on a thread of its own, with progress, and stopped when
///        nobody wants it any more.
///
/// Purpose:  a plan that takes a second is answered at once with the name of the work.
/// Units:    shares from 0 to 1.
/// Range:    kMostWaiting works wait at most; kKept that ended are remembered.
/// Accuracy: not applicable.
/// Errors:   start() throws Refusal 503 when too much waits. A work that throws has failed, with
///           the message of what it threw.
/// Source:   own.
#pragma once

#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "planner/desk/events.hpp"
#include "planner/desk/message.hpp"

namespace nestround::desk {

/// Thrown inside a work that was cancelled.
struct Cancelled {};

class Progress {
public:
    /// Tells how far it is and throws Cancelled when nobody wants it any more.
    void report(double share, const std::string& words) const;
    [[nodiscard]] bool cancelled() const { return cancelled_->load(); }
    /// For solvers that look at a flag.
    [[nodiscard]] const std::atomic<bool>& flag() const { return *cancelled_; }

private:
    friend class WorkDesk;
    std::function<void(double, const std::string&)> tell_;
    std::shared_ptr<std::atomic<bool>> cancelled_;
};

struct WorkState {
    std::string state;  ///< waiting, running, finished, failed, cancelled
    double share = 0;
    std::string words;
    Json result;        ///< when finished
    std::string error;  ///< when failed
    std::string error_code;
};

class WorkDesk {
public:
    using Work = std::function<Json(const Progress&)>;
    static constexpr std::size_t kMostWaiting = 16;
    static constexpr std::size_t kKept = 32;

    explicit WorkDesk(EventHub& events);
    WorkDesk(const WorkDesk&) = delete;
    WorkDesk& operator=(const WorkDesk&) = delete;
    ~WorkDesk();

    /// Gives the work's name.
    std::string start(Work work);
    [[nodiscard]] std::optional<WorkState> state(const std::string& name) const;
    /// False when there is no such work. One that ended stays as it is.
    bool cancel(const std::string& name);
    /// Cancels everything and ends the thread.
    void close();

private:
    struct Item {
        WorkState state;
        Work work;
        std::shared_ptr<std::atomic<bool>> cancelled;
    };
    void run();
    void run_one(const std::string& name, const Work& work,
                 const std::shared_ptr<std::atomic<bool>>& cancelled);
    void end(const std::string& name, WorkState state);

    EventHub& events_;
    mutable std::mutex mutex_;
    std::condition_variable news_;
    std::map<std::string, Item> items_;
    std::deque<std::string> waiting_;
    std::deque<std::string> ended_;
    std::uint64_t count_ = 0;
    bool closed_ = false;
    std::thread thread_;
};

}  // namespace nestround::desk
