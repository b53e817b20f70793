// A visit, step by step, from beside the house.
#include <fmt/format.h>

#include <array>

#include "planner/app/taxa_in_use.hpp"
#include "planner/app/visit_steps.hpp"
#include "planner/desk/call_json.hpp"
#include "planner/desk/rooms.hpp"

namespace nestround::desk {
namespace {

Json step_json(const VisitStep& step)
{
    return {{"step_id", step.id.text()},
            {"step", text(step.step)},
            {"at", format_instant(step.at)},
            {"who", step.who},
            {"visit", step.visit.text()},
            {"made", step.made ? Json(step.made->text()) : Json(nullptr)},
            {"figures",
             step.figures.empty() ? Json::object() : Json::parse(step.figures, nullptr, false)}};
}

Json visit_json(const book::Book& book, const Visit& visit)
{
    Json out{{"visit", visit.id.text()},
             {"begun", format_instant(visit.begun)},
             {"ended", or_null(visit.ended)},
             {"method", text(visit.method)},
             {"note", visit.note}};
    out["catches"] = Json::array();
    for (const auto& row : book.catches(visit.id)) {
        out["catches"].push_back({{"catch", row.id.text()},
                                  {"species", row.taxon},
                                  {"grams", or_null(row.mass)},
                                  {"workers", or_null(row.count)},
                                  {"frozen_at", format_instant(row.frozen_at)},
                                  {"container", row.container}});
    }
    out["combs"] = Json::array();
    for (const auto& piece : book.comb(visit.id)) {
        out["combs"].push_back({{"comb", piece.id.text()},
                                {"habitat", piece.habitat},
                                {"sealed", or_null(piece.sealed_small)},
                                {"sealed_large", or_null(piece.sealed_large)}});
    }
    return out;
}

Answer show(Desk& desk, const Request& request)
{
    return desk.read([&](const book::Book& book) {
        const auto sheet = *book.call(call_named(book, request.parameter("call")));
        Json body = call_json(sheet);
        body["steps"] = Json::array();
        for (const auto& step : book.visit_steps(sheet.call.id)) {
            body["steps"].push_back(step_json(step));
        }
        body["visits"] = Json::array();
        for (const auto& visit : book.visits(sheet.nest.id)) {
            body["visits"].push_back(visit_json(book, visit));
        }
        auto answer = json(body);
        answer.headers["Cache-Control"] = "no-store";
        return answer;
    });
}

std::optional<Grams> grams(Fields& fields)
{
    const auto value = fields.number("grams", 0, 100'000);
    return value && *value > 0 ? std::optional{Grams{*value}} : std::nullopt;
}

app::StepEntry entry_of(const Json& body, const nature::TaxaTable& taxa)
{
    Fields fields{body};
    app::StepEntry entry;
    const auto id = StepId::parse(fields.text("step_id", 36));
    if (!id || id->is_nil()) {
        throw Fields::wrong("step_id", "is a UUID, made where the step was entered");
    }
    entry.id = *id;
    const auto step = fields.word("step", visit_step_kind);
    if (!step) {
        throw Fields::wrong("step",
                            "is arrive, from_the_ground, ladder, catch, comb, clean_up or done");
    }
    entry.step = *step;
    const auto at = fields.instant("at");
    if (!at) {
        throw Fields::wrong("at", "is missing: when was it?");
    }
    entry.at = *at;
    entry.crew = fields.text("crew", 80);
    entry.note = fields.text("note");
    entry.mass = grams(fields);
    entry.workers = fields.whole("workers", 0, 1'000'000);
    const auto species = fields.text("species", 100);
    if (!species.empty()) {
        const auto* taxon = taxa.recognise(species);
        if (taxon == nullptr) {
            throw Fields::wrong("species", "is no species of the table");
        }
        entry.taxon = taxon->code;
    }
    const auto* containers = fields.member("containers");
    if (containers != nullptr && containers->is_number()) {
        entry.container = fmt::format("{} containers", *fields.whole("containers", 0, 1000));
    } else {
        entry.container = fields.text("containers", 100);
    }
    constexpr int kMostCells = 1'000'000;
    entry.eggs = fields.whole("eggs", 0, kMostCells);
    entry.larvae = fields.whole("larvae", 0, kMostCells);
    entry.sealed = fields.whole("cells", 0, kMostCells);
    if (const auto sealed = fields.whole("sealed", 0, kMostCells)) {
        entry.sealed = sealed;
    }
    entry.sealed_large = fields.whole("sealed_large", 0, kMostCells);
    entry.empty = fields.whole("empty", 0, kMostCells);
    entry.estimated = !fields.yes("counted").value_or(false);
    entry.habitat = fields.text("habitat", 80);
    if (const auto combs = fields.whole("combs", 0, 1000)) {
        entry.note += fmt::format("{}{} pieces of comb", entry.note.empty() ? "" : "; ", *combs);
    }
    fields.no_others();
    Json figures = body;
    for (const auto* known : {"step_id", "step", "at"}) {
        figures.erase(known);
    }
    entry.figures = figures.dump(-1, ' ', false, Json::error_handler_t::replace);
    return entry;
}

Answer enter(Desk& desk, const Request& request)
{
    const Json body = body_object(request);
    const auto preferences = desk.preferences();
    const auto taxa =
        desk.read([&](const book::Book& book) { return app::taxa_in_use(book, *preferences); });
    auto entry = entry_of(body, *taxa);
    entry.who = request.person.empty() ? "" : person_of(request);
    const auto deed = deed_of(desk, request, fmt::format("visit: {}", text(entry.step)));
    app::KeyMaker keys;
    const auto kept = desk.write([&](book::Book& book) {
        entry.call = call_named(book, request.parameter("call"));
        return app::enter_step(book, *taxa, entry, deed, desk.now(), keys);
    });
    if (!kept.known) {
        desk.changed("visit", entry.call.text(), deed.who);
    }
    return json(step_json(kept.step), kept.known ? 200 : 201);
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/visits/{call}", show},
    Route{Method::Post, "/api/visits/{call}/steps", enter},
};

}  // namespace

std::span<const Route> visit_routes() { return kRoutes; }

}  // namespace nestround::desk
