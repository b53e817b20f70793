/// \file keep_comb.hpp
/// \brief Habitats, comb and collections enter the book.
///
/// Purpose:  what the commands habitat, comb and collection write.
/// Units:    in the records.
/// Range:    comb comes from a call's nest; its visit is found, or recorded when there is none.
/// Accuracy: as entered; counts that were not made are filled from the colony's course and say so.
/// Errors:   Failure: NotFound, InvalidInput, RuleBroken; the book is then as it was.
/// Source:   own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/app/preferences.hpp"
#include "planner/brood/comb_area.hpp"

namespace nestround::app {

void add_habitat(book::Book& book, Habitat habitat, Instant now, KeyMaker& keys);
/// By name; NotFound lists the names there are.
[[nodiscard]] Habitat find_habitat(const book::Book& book, const std::string& name);
/// By its key or the last four or more characters of it.
[[nodiscard]] CombPiece find_comb(const book::Book& book, const std::string& key);

/// Which cells an area holds.
enum class AreaHolds { Everything, Eggs, Larvae, Sealed, SealedLarge, Empty };

struct CombEntry {
    std::string call;
    std::string habitat;
    std::string taxon;  ///< code: names the nest, when nobody had
    Instant at{};       ///< when it was put there
    WorkMethod method = WorkMethod::Hand;
    std::optional<int> eggs, larvae, sealed, sealed_large, empty;
    bool estimated = false;
    std::optional<brood::CombArea> area;
    CellCount area_by = CellCount::Area;
    AreaHolds holds = AreaHolds::Everything;
    std::optional<double> cell_mm;
    std::optional<double> sealed_least, sealed_most;
    std::optional<bool> nurses;
    std::string note;
};

struct CombKept {
    CombPiece piece;
    std::string place;  ///< of the call
    bool visit_added = false;
    std::vector<std::string> notes;
};
/// With a deed, whoever did it can take it back.
[[nodiscard]] CombKept add_comb(book::Book& book, const Preferences& preferences,
                                const CombEntry& entry, Instant now, KeyMaker& keys,
                                const Deed* deed = nullptr);
/// Taken out, and its habitat cleaned.
void end_comb(book::Book& book, CombPiece piece, Instant at, Instant now);

struct CollectionEntry {
    /// Given by whoever may have to send it again: the same one is entered once.
    std::optional<CollectionId> id;
    std::string comb;     ///< its key, or
    std::string habitat;  ///< the only comb that stands there
    Instant at{};
    std::optional<int> workers, reproductives;
    std::optional<Grams> mass;
    std::string note;
};
[[nodiscard]] Collection add_collection(book::Book& book, const CollectionEntry& entry, Instant now,
                                        KeyMaker& keys, const Deed* deed = nullptr);

}  // namespace nestround::app
