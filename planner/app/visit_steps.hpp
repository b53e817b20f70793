/// \file visit_steps.hpp
/// \brief Use case: a visit, step by step, as it is entered beside the house.
///
/// Purpose:  steps become the same visit and catch that `nestround catch import` writes, and comb.
/// Units:    in the records.
/// Range:    a step whose key was taken before is given back as it stands, so that a phone may send
///           again what it could not be sure of. Steps may come late and out of order: the first
///           one makes the visit; after "done" a further step begins another.
/// Accuracy: how the nest was worked follows from the steps: pole from the ground, ladder, or both;
///           a catch without either is by hand; without any of the three it was not reached.
/// Errors:   Failure: NotFound for the call or crew, RuleBroken for a key that names another step;
///           the book is then as it was.
/// Source:   own.
#pragma once

#include <optional>
#include <string>

#include "geocore/book/book.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::app {

struct StepEntry {
    StepId id;
    CallId call;
    VisitStepKind step = VisitStepKind::Arrive;
    Instant at{};
    std::string who;
    std::string figures;  ///< JSON as entered
    std::string crew;     ///< its name; may be empty
    std::string note;
    // of a catch
    std::string taxon;  ///< code, as named in the hand; empty: the nest's
    std::optional<Grams> mass;
    std::optional<int> workers;
    std::string container;
    // of comb
    std::optional<int> eggs, larvae, sealed, sealed_large, empty;
    bool estimated = true;
    std::string habitat;  ///< may be empty while it is on the truck
};

struct StepKept {
    VisitStep step;
    bool known = false;  ///< it was there already, and nothing was written
};

[[nodiscard]] StepKept enter_step(book::Book& book, const nature::TaxaTable& taxa,
                                  const StepEntry& entry, const Deed& deed, Instant now,
                                  KeyMaker& keys);

}  // namespace nestround::app
