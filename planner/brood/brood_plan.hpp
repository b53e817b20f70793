/// \file brood_plan.hpp
/// \brief All comb that stands: what each habitat gives from today, and when to go round.
///
/// Purpose:  joins the forecasts of single combs into habitats, and habitats into rounds.
/// Units:    days from `on`; points; adults; grams.
/// Range:    1 to 200 days; any number of habitats.
/// Accuracy: combs of a habitat are taken to be early or late together, so that its bounds are the
///           sums of theirs: wide rather than narrow.
/// Cost:     some milliseconds a comb.
/// Errors:   none.
/// Source:   docs/science/brood.md.
#pragma once

#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/harvest.hpp"
#include "planner/brood/emergence.hpp"
#include "planner/brood/rounds.hpp"

namespace nestround::brood {

/// What a crew may set for itself; every value is an assumption or common practice until then.
struct BroodSettings {
    double cost_per_minute = 0.1;  ///< points; assumption
    double worth_per_gram = 1;     ///< points; that of the ranking
    bool ripening = false;         ///< count venom that ripens although no figure was published
    double collect_minutes = 15;   ///< a habitat
    double feed_minutes = 5;       ///< a habitat
    double round_minutes = 10;     ///< a round
    int feed_days = 3;
    double death = 0.04;          ///< of waiting adults, a day
    bool hold_when_full = false;  ///< a day takes no more nests than comb finds a place
};

struct StandingComb {
    std::string key;    ///< short, as a person types it
    std::string name;   ///< of the place that it came from
    std::string taxon;  ///< code, or empty
    std::string taxon_name;
    int first_day = 0;  ///< its first midnight, in days from `on`; not above 0
    double cells = 0;   ///< of every kind
    double worth_per_gram = 1;
    EmergenceInput input;
    std::vector<std::string> notes;
};

struct StandingHabitat {
    Habitat habitat;
    std::vector<StandingComb> combs;
};

struct BroodInput {
    Day on{};
    int days = 45;
    std::vector<StandingHabitat> habitats;
    std::vector<bool> is_off;      ///< days on which nobody goes round; empty: none
    std::vector<bool> is_driving;  ///< days on which a crew drives anyway; empty: none
    BroodSettings settings;
    BroodFigures figures;  ///< of every wasp, for what is common
};

struct CombOutlook {
    Emergence emergence;
    int last_day = 0;    ///< from `on`; by then nine in ten times nearly all is out
    double waiting = 0;  ///< adults expected to be there now
};

struct HabitatOutlook {
    std::vector<CombOutlook> combs;
    std::vector<DayEmergence> days;  ///< from `on`
    Spread<double> workers_left;
    Spread<double> reproductives_left;
    Spread<double> grams_left;  ///< live, of workers
    double waiting = 0;
    int last_day = 0;
};

/// How much of the room is in use.
struct Room {
    int combs_standing = 0;
    double cells_standing = 0;
    std::optional<int> combs;  ///< in all habitats; empty when one of them does not say
    std::optional<int> cells;

    /// Combs that still find a place; empty when nobody said how many do.
    [[nodiscard]] std::optional<int> combs_left() const;
    [[nodiscard]] bool is_full() const;
};
[[nodiscard]] Room room_of(const std::vector<StandingHabitat>& habitats);

struct BroodPlan {
    Day on{};
    int days = 0;
    std::vector<HabitatOutlook> habitats;  ///< in the order of the input
    std::vector<RoundPlace> places;
    RoundPlan rounds;
    Room room;
    std::vector<std::string> notes;
};

[[nodiscard]] BroodPlan plan_brood(const BroodInput& input);

}  // namespace nestround::brood
