#include "planner/desk/works.hpp"

#include <algorithm>

#include "geocore/base/error.hpp"

namespace nestround::desk {

void Progress::report(double share, const std::string& words) const
{
    if (cancelled()) {
        throw Cancelled{};
    }
    tell_(std::clamp(share, 0.0, 1.0), words);
}

WorkDesk::WorkDesk(EventHub& events) : events_{events}, thread_{[this] { run(); }} {}

WorkDesk::~WorkDesk() { close(); }

void WorkDesk::close()
{
    {
        const std::lock_guard lock{mutex_};
        closed_ = true;
        for (auto& [name, item] : items_) {
            item.cancelled->store(true);
        }
    }
    news_.notify_all();
    if (thread_.joinable()) {
        thread_.join();
    }
}

std::string WorkDesk::start(Work work)
{
    std::string name;
    {
        const std::lock_guard lock{mutex_};
        if (closed_ || waiting_.size() >= kMostWaiting) {
            throw Refusal{503, "busy", "too much work is waiting; try again in a moment", {}};
        }
        name = "w" + std::to_string(++count_);
        auto& item = items_[name];
        item.state.state = "waiting";
        item.work = std::move(work);
        item.cancelled = std::make_shared<std::atomic<bool>>(false);
        waiting_.push_back(name);
    }
    news_.notify_all();
    return name;
}

std::optional<WorkState> WorkDesk::state(const std::string& name) const
{
    const std::lock_guard lock{mutex_};
    const auto found = items_.find(name);
    return found == items_.end() ? std::nullopt : std::optional{found->second.state};
}

bool WorkDesk::cancel(const std::string& name)
{
    bool was_waiting = false;
    {
        const std::lock_guard lock{mutex_};
        const auto found = items_.find(name);
        if (found == items_.end()) {
            return false;
        }
        found->second.cancelled->store(true);
        const auto place = std::find(waiting_.begin(), waiting_.end(), name);
        was_waiting = place != waiting_.end();
        if (was_waiting) {
            waiting_.erase(place);
        }
    }
    if (was_waiting) {
        WorkState state;
        state.state = "cancelled";
        end(name, std::move(state));
    }
    return true;
}

void WorkDesk::run()
{
    for (;;) {
        std::string name;
        Work work;
        std::shared_ptr<std::atomic<bool>> cancelled;
        {
            std::unique_lock lock{mutex_};
            news_.wait(lock, [&] { return closed_ || !waiting_.empty(); });
            if (closed_) {
                return;
            }
            name = waiting_.front();
            waiting_.pop_front();
            auto& item = items_[name];
            item.state.state = "running";
            work = std::move(item.work);
            cancelled = item.cancelled;
        }
        run_one(name, work, cancelled);
    }
}

void WorkDesk::run_one(const std::string& name, const Work& work,
                       const std::shared_ptr<std::atomic<bool>>& cancelled)
{
    Progress progress;
    progress.cancelled_ = cancelled;
    progress.tell_ = [&](double share, const std::string& words) {
        {
            const std::lock_guard lock{mutex_};
            auto& state = items_[name].state;
            state.share = share;
            state.words = words;
        }
        events_.publish("progress", Json{{"work", name}, {"share", share}, {"words", words}}.dump(
                                        -1, ' ', false, Json::error_handler_t::replace));
    };
    WorkState state;
    try {
        state.result = work(progress);
        state.state = cancelled->load() ? "cancelled" : "finished";
        state.share = 1;
    } catch (const Cancelled&) {
        state.state = "cancelled";
    } catch (const Refusal& refusal) {
        state.state = "failed";
        state.error = refusal.message;
        state.error_code = refusal.code;
    } catch (const Failure& failure) {
        state.state = "failed";
        state.error = failure.what();
        state.error_code = "failed";
    } catch (const std::exception& problem) {
        state.state = "failed";
        state.error = std::string{"internal error: "} + problem.what();
        state.error_code = "internal";
    }
    if (cancelled->load()) {
        state = {};
        state.state = "cancelled";
    }
    end(name, std::move(state));
}

void WorkDesk::end(const std::string& name, WorkState state)
{
    const auto how = state.state;
    Json data{{"work", name}};
    if (how == "failed") {
        data["error"] = state.error;
    } else if (how == "cancelled") {
        data["error"] = "cancelled";
    }
    {
        const std::lock_guard lock{mutex_};
        items_[name].state = std::move(state);
        ended_.push_back(name);
        while (ended_.size() > kKept) {
            items_.erase(ended_.front());
            ended_.pop_front();
        }
    }
    events_.publish(how == "finished" ? "finished" : "failed",
                    data.dump(-1, ' ', false, Json::error_handler_t::replace));
}

}  // namespace nestround::desk
