/// \file outlook.hpp
/// \brief What one nest is expected to be and to give on a day.
///
/// Purpose:  the value that ranking, planning and sheets share, and the forecast that makes it.
/// Units:    in the types; workers are a count.
/// Range:    low <= middle <= high; a colony that is over, or not yet begun, gives zeros.
/// Accuracy: the notes say what it rests on; unknown makes it wide, never absent.
/// Cost:     `numbers` answers some hundred thousand nests a second once it has met their taxon,
///           latitude band (a degree) and day; the free function starts afresh each time.
/// Errors:   none: an unknown taxon or a contradiction is a note and a wide forecast.
/// Source:   docs/science/season-and-yield.md.
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/spread.hpp"
#include "geocore/nature/observations.hpp"
#include "geocore/nature/season.hpp"
#include "geocore/nature/season_heat.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "geocore/records/call.hpp"
#include "geocore/units/units.hpp"
#include "planner/yield/learning.hpp"

namespace nestround::yield {

struct NestOutlook {
    std::string taxon;       ///< code of the taxa table, or empty when unknown
    std::string taxon_name;  ///< scientific name, or "unknown social wasp"
    std::string stage;       ///< in words: "build-up", "raising queens and males", ...
    std::array<double, nature::kStages> stages{};  ///< chance of each nature::Stage
    double stage_chance = 0;                       ///< of the one that `stage` names
    double sexuals_out = 0;         ///< chance that new queens or males are out of their cells
    Spread<double> workers;         ///< alive in the nest
    Spread<double> sealed_workers;  ///< sealed cells that workers will come of
    Spread<double> sealed_sexuals;  ///< sealed cells that queens and males will come of
    Spread<double> gynes;           ///< new queens in the nest
    Spread<double> males;
    Spread<Grams> grams;                ///< of frozen workers, as a crew would catch them
    Grams in_7_days{};                  ///< median grams if taken a week later
    Grams in_14_days{};                 ///< median grams if taken a fortnight later
    bool venom = true;                  ///< false: insecticide was used, laboratories get nothing
    std::vector<std::string> notes;     ///< what the forecast rests on, and its doubts
    std::vector<std::string> cautions;  ///< of the taxon, with their source; never "is safe"
};

/// The figures of an outlook without its words.
struct NestNumbers {
    std::array<double, nature::kStages> stages{};
    double sexuals_out = 0;
    Spread<double> workers, sealed_workers, sealed_sexuals, gynes, males;
    Spread<double> grams;  ///< g
    double in_7_days = 0;  ///< g, median
    double in_14_days = 0;
    bool fits = true;  ///< what was seen can be; else the figures hold all that may be
};

/// A nest on a day as weighted courses, for whoever works out more of them than is here.
/// `season` lives as long as the forecaster.
struct NestCourses {
    const nature::Season* season = nullptr;
    double day = 0;               ///< of the season
    std::vector<double> weights;  ///< of season->courses(); add up to 1
    Spread<double> catch_share;
    Spread<double> level{1, 1, 1};  ///< what own catches multiply the workers by
    double mass = 1;                ///< and the mass of a wasp
};

/// What a crew may set for itself; empty takes the table's row.
struct YieldSettings {
    std::optional<Spread<double>> catch_share;  ///< of the workers alive, 0 to 1
    /// How far this year runs from the calendar, when the user asks for it; its middle moves the
    /// dates, its spread is left to the calendar's own doubt.
    std::shared_ptr<const nature::SeasonShift> shift;
    std::shared_ptr<const Learner> learned;  ///< the book's own catches; none is the table alone
};

/// Forecasts for many nests; remembers what it worked out for a taxon, latitude band and day.
/// The table must outlive it. Not for use from two threads at once.
class Forecaster {
public:
    explicit Forecaster(const nature::TaxaTable& table, YieldSettings settings = {});
    ~Forecaster();
    Forecaster(Forecaster&&) noexcept;
    Forecaster& operator=(Forecaster&&) noexcept;

    [[nodiscard]] NestOutlook outlook(const Nest& nest, LonLat place, Day on);
    /// With what was seen beside the book; days of the season that `season_day` gives.
    [[nodiscard]] NestOutlook outlook(const Nest& nest, LonLat place, Day on,
                                      std::span<const nature::Observation> seen);
    /// The figures alone. Allocates nothing once it has met the taxon, band and day.
    [[nodiscard]] NestNumbers numbers(const Nest& nest, LonLat place, Day on,
                                      std::span<const nature::Observation> seen = {});
    [[nodiscard]] NestCourses courses(const Nest& nest, LonLat place, Day on,
                                      std::span<const nature::Observation> seen = {});

private:
    struct Memory;
    std::unique_ptr<Memory> memory_;
};

/// One nest.
/// What is known when either may be.
[[nodiscard]] NestNumbers either(const NestNumbers& one, const NestNumbers& other);

[[nodiscard]] NestOutlook outlook(const nature::TaxaTable& table, const Nest& nest, LonLat place,
                                  Day on, const YieldSettings& settings = {});

}  // namespace nestround::yield
