#include "planner/app/hold_calls.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/base/error.hpp"
#include "planner/app/orders.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"

namespace nestround::app {

std::vector<HeldCall> hold_calls(const book::Book& book, const Preferences& preferences, Day on,
                                 int days, const std::vector<std::string>& keys)
{
    if (days < 1 || days > kMostHoldDays) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--days wants 1 to {}, not {}", kMostHoldDays, days)};
    }
    auto sheets = book.waiting_calls(on);
    if (!keys.empty()) {
        std::vector<CallId> wanted;
        for (const auto& key : keys) {
            const auto id = book.find_call(key);
            if (std::none_of(sheets.begin(), sheets.end(),
                             [&](const CallSheet& sheet) { return sheet.call.id == id; })) {
                throw Failure{
                    ErrorCode::NotFound,
                    fmt::format("it does not wait on {}: not yet called, taken or given up",
                                format_day(on)),
                    "call " + key};
            }
            wanted.push_back(id);
        }
        std::erase_if(sheets, [&](const CallSheet& sheet) {
            return std::find(wanted.begin(), wanted.end(), sheet.call.id) == wanted.end();
        });
    }
    const auto taxa = taxa_in_use(book, preferences);
    yield::Forecaster forecaster{*taxa, learned_settings(book, preferences, *taxa, on)};
    const auto weights = rank_by_orders(book, preferences, on);
    auto ranked = rank::rank_calls(sheets, forecaster, on, weights);
    std::vector<HeldCall> held;
    for (auto& call : ranked) {
        const auto outlook = [&](Day day) {
            return forecaster.outlook(call.sheet.nest, call.sheet.site.place, day);
        };
        auto curve = season::hold_curve(call.sheet, outlook, on, days, weights, preferences.hold);
        held.push_back({std::move(call), std::move(curve)});
    }
    return held;
}

}  // namespace nestround::app
