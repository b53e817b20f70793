#include "planner/sheets/stop_words.hpp"

#include <algorithm>

#include "planner/sheets/show.hpp"

namespace nestround::sheets {

namespace {

bool has(const std::vector<std::string>& list, const std::string& word)
{
    return std::find(list.begin(), list.end(), word) != list.end();
}

std::vector<std::string> cautions_of(const day::PlannedStop& stop)
{
    std::vector<std::string> all = stop.access.cautions;
    const auto& more = stop.call.outlook.cautions;
    all.insert(all.end(), more.begin(), more.end());
    return all;
}

}  // namespace

std::string joined(const std::vector<std::string>& parts, std::string_view glue)
{
    std::string text;
    for (const std::string& part : parts) {
        const std::string shown = clean(part);
        if (shown.empty()) {
            continue;
        }
        text += (text.empty() ? "" : std::string{glue}) + shown;
    }
    return text;
}

std::string hours_words(const Call& call)
{
    std::string text;
    for (const ClockSpan& span : call.allowed) {
        text += (text.empty() ? "only " : ", ") + format_clock_span(span);
    }
    return text;
}

SharedWords shared_by_all(const day::DayPlan& plan)
{
    SharedWords shared;
    std::size_t stops = 0;
    for (const auto& crew : plan.crews) {
        for (const auto& stop : crew.stops) {
            auto cautions = cautions_of(stop);
            auto gear = stop.access.gear;
            if (stops++ == 0) {
                shared = {std::move(cautions), std::move(gear)};
                continue;
            }
            std::erase_if(shared.cautions, [&](const auto& word) { return !has(cautions, word); });
            std::erase_if(shared.gear, [&](const auto& word) { return !has(gear, word); });
        }
    }
    return stops > 1 ? shared : SharedWords{};
}

std::vector<std::string> carried(const day::PlannedStop& stop, const SharedWords& shared)
{
    std::vector<std::string> words;
    if (!shared.gear.empty()) {
        words.emplace_back("usual kit");
    }
    for (const std::string& piece : stop.access.gear) {
        if (!has(shared.gear, piece)) {
            words.push_back(piece);
        }
    }
    return words;
}

std::vector<std::string> minded(const day::PlannedStop& stop, const SharedWords& shared)
{
    const Call& call = stop.call.sheet.call;
    // The call's own marks stand first even where a caution speaks of them again: said twice is
    // better than not said.
    std::vector<std::string> words;
    const auto add = [&](const std::string& word) {
        if (!has(words, word)) {
            words.push_back(word);
        }
    };
    if (call.allergic) {
        add("someone here is allergic to stings");
    }
    if (call.near_door) {
        add("near a door or window in use");
    }
    if (call.ladder == LadderPermission::Refused) {
        add("no ladder against the house");
    }
    for (const std::string& caution : cautions_of(stop)) {
        if (!has(shared.cautions, caution)) {
            add(caution);
        }
    }
    return words;
}

}  // namespace nestround::sheets
