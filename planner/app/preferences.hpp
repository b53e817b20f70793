/// \file preferences.hpp
/// \brief The book's settings as typed values.
///
/// Purpose:  one place that knows the names of settings; every other part gets values.
/// Units:    a name's last part has them: day.lunch_length_min.
/// Range:    a setting that is absent takes its default; one that cannot be read is an error that
///           names it.
/// Accuracy: as entered.
/// Errors:   Failure{InvalidInput} naming the setting.
/// Source:   docs/reference/settings.md.
#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>

#include "geocore/nature/season_heat.hpp"
#include "planner/access/reach.hpp"
#include "planner/app/drive.hpp"
#include "planner/brood/brood_plan.hpp"
#include "planner/day/plan_day.hpp"
#include "planner/rank/rank.hpp"
#include "planner/season/hold.hpp"
#include "planner/yield/harvest.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::app {

/// How orders weigh, and how money is written.
struct OrderSettings {
    std::string currency = "USD";           ///< ISO 4217; two decimals
    double surplus_worth = 0.3;             ///< of a gram beyond what is wanted; assumption
    std::optional<double> minor_per_point;  ///< smallest units that weigh as one point; empty:
                                            ///< prices do not weigh
};

/// How much of a nest's place and day a partner is given. Clients are never given.
enum class PrivacyTier {
    Exact,  ///< place and day as the book has them
    Grid,   ///< the middle of a square of a fixed grid, with its uncertainty; the month
    Cells,  ///< squares of the grid with nests of a kind at so many houses or more; the season
};

struct PartnerSettings {
    bool has_tier = false;  ///< nothing is shared with a partner whose tier nobody chose
    PrivacyTier tier = PrivacyTier::Cells;
    double grid_m = 2000;              ///< side of the squares
    int at_least = 5;                  ///< houses behind a count, or it is left out
    std::vector<std::string> species;  ///< codes or names; empty: all
    std::string title;                 ///< how the partner is called in the file; else its name
    std::string licence;               ///< of what is given, as a URI or in words
    bool photos = false;               ///< of the nests; in the exact tier only
};

struct Preferences {
    std::string region = "unnamed region";
    std::string time_zone = "UTC";
    bool us_units = false;
    std::string roads;        ///< path of the road file, empty when none is set
    std::string places;       ///< path of the file of places, empty when none is set
    std::string taxa_folder;  ///< of the user's own figures of wasps, empty when none is set
    rank::RankSettings rank;
    yield::YieldSettings yield;
    yield::HarvestSettings harvest;
    day::DaySettings day;
    day::LimitSettings limits;
    access::AccessSettings access;
    season::HoldSettings hold;
    OrderSettings orders;
    std::map<std::string, PartnerSettings> partners;  ///< by name
    nature::HeatSettings heat;
    DriveSettings drive;
    brood::BroodSettings brood;
    double change_costs = day::Standing{}.change_costs;  ///< points; see day/standing.hpp
    std::uint64_t seed = 1;
    std::uint64_t iterations = 20000;
};

[[nodiscard]] Preferences preferences(const std::map<std::string, std::string>& settings);

}  // namespace nestround::app
