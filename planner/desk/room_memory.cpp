#include "planner/desk/room_memory.hpp"

#include "planner/desk/desk.hpp"

namespace nestround::desk {

void RoomMemory::heed(Desk& desk)
{
    const std::lock_guard lock{mutex_};
    if (revision_ != desk.revision()) {
        revision_ = desk.revision();
        morning_.forget();
    }
}

std::shared_ptr<const app::RankedMorning> RoomMemory::ranked(Desk& desk, Day on)
{
    heed(desk);
    const auto preferences = desk.preferences();
    return desk.read([&](const book::Book& book) {
        try {
            return morning_.ranked(book, *preferences, on, false);
        } catch (const Failure& failure) {
            // A day that the weather does not reach is shown all the same, and says so.
            if (failure.error().code != ErrorCode::InvalidInput) {
                throw;
            }
            auto without = std::make_shared<app::RankedMorning>(
                *morning_.ranked(book, *preferences, on, true));
            without->notes.push_back(failure.error().message);
            return std::shared_ptr<const app::RankedMorning>{std::move(without)};
        }
    });
}

app::MorningMemory& RoomMemory::for_plan(Desk& desk)
{
    heed(desk);
    return morning_;
}

void RoomMemory::keep_plan(Day on, Json plan)
{
    constexpr std::size_t kMostDays = 8;
    const std::lock_guard lock{mutex_};
    plans_[on] = std::move(plan);
    if (plans_.size() > kMostDays) {
        plans_.erase(plans_.begin()->first == on ? std::prev(plans_.end()) : plans_.begin());
    }
}

Json RoomMemory::plan_of(Day on) const
{
    const std::lock_guard lock{mutex_};
    const auto at = plans_.find(on);
    return at == plans_.end() ? Json(nullptr) : at->second;
}

void RoomMemory::met(const std::string& person)
{
    constexpr std::size_t kMostPeople = 100;
    const std::lock_guard lock{mutex_};
    if (!person.empty() && people_.size() < kMostPeople) {
        people_.insert(person);
    }
}

std::set<std::string> RoomMemory::people() const
{
    const std::lock_guard lock{mutex_};
    return people_;
}

std::optional<std::string> RoomMemory::body(Desk& desk, const std::string& key) const
{
    const std::lock_guard lock{mutex_};
    const auto at = bodies_.find(key);
    return bodies_of_ == desk.revision() && at != bodies_.end() ? std::optional{at->second}
                                                                : std::nullopt;
}

Answer RoomMemory::kept(Desk& desk, const std::string& key, const std::function<Json()>& make)
{
    auto there = body(desk, key);
    if (!there) {
        const std::lock_guard lock{making_};
        there = body(desk, key);
        if (!there) {
            const auto revision = desk.revision();
            there = json(make()).body;
            keep_body(revision, key, *there);
        }
    }
    Answer answer;
    answer.headers["Cache-Control"] = "no-store";
    answer.body = std::move(*there);
    return answer;
}

void RoomMemory::keep_body(std::uint64_t revision, const std::string& key, std::string body)
{
    constexpr std::size_t kMostBodies = 128;
    const std::lock_guard lock{mutex_};
    if (bodies_of_ != revision || bodies_.size() >= kMostBodies) {
        bodies_.clear();
        bodies_of_ = revision;
    }
    bodies_[key] = std::move(body);
}

}  // namespace nestround::desk
