#include "planner/app/import_catches.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "geocore/base/error.hpp"
#include "planner/app/close_call.hpp"

namespace nestround::app {

namespace {

/// Whether the nest has that very catch; a second bag of one visit differs in something.
bool is_known(const book::Book& book, NestId nest, const intake::CatchRow& row)
{
    for (const auto& visit : book.visits(nest)) {
        if (visit.begun != row.visit.begun || visit.method != row.visit.method) {
            continue;
        }
        const auto catches = book.catches(visit.id);
        if (std::any_of(catches.begin(), catches.end(), [&](const CatchRecord& one) {
                return one.taxon == row.taken.taxon && one.mass == row.taken.mass &&
                       one.count == row.taken.count && one.note == row.taken.note &&
                       one.container == row.taken.container;
            })) {
            return true;
        }
    }
    return false;
}

}  // namespace

CatchTally import_catches(book::Book& book, const intake::CatchBatch& batch, Instant now,
                          KeyMaker& keys)
{
    CatchTally tally;
    tally.refused = batch.refused;
    std::map<std::string, CrewId> crews;
    for (const auto& crew : book.crews(true)) {
        crews[crew.name] = crew.id;
    }
    book::Change change{book, now};
    for (const auto& row : batch.rows) {
        const auto call_id = book.call_by_source_key(row.call);
        const auto sheet = call_id ? book.call(*call_id) : std::nullopt;
        if (!sheet) {
            tally.refused.push_back(
                {row.row, "call", fmt::format("the book has no call with the key '{}'", row.call),
                 "import the call first, with: nestround call import"});
            continue;
        }
        if (!row.crew.empty() && !crews.contains(row.crew)) {
            tally.refused.push_back({row.row, "crew",
                                     fmt::format("the book has no crew '{}'", row.crew),
                                     "import the crew first, or leave the cell empty"});
            continue;
        }
        if (is_known(book, sheet->nest.id, row)) {
            ++tally.known;
            continue;
        }
        book::Part part{change};
        try {
            Visit visit = row.visit;
            visit.id = keys.make<VisitId>(now);
            visit.nest = sheet->nest.id;
            visit.call = sheet->call.id;
            if (!row.crew.empty()) {
                visit.crew = crews.at(row.crew);
            }
            change.insert(visit);
            CatchRecord taken = row.taken;
            taken.id = keys.make<CatchId>(now);
            taken.visit = visit.id;
            change.insert(taken);
            if (visit.method != WorkMethod::NotReached) {
                const Day day = std::chrono::floor<std::chrono::days>(visit.begun);
                if (const auto call = call_after(book, sheet->call, visit, day, visit.begun)) {
                    change.update(*call);
                }
            }
        } catch (const Failure& failure) {
            if (failure.error().code != ErrorCode::RuleBroken) {
                throw;
            }
            tally.refused.push_back({row.row, "", failure.what(), "mend the row and import again"});
            continue;
        }
        part.keep();
        ++tally.added;
    }
    change.commit();
    std::sort(tally.refused.begin(), tally.refused.end(),
              [](const auto& a, const auto& b) { return a.row < b.row; });
    return tally;
}

}  // namespace nestround::app
