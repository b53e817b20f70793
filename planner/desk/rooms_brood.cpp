// Comb that stands: what emerges, what was collected, what was counted.
#include <fmt/format.h>

#include <array>

#include "planner/app/keep_comb.hpp"
#include "planner/app/plan_brood.hpp"
#include "planner/desk/room_support.hpp"
#include "planner/desk/rooms.hpp"
#include "planner/sheets/brood_sheet.hpp"

namespace nestround::desk {
namespace {

Answer brood(Desk& desk, const Request& request)
{
    app::BroodWishes wishes;
    wishes.on = day_asked(desk, request);
    const auto preferences = desk.preferences();
    return desk.memory().kept(desk, "brood " + format_day(wishes.on), [&] {
        return desk.read([&](const book::Book& book) {
            const auto planned = app::plan_brood(book, *preferences, wishes);
            const sheets::BroodSheet sheet{planned.input, planned.plan, planned.notes};
            Json body = Json::parse(sheets::brood_json(sheet));
            body["notes"] = planned.notes;
            body["tasks"] = Json::array();
            for (const auto& task : sheets::brood_tasks(sheet)) {
                body["tasks"].push_back({{"day", format_day(task.day)},
                                         {"place", task.place},
                                         {"title", task.title},
                                         {"words", task.words}});
            }
            return Json(body);
        });
    });
}

Answer collect(Desk& desk, const Request& request)
{
    const Json body = body_object(request);
    Fields fields{body};
    app::CollectionEntry entry;
    if (fields.member("collection_id") != nullptr) {
        const auto id = CollectionId::parse(fields.text("collection_id", 36));
        if (!id || id->is_nil()) {
            throw Fields::wrong("collection_id", "is a UUID, made where it was entered");
        }
        entry.id = *id;
    }
    entry.comb = fields.text("comb", 80);
    entry.habitat = fields.text("habitat", 80);
    if (entry.comb.empty() && entry.habitat.empty()) {
        throw Fields::wrong("comb", "or habitat is missing: from where?");
    }
    entry.at = fields.instant("at").value_or(desk.now());
    entry.workers = fields.whole("workers", 0, 1'000'000);
    entry.reproductives = fields.whole("reproductives", 0, 1'000'000);
    if (const auto grams = fields.number("grams", 0, 100'000)) {
        entry.mass = Grams{*grams};
    }
    if (!entry.workers && !entry.reproductives && !entry.mass) {
        throw Fields::wrong("workers", "reproductives or grams: count or weigh");
    }
    entry.note = fields.text("note");
    fields.no_others();
    const auto deed = deed_of(desk, request, "collection entered");
    app::KeyMaker keys;
    const auto row = desk.write([&](book::Book& book) {
        return app::add_collection(book, entry, desk.now(), keys, &deed);
    });
    desk.changed("collection", row.id.text(), deed.who);
    return json({{"collection", row.id.text()},
                 {"comb", row.comb.text()},
                 {"at", format_instant(row.collected_at)},
                 {"workers", or_null(row.workers)},
                 {"reproductives", or_null(row.reproductives)},
                 {"grams", or_null(row.mass)}},
                201);
}

Answer count(Desk& desk, const Request& request)
{
    const Json body = body_object(request);
    Fields fields{body};
    const auto deed = deed_of(desk, request, "comb counted");
    const auto piece = desk.write([&](book::Book& book) {
        auto row = app::find_comb(book, request.parameter("id"));
        constexpr int kMost = 1'000'000;
        const auto read = [&](std::optional<int>& into, const char* name) {
            const bool is_there = fields.has(name);
            const auto value = fields.whole(name, 0, kMost);
            into = is_there ? value : into;
            return is_there;
        };
        bool any = read(row.eggs, "eggs");
        any = read(row.larvae, "larvae") || any;
        any = read(row.sealed_small, "sealed") || any;
        any = read(row.sealed_large, "sealed_large") || any;
        any = read(row.empty, "empty") || any;
        const auto habitat = fields.text("habitat", 80);
        if (!habitat.empty()) {
            row.habitat = app::find_habitat(book, habitat).name;
            any = true;
        }
        if (const auto from = fields.instant("stands_from")) {
            row.stands_from = from;
            any = true;
        }
        if (const auto to = fields.instant("stands_to")) {
            row.stands_to = to;
            any = true;
        }
        const auto counted = fields.word("counted", cell_count);
        row.counted = counted.value_or(CellCount::Counted);
        row.doubt = row.counted == CellCount::Counted ? 0 : row.doubt;
        fields.no_others();
        if (!any) {
            throw Fields::wrong("sealed", "or another count is missing");
        }
        book::Change change{book, desk.now()};
        change.by(deed);
        change.update(row);
        change.commit();
        return row;
    });
    desk.changed("comb", piece.id.text(), deed.who);
    return json({{"comb", piece.id.text()},
                 {"habitat", piece.habitat},
                 {"eggs", or_null(piece.eggs)},
                 {"larvae", or_null(piece.larvae)},
                 {"sealed", or_null(piece.sealed_small)},
                 {"sealed_large", or_null(piece.sealed_large)},
                 {"empty", or_null(piece.empty)},
                 {"counted", text(piece.counted)}});
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/brood", brood},
    Route{Method::Post, "/api/collections", collect},
    Route{Method::Post, "/api/combs/{id}/counts", count},
};

}  // namespace

std::span<const Route> brood_routes() { return kRoutes; }

}  // namespace nestround::desk
