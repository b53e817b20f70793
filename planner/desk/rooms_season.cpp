// The season: who is taken when, what is held and why.
#include <array>

#include "planner/app/plan_season.hpp"
#include "planner/desk/room_support.hpp"
#include "planner/desk/rooms.hpp"
#include "planner/sheets/season_sheet.hpp"

namespace nestround::desk {
namespace {

/// A work: its result is what `season --json` gives.
Answer season(Desk& desk, const Request& request)
{
    constexpr int kDays = 42;
    constexpr int kMostDays = 120;
    if (!desk.network()) {
        throw Refusal{409,
                      "no_roads",
                      "a season is planned along roads: start the desk with --roads FILE",
                      {}};
    }
    app::SeasonWishes wishes;
    wishes.from = day_asked(desk, request, "from");
    const auto to = request.asked("to").value_or("");
    wishes.to = to.empty() ? wishes.from + std::chrono::days{kDays - 1} : day_typed(desk, to, "to");
    if (wishes.to < wishes.from || (wishes.to - wishes.from).count() >= kMostDays) {
        throw Fields::wrong("to", "lies 0 to 119 days after from");
    }
    for (auto at = request.query.lower_bound("off"); at != request.query.upper_bound("off"); ++at) {
        wishes.days_off.push_back(at->second);
    }
    if (desk.read([](const book::Book& book) { return book.crews().empty(); })) {
        throw Refusal{409, "no_crews", "the book has no crew: nestround crew import", {}};
    }
    const auto name = desk.works().start([&desk, wishes](const Progress& progress) mutable {
        progress.report(0, "forecasting every nest on every day");
        double told = 0;
        wishes.keep_going = [&](double share) {
            if (share >= told + 0.02 || progress.cancelled()) {
                told = share;
                progress.report(share, "choosing days");
            }
            return true;
        };
        const auto preferences = desk.preferences();
        return desk.read([&](const book::Book& book) {
            const auto planned = app::plan_season(book, desk.network(), *preferences, wishes);
            const sheets::SeasonSheet sheet{planned.input, planned.plan, planned.calls_a_day,
                                            planned.notes};
            Json body = Json::parse(sheets::season_json(sheet));
            body["notes"] = planned.notes;
            return body;
        });
    });
    auto answer = json({{"work", name}}, 202);
    answer.headers["Location"] = "/api/works/" + name;
    answer.headers["Cache-Control"] = "no-store";
    return answer;
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/season", season},
};

}  // namespace

std::span<const Route> season_routes() { return kRoutes; }

}  // namespace nestround::desk
