/// \file call.hpp
/// \brief Where a colony lives, who called, and what is asked: site, client, nest, call-out.
///
/// Purpose:  plain records as the book holds them. A site is a place; a nest is one colony in one
///           season at a site; a call asks for a nest to be taken.
/// Units:    in the types; heights are above the ground where one stands.
/// Range:    optional fields are empty when unknown; unknown is never a default number.
/// Accuracy: as reported by callers.
/// Errors:   none; the book's CHECKs and the intake refuse bad values.
/// Source:   own.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"

namespace nestround {

/// Where a nest sits: hung free on a structure or plant, in the ground, or in a closed hollow.
enum class NestKind { Unknown, Aerial, Ground, Void };

/// What became of a call.
enum class CallState { Waiting, Taken, GivenUp };

/// Permission of the house for a ladder against it.
enum class LadderPermission { Unknown, Given, Refused };

[[nodiscard]] std::string_view text(NestKind kind);           ///< "aerial", ...
[[nodiscard]] std::string_view text(CallState state);         ///< "waiting", "taken", "given_up"
[[nodiscard]] std::string_view text(LadderPermission value);  ///< "unknown", "given", "refused"
[[nodiscard]] std::optional<NestKind> nest_kind(std::string_view text);
[[nodiscard]] std::optional<CallState> call_state(std::string_view text);
[[nodiscard]] std::optional<LadderPermission> ladder_permission(std::string_view text);

/// What a nest hangs on, as far as reaching it goes.
enum class Structure { Unknown, Gable, Soffit, Wall, Tree, Ground, Void, Other };

/// What somebody saw of power lines near the nest; NoneSeen is a word of one pair of eyes.
enum class PowerLines { Unknown, NoneSeen, Near };

[[nodiscard]] std::string_view text(Structure value);   ///< "gable", ...
[[nodiscard]] std::string_view text(PowerLines value);  ///< "unknown", "none_seen", "near"
[[nodiscard]] std::optional<Structure> structure(std::string_view text);
[[nodiscard]] std::optional<PowerLines> power_lines(std::string_view text);

/// The ground before a nest, seen from the side; x runs outwards from the plumb line of the nest.
struct GroundBefore {
    std::optional<Metres> set_back;       ///< where a foot can first stand: past bed, wall, shrubs
    std::optional<Metres> step;           ///< by which the ground inside lies above the standing
    std::optional<double> slope_degrees;  ///< falls outwards from the set-back; negative: rises
    Structure structure = Structure::Unknown;
    PowerLines power_lines = PowerLines::Unknown;
    std::optional<Metres> power_line_distance;  ///< from the nest to the nearest line
};

struct Site {
    SiteId id;
    LonLat place{};
    std::optional<Metres> place_uncertainty;  ///< radius; empty when unknown, never zero
    std::string label;                        ///< how the crew names the place: "mill barn, gable"
    std::string address;                      ///< private
    std::string note;
};

/// Private: never leaves the book unless asked by name.
struct Client {
    ClientId id;
    std::string name;
    std::string phone;
    std::string email;
    std::string note;
};

struct Nest {
    NestId id;
    SiteId site;
    int season = 0;     ///< the year in which the colony peaks (southern: the later)
    std::string taxon;  ///< code of the taxa table, empty when unknown
    NestKind kind = NestKind::Unknown;
    std::optional<Metres> height;  ///< of the nest above where one stands; negative below ground
    std::optional<Metres> width;   ///< across
    std::optional<Metres> length;  ///< top to bottom
    std::optional<Day> first_seen;
    std::string entrance;      ///< where the wasps fly in, in words
    bool insecticide = false;  ///< poison was used: no venom lot may hold it
    std::string note;
    GroundBefore ground;
};

/// For the foragers that were away at the first visit.
struct SecondVisit {
    std::optional<std::chrono::minutes> after;   ///< the first has ended, on its day; empty: none
    std::optional<std::chrono::minutes> length;  ///< of the work; empty: as the settings say
    std::optional<Instant> due;  ///< the first was made, this one may begin from then

    [[nodiscard]] bool is_wanted() const { return after || due; }
};

struct Call {
    CallId id;
    NestId nest;
    std::optional<ClientId> client;
    Day received{};
    CallState state = CallState::Waiting;
    std::optional<Day> closed;       ///< when taken or given up
    std::vector<ClockSpan> allowed;  ///< hours the client allows; empty: any
    std::optional<Day> not_before;
    std::optional<Day> not_after;
    LadderPermission ladder = LadderPermission::Unknown;
    bool near_door = false;  ///< near a door or window in use
    bool allergic = false;   ///< someone allergic to stings lives or works there
    bool must_take = false;  ///< promised: on its day it is taken
    std::string source_key;  ///< key in the file it came from, for repeat imports
    std::string note;
    SecondVisit second;
};

/// A call with the nest and site it speaks of; what most use cases load.
struct CallSheet {
    Call call;
    Nest nest;
    Site site;
};

}  // namespace nestround
