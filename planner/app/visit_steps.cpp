#include "planner/app/visit_steps.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/base/error.hpp"
#include "planner/app/close_call.hpp"
#include "planner/app/keep_comb.hpp"

namespace nestround::app {

namespace {

WorkMethod worked(WorkMethod before, VisitStepKind step)
{
    switch (step) {
        case VisitStepKind::FromTheGround:
            return before == WorkMethod::Ladder           ? WorkMethod::PoleThenLadder
                   : before == WorkMethod::PoleThenLadder ? before
                                                          : WorkMethod::GroundPole;
        case VisitStepKind::Ladder:
            return before == WorkMethod::GroundPole || before == WorkMethod::PoleThenLadder
                       ? WorkMethod::PoleThenLadder
                       : WorkMethod::Ladder;
        case VisitStepKind::Catch:
        case VisitStepKind::Comb:
            return before == WorkMethod::NotReached ? WorkMethod::Hand : before;
        default:
            return before;
    }
}

/// The visit that these steps are of: the call's last one, unless its end was entered.
std::optional<Visit> open_visit(const book::Book& book, CallId call)
{
    const auto steps = book.visit_steps(call);
    if (steps.empty()) {
        return std::nullopt;
    }
    std::optional<Visit> open;
    for (const auto& step : steps) {
        const bool is_over = std::any_of(steps.begin(), steps.end(), [&](const VisitStep& other) {
            return other.visit == step.visit && other.step == VisitStepKind::Done;
        });
        if (!is_over) {
            open = book.visit(step.visit);
        }
    }
    return open;
}

CrewId crew_named(const book::Book& book, const std::string& name)
{
    for (const auto& crew : book.crews(true)) {
        if (crew.name == name) {
            return crew.id;
        }
    }
    throw Failure{ErrorCode::NotFound, fmt::format("the book has no crew '{}'", name)};
}

CombPiece comb_of(const nature::TaxaTable& taxa, const StepEntry& entry, VisitId visit)
{
    CombPiece piece;
    piece.visit = visit;
    piece.eggs = entry.eggs;
    piece.larvae = entry.larvae;
    piece.sealed_small = entry.sealed;
    piece.sealed_large = entry.sealed_large;
    piece.empty = entry.empty;
    piece.habitat = entry.habitat;
    piece.stands_from = entry.at;
    piece.note = entry.note;
    if (entry.estimated) {
        const auto* row = taxa.figure("all", "comb.estimate_error");
        piece.counted = CellCount::Estimated;
        piece.doubt = row == nullptr ? 0.3 : row->middle();
    }
    return piece;
}

CatchRecord catch_of(const StepEntry& entry, const Nest& nest, VisitId visit)
{
    CatchRecord row;
    row.visit = visit;
    row.taxon = entry.taxon.empty() ? nest.taxon : entry.taxon;
    row.mass = entry.mass;
    row.count = entry.workers;
    row.frozen_at = entry.at;
    row.container = entry.container;
    row.note = entry.note;
    return row;
}

}  // namespace

StepKept enter_step(book::Book& book, const nature::TaxaTable& taxa, const StepEntry& entry,
                    const Deed& deed, Instant now, KeyMaker& keys)
{
    if (const auto known = book.visit_step(entry.id)) {
        if (known->call != entry.call || known->step != entry.step) {
            throw Failure{ErrorCode::RuleBroken, "this step_id names another step"};
        }
        return {*known, true};
    }
    auto sheet = book.call(entry.call);
    if (!sheet) {
        throw Failure{ErrorCode::NotFound, "no such call"};
    }
    if (!entry.habitat.empty()) {
        (void)find_habitat(book, entry.habitat);
    }
    const auto open = open_visit(book, entry.call);
    Visit visit;
    if (open) {
        visit = *open;
    } else {
        visit.id = keys.make<VisitId>(now);
        visit.nest = sheet->nest.id;
        visit.call = entry.call;
        visit.begun = entry.at;
        visit.method = WorkMethod::NotReached;
    }
    visit.begun = std::min(visit.begun, entry.at);
    visit.method = worked(visit.method, entry.step);
    if (!entry.crew.empty()) {
        visit.crew = crew_named(book, entry.crew);
    }
    if (entry.step == VisitStepKind::Done) {
        visit.ended = std::max(visit.begun, entry.at);
        visit.note = entry.note.empty() ? visit.note : entry.note;
    }

    VisitStep step{entry.id, entry.call, visit.id,      entry.step,
                   entry.at, entry.who,  entry.figures, {}};
    book::Change change{book, now};
    change.by(deed);
    if (open) {
        change.update(visit);
    } else {
        change.insert(visit);
    }
    const bool counted =
        entry.eggs || entry.larvae || entry.sealed || entry.sealed_large || entry.empty;
    if (entry.step == VisitStepKind::Catch && (entry.mass || entry.workers)) {
        auto row = catch_of(entry, sheet->nest, visit.id);
        row.id = keys.make<CatchId>(now);
        change.insert(row);
        step.made = row.id.uuid();
    } else if (entry.step == VisitStepKind::Comb && counted) {
        auto piece = comb_of(taxa, entry, visit.id);
        piece.id = keys.make<CombId>(now);
        change.insert(piece);
        step.made = piece.id.uuid();
    }
    if (visit.method != WorkMethod::NotReached &&
        (step.made || entry.step == VisitStepKind::Done)) {
        const Day day = std::chrono::floor<std::chrono::days>(visit.begun);
        if (const auto call = call_after(book, sheet->call, visit, day, entry.at)) {
            change.update(*call);
        }
    }
    change.insert(step);
    change.commit();
    return {step, false};
}

}  // namespace nestround::app
