/// \file harvest.hpp
/// \brief What happened at a nest and what came of it: visits, catches, comb, collections.
///
/// Purpose:  plain records as the book holds them. A visit is what happened; a catch is what a
///           visit brought frozen; a comb piece is what came home alive; a collection is what a
///           comb gave later. A habitat is where comb stands warm until its brood is out.
/// Units:    in the types.
/// Range:    counts are not negative; empty where not counted.
/// Accuracy: as entered.
/// Errors:   none; the book's CHECKs refuse bad values.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "geocore/base/calendar.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"

namespace nestround {

/// How the nest was worked.
enum class WorkMethod { Hand, GroundPole, Ladder, PoleThenLadder, NotReached };

[[nodiscard]] std::string_view text(WorkMethod method);
[[nodiscard]] std::optional<WorkMethod> work_method(std::string_view text);

struct Visit {
    VisitId id;
    NestId nest;
    std::optional<CallId> call;
    std::optional<CrewId> crew;
    Instant begun{};
    std::optional<Instant> ended;
    WorkMethod method = WorkMethod::Hand;
    std::string outcome;
    std::string note;
};

/// "Catch" alone is the name of the test library's namespace.
struct CatchRecord {
    CatchId id;
    VisitId visit;
    std::string taxon;          ///< as named in the hand, from the wasps
    std::optional<Grams> mass;  ///< of the frozen wasps
    std::optional<int> count;
    Instant frozen_at{};
    std::string container;
    std::string note;
};

/// How the cells of a comb were counted.
enum class CellCount { Counted, Estimated, Area, Photograph };

[[nodiscard]] std::string_view text(CellCount count);
[[nodiscard]] std::optional<CellCount> cell_count(std::string_view text);

struct CombPiece {
    CombId id;
    VisitId visit;
    std::optional<int> eggs;
    std::optional<int> larvae;
    std::optional<int> sealed_small;
    std::optional<int> sealed_large;
    std::optional<int> empty;
    std::string habitat;  ///< its name
    std::string note;
    CellCount counted = CellCount::Counted;
    double doubt = 0;                         ///< standard deviation of the logarithm of the counts
    std::optional<double> area_cm2;           ///< square centimetres of comb, where it was measured
    std::optional<Instant> stands_from;       ///< put into the habitat; empty: when its visit ended
    std::optional<Instant> stands_to;         ///< taken out and the habitat cleaned
    std::optional<double> sealed_least_days;  ///< since the last cell was sealed, when known
    std::optional<double> sealed_most_days;   ///< since the first cell was sealed, when known
    std::optional<bool> nurses;               ///< workers were left on the comb
};

struct Collection {
    CollectionId id;
    CombId comb;
    Instant collected_at{};
    std::optional<int> workers;
    std::optional<int> reproductives;
    std::optional<Grams> mass;
    std::string note;
};

/// Where comb stands warm. Habitats of one place are served in one round.
struct Habitat {
    HabitatId id;
    std::string name;  ///< no two share one
    std::string place = "home";
    double trip_min = 0;                ///< minutes there and back for its own sake
    std::optional<double> passing_min;  ///< minutes on a day when a crew drives anyway
    std::optional<int> combs;           ///< room for so many
    std::optional<int> cells;           ///< room for so many
    std::optional<Celsius> set_point;
    bool active = true;
    std::string note;
};

/// One line of a habitat's temperature log.
struct HabitatReading {
    HabitatId habitat;
    Instant at{};
    Celsius temperature{};
    std::optional<Fraction> humidity;

    friend bool operator==(const HabitatReading&, const HabitatReading&) = default;
};

}  // namespace nestround
