/// \file access_plan.hpp
/// \brief How a nest is reached, and how long it takes.
///
/// Purpose:  the value that planning, drawing and sheets share.
/// Units:    in the types; heights are above the ground at the set-back, where a foot can first
///           stand; x runs outwards from the plumb line of the nest; angles in degrees from level.
/// Range:    method NotReached means: not with this gear or permission; `words` says what would do.
/// Accuracy: geometry of rigid ladders and a bending pole; times are estimates from a table with
///           marks, or learned from visits.
/// Errors:   none.
/// Source:   own; planner/access/access.csv.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/call.hpp"
#include "geocore/records/crew.hpp"
#include "geocore/records/harvest.hpp"

namespace nestround::access {

/// The place seen from the side.
struct WorkPlace {
    std::optional<Metres> height;  ///< of the nest
    Metres set_back{};             ///< no foot stands nearer
    Metres step{};                 ///< the ground inside the set-back lies this much higher
    double fall = 0;               ///< of the ground beyond it, a unit of run; negative: rises
    Structure structure = Structure::Unknown;
    PowerLines power_lines = PowerLines::Unknown;
    std::optional<Metres> power_line_distance;
    bool set_back_known = false;

    /// Level of the ground at x.
    [[nodiscard]] Metres ground_at(Metres x) const
    {
        return x < set_back ? step : (x - set_back) * -fall;
    }
};

struct PoleSetUp {
    Gear gear;
    Metres used{};         ///< length in use, bending included
    Metres stand_off{};    ///< x of the person
    Metres stand_level{};  ///< ground there
    Metres grip{};         ///< height of the hands
    Metres tip{};          ///< how high the whole pole would come
    Metres left{};         ///< tip over the nest
    double angle = 0;      ///< of the line from hands to nest
    bool heavy = false;    ///< long enough to be heavy and blind
};

struct LadderSetUp {
    Gear gear;
    LadderType type = LadderType::Extension;
    Metres working_length{};
    Metres foot_distance{};  ///< x of the foot
    Metres foot_level{};     ///< ground there
    double angle = 0;
    Metres overlap{};         ///< of the sections as set; zero for one section
    Metres overlap_least{};   ///< that the table asks for
    Metres support_height{};  ///< where the top rests
    Metres stand_height{};    ///< feet
    Metres stand_out{};       ///< x of the feet
    Metres hands{};           ///< how high the hands work
    Grams load{};             ///< person, suit and kit
    bool rating_known = false;
};

struct WorkStage {
    std::string what;
    seconds time{};
    bool in_suit = false;
    bool on_ladder = false;
    bool vacuum_runs = false;
};

/// One way of doing it.
struct WayOfWork {
    WorkMethod method = WorkMethod::NotReached;
    std::string words;
    std::optional<PoleSetUp> pole;
    std::optional<LadderSetUp> ladder;
    std::vector<WorkStage> stages;
    seconds service{};     ///< all stages
    seconds on_ladder{};   ///< of it
    int people = 1;        ///< that it asks for
    int learned_from = 0;  ///< visits that the time was learned from
};

struct AccessPlan {
    WorkMethod method = WorkMethod::NotReached;
    std::string words;                  ///< "pole from the ground: nest at 4.5 m, pole reaches 7 m"
    seconds service{};                  ///< from parking to leaving
    std::vector<std::string> gear;      ///< what to carry to the nest
    std::vector<std::string> cautions;  ///< never "is safe"
    WorkPlace place;
    std::vector<WayOfWork> ways;  ///< that reach it, the chosen one first, from the ground first
    std::optional<Metres> reach_best;    ///< highest tip of any pole, where nothing reaches
    std::vector<std::string> ruled_out;  ///< "ladder 28 ft: rated for 90 kg, has to carry 110 kg"
};

}  // namespace nestround::access
