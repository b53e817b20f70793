/// \file room_memory.hpp
/// \brief What the rooms keep between requests: forecasts, roads made ready, the plan that stands.
///
/// Purpose:  a plan comes back within a second, and a second person sees the first one's plan.
/// Units:    none.
/// Range:    plans of the last days that were asked for; gone when the program ends.
/// Accuracy: forecasts are made anew when the desk's revision has grown.
/// Errors:   as the parts.
/// Source:   own.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <set>
#include <string>

#include "planner/app/plan_morning.hpp"
#include "planner/desk/message.hpp"

namespace nestround::desk {

class Desk;

class RoomMemory {
public:
    /// The waiting calls of a day, ranked; made once for a revision of the book.
    [[nodiscard]] std::shared_ptr<const app::RankedMorning> ranked(Desk& desk, Day on);
    /// For the thread that plans.
    [[nodiscard]] app::MorningMemory& for_plan(Desk& desk);

    void keep_plan(Day on, Json plan);
    [[nodiscard]] Json plan_of(Day on) const;  ///< null when there is none

    void met(const std::string& person);
    [[nodiscard]] std::set<std::string> people() const;

    /// A body made once for a revision; nothing when it is not there.
    [[nodiscard]] std::optional<std::string> body(Desk& desk, const std::string& key) const;
    void keep_body(std::uint64_t revision, const std::string& key, std::string body);

    /// The answer made by `make`, once for a revision, however many ask for it at the same time.
    [[nodiscard]] Answer kept(Desk& desk, const std::string& key,
                              const std::function<Json()>& make);

private:
    void heed(Desk& desk);

    mutable std::mutex mutex_;
    std::uint64_t revision_ = 0;
    app::MorningMemory morning_;
    std::map<Day, Json> plans_;
    std::set<std::string> people_;
    std::uint64_t bodies_of_ = 0;
    std::map<std::string, std::string> bodies_;
    std::mutex making_;
};

}  // namespace nestround::desk
