/// \file live_view.hpp
/// \brief Use case: what the program works out from a book, for others to look at as it stands.
///
/// Purpose:  the driver's layers ask for what they show, and only that is worked out, once.
/// Units:    as the parts.
/// Range:    a book of this program's schema; an older one is refused, because looking changes
///           nothing.
/// Accuracy: as the parts.
/// Promise:  the book is opened for reading alone; another process may be writing to it.
/// Errors:   Failure as the parts; each names the file, setting or word.
/// Source:   own.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/density/density_map.hpp"
#include "planner/app/plan_brood.hpp"
#include "planner/app/preferences.hpp"
#include "planner/app/rank_waiting.hpp"
#include "planner/day/day_plan.hpp"

namespace nestround::app {

struct LiveWishes {
    std::string book;
    std::string on = "today";          ///< a date, today or tomorrow
    std::string roads;                 ///< road file; empty: the setting's
    std::string taxa;                  ///< folder of the user's own figures
    std::vector<std::string> species;  ///< of the density; empty: all
    std::string season;                ///< of the density: 2026 or 2024..2026; empty: that of `on`
    double cell_km2 = 4;
};

class LiveView {
public:
    explicit LiveView(LiveWishes wishes);
    ~LiveView();
    LiveView(const LiveView&) = delete;
    LiveView& operator=(const LiveView&) = delete;

    [[nodiscard]] const book::Book& book() const;
    [[nodiscard]] Day on() const;
    /// Whether a road file is named, so that there is a day to show.
    [[nodiscard]] bool has_roads() const;
    /// Where the crews set off; empty when the book has none.
    [[nodiscard]] std::optional<LonLat> depot() const;

    [[nodiscard]] const RankedMorning& ranked();
    [[nodiscard]] const day::DayPlan& plan();
    [[nodiscard]] const density::DensityMap& density();
    /// The comb that stands and what comes out of it from the day on.
    [[nodiscard]] const PlannedBrood& brood();
    /// Code and name of every taxon, for the words a column may hold.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> taxon_names();

private:
    struct Parts;
    std::unique_ptr<Parts> parts_;
};

/// "2026" or "2024..2026" as first and last season; Failure{BadUsage} naming what was typed.
[[nodiscard]] std::pair<int, int> seasons_of(const std::string& typed);

}  // namespace nestround::app
