/// \file harvest.hpp
/// \brief What happened at a nest and what came of it: visits, catches, comb, collections.
///
/// Purpose:  plain records as the book holds them. A visit is what happened; a catch is what a
///           visit brought frozen; a comb piece is what came home alive; a collection is what a
///           comb gave later.
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

struct CombPiece {
    CombId id;
    VisitId visit;
    std::optional<int> eggs;
    std::optional<int> larvae;
    std::optional<int> sealed_small;
    std::optional<int> sealed_large;
    std::optional<int> empty;
    std::string habitat;
    std::string note;
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

}  // namespace nestround
