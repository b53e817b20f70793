// Bags: where they lie, what is in them, who wants them, their labels.
#include <fmt/format.h>

#include <array>
#include <map>

#include "planner/app/freezer.hpp"
#include "planner/app/orders.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/desk/room_support.hpp"
#include "planner/desk/rooms.hpp"
#include "planner/sheets/label_sheet.hpp"

namespace nestround::desk {
namespace {

Json place_json(const FreezerPlace& place)
{
    return {{"freezer", place.freezer},
            {"shelf", place.shelf},
            {"box", place.box},
            {"words", place.text()}};
}

Json lot_json(const freezer::LotStory& story, const nature::TaxaTable& taxa)
{
    const Lot& lot = story.now;
    const auto* taxon = taxa.find(lot.taxon);
    return {{"code", lot.code},
            {"species", lot.taxon},
            {"species_name", taxon == nullptr ? lot.taxon : taxon->name},
            {"purpose", text(lot.purpose)},
            {"grams", or_null(lot.mass)},
            {"count", or_null(lot.count)},
            {"frozen_at", format_instant(lot.frozen_at)},
            {"sealed_at", or_null(lot.sealed_at)},
            {"sealed_by", lot.sealed_by},
            {"container", lot.container},
            {"note", lot.note},
            {"place", story.card.place ? place_json(*story.card.place) : Json(nullptr)},
            {"whereabouts", freezer::whereabouts(story)},
            {"shipped", or_null(story.card.shipped)},
            {"withdrawn", story.card.withdrawn},
            {"corrections", story.card.corrections},
            {"excursions", story.card.excursions}};
}

/// What went into a lot, or could: back to visit, nest and call, without a client.
Json thing_json(const Ancestor& thing)
{
    return {{"kind", thing.catch_id ? "catch" : "collection"},
            {"id", thing.catch_id ? thing.catch_id->text() : thing.collection->text()},
            {"species", thing.taxon},
            {"grams", or_null(thing.mass)},
            {"grams_in_lots", or_null(thing.taken)},
            {"count", or_null(thing.count)},
            {"at", format_instant(thing.at)},
            {"comb", thing.comb ? Json(thing.comb->text()) : Json(nullptr)},
            {"visit", thing.visit.text()},
            {"visited", format_instant(thing.visited)},
            {"nest", thing.nest.text()},
            {"insecticide", thing.insecticide},
            {"call", thing.call ? Json(thing.call->text()) : Json(nullptr)},
            {"received", or_null(thing.received)}};
}

app::Taxa taxa_of(Desk& desk, const book::Book& book)
{
    return app::taxa_in_use(book, *desk.preferences());
}

Answer freezer_room(Desk& desk, const Request&)
{
    return desk.read([&](const book::Book& book) {
        const auto taxa = taxa_of(desk, book);
        std::map<std::string, Json> places;
        for (const auto& story : app::all_lots(book)) {
            if (story.card.shipped || story.card.withdrawn) {
                continue;
            }
            const auto name = story.card.place ? story.card.place->text() : "no place";
            auto& place = places[name];
            if (place.is_null()) {
                place = story.card.place ? place_json(*story.card.place) : Json{{"words", name}};
                place["lots"] = Json::array();
            }
            place["lots"].push_back(lot_json(story, *taxa));
        }
        Json body{{"places", Json::array()}, {"loose", Json::array()}};
        for (auto& [name, place] : places) {
            body["places"].push_back(std::move(place));
        }
        for (const auto& thing : book.loose()) {
            body["loose"].push_back(thing_json(thing));
        }
        return json(body);
    });
}

Answer lots(Desk& desk, const Request&)
{
    return desk.read([&](const book::Book& book) {
        const auto taxa = taxa_of(desk, book);
        Json list = Json::array();
        for (const auto& story : app::all_lots(book)) {
            list.push_back(lot_json(story, *taxa));
        }
        return json({{"lots", std::move(list)}});
    });
}

Answer trace(Desk& desk, const Request& request)
{
    return desk.read([&](const book::Book& book) {
        const auto story = app::story_of(book, app::find_lot(book, request.parameter("code")));
        Json body{{"lot", lot_json(story, *taxa_of(desk, book))}};
        body["from"] = Json::array();
        for (const auto& thing : story.ancestors) {
            body["from"].push_back(thing_json(thing));
        }
        body["moves"] = Json::array();
        for (const auto& move : story.moves) {
            body["moves"].push_back({{"at", format_instant(move.at)},
                                     {"who", move.who},
                                     {"place", place_json(move.place)},
                                     {"note", move.note}});
        }
        body["corrections"] = Json::array();
        for (const auto& one : story.corrections) {
            body["corrections"].push_back({{"at", format_instant(one.at)},
                                           {"who", one.who},
                                           {"field", one.field},
                                           {"was", one.was},
                                           {"becomes", one.becomes},
                                           {"why", one.why}});
        }
        body["excursions"] = Json::array();
        for (const auto& one : story.excursions) {
            body["excursions"].push_back({{"began", format_instant(one.began)},
                                          {"ended", format_instant(one.ended)},
                                          {"limit_c", one.limit.value()},
                                          {"warmest_c", one.warmest.value()}});
        }
        body["shipment"] = story.shipment ? Json{{"shipped", format_day(story.shipment->shipped)},
                                                 {"carrier", story.shipment->carrier},
                                                 {"tracking", story.shipment->tracking}}
                                          : Json(nullptr);
        return json(body);
    });
}

Answer label(Desk& desk, const Request& request)
{
    return desk.read([&](const book::Book& book) {
        const auto story = app::story_of(book, app::find_lot(book, request.parameter("code")));
        if (!story.card.lot.sealed_at || story.card.withdrawn) {
            throw Refusal{409, "no_label",
                          story.card.withdrawn ? "the lot is withdrawn: it gets no label"
                                               : "the lot is not sealed: seal it first",
                          "code"};
        }
        const auto taxa = taxa_of(desk, book);
        const auto* taxon = taxa->find(story.now.taxon);
        sheets::LabelSheet sheet;
        if (desk.preferences()->us_units) {
            sheet.page_width = 215.9;
            sheet.page_height = 279.4;
        }
        Answer answer;
        answer.content_type = "application/pdf";
        answer.headers["Content-Disposition"] =
            fmt::format("inline; filename=\"label-{}.pdf\"", story.now.code);
        answer.headers["Cache-Control"] = "no-store";
        answer.body = sheets::label_sheet_pdf(
            {{story.now, taxon == nullptr ? story.now.taxon : taxon->name}}, sheet);
        return answer;
    });
}

Answer orders(Desk& desk, const Request& request)
{
    const Day on = day_asked(desk, request);
    const bool with_names = is_asked(request, "laboratories");
    const auto preferences = desk.preferences();
    return desk.memory().kept(desk, "orders " + format_day(on) + (with_names ? " named" : ""), [&] {
        return desk.read([&](const book::Book& book) {
            const auto all = app::order_book(book, *preferences, on, {});
            Json list = Json::array();
            for (const auto& stand : all.stands) {
                const auto& order = stand.order;
                Json one{
                    {"order", order.id.text()},
                    {"key", book::short_key(order.id.uuid())},
                    {"species", order.taxon},
                    {"purpose", text(order.purpose)},
                    {"placed", format_day(order.placed)},
                    {"due", or_null(order.due)},
                    {"wanted_g", order.wanted.value()},
                    {"promised_g", or_null(order.promised)},
                    {"shipped_g", stand.shipped.value()},
                    {"ready_g", stand.ready.value()},
                    {"loose_g", stand.loose.value()},
                    {"missing_g", stand.missing().value()},
                    {"expected_g", spread(stand.expected)},
                    {"price_minor", order.price_minor ? Json(*order.price_minor) : Json(nullptr)},
                    {"note", order.note}};
                if (with_names) {
                    one["laboratory"] = order.laboratory;
                }
                list.push_back(std::move(one));
            }
            Json stock = Json::object();
            for (const auto& [taxon, amount] : all.stock) {
                stock[taxon] = {{"venom_g", amount.venom.value()},
                                {"other_g", amount.other.value()},
                                {"loose_g", amount.loose.value()},
                                {"from_brood_g", spread(amount.from_brood)}};
            }
            return Json({{"on", format_day(on)},
                         {"currency", preferences->orders.currency},
                         {"orders", std::move(list)},
                         {"stock", std::move(stock)}});
        });
    });
}

Answer seal(Desk& desk, const Request& request)
{
    const Json body = body_object(request);
    Fields fields{body};
    app::SealWishes wishes;
    wishes.catches = fields.texts("catches");
    wishes.collections = fields.texts("collections");
    wishes.calls = fields.texts("calls");
    if (wishes.catches.empty() && wishes.collections.empty() && wishes.calls.empty()) {
        throw Fields::wrong("catches", "collections or calls: what goes into the bag?");
    }
    if (const auto grams = fields.number("grams", 0, 1e6)) {
        wishes.mass = Grams{*grams};
    }
    wishes.count = fields.whole("count", 0, 10'000'000);
    wishes.frozen = fields.instant("frozen_at");
    wishes.method = fields.word("method", freezing_method).value_or(FreezingMethod::Unknown);
    wishes.purpose = fields.word("purpose", lot_purpose).value_or(LotPurpose::Venom);
    wishes.place.freezer = fields.text("freezer", 80);
    wishes.place.shelf = fields.text("shelf", 80);
    wishes.place.box = fields.text("box", 80);
    wishes.container = fields.text("container", 100);
    wishes.note = fields.text("note");
    wishes.again = fields.yes("again").value_or(false);
    if (const auto foreign = fields.number("foreign_g", 0, 1e6)) {
        wishes.foreign = Grams{*foreign};
    }
    fields.no_others();
    app::Hand hand;
    hand.who = person_of(request);
    hand.now = desk.now();
    hand.deed = deed_of(desk, request, "lot sealed");
    app::KeyMaker keys;
    const auto preferences = desk.preferences();
    const auto answered = desk.write([&](book::Book& book) {
        const auto taxa = app::taxa_in_use(book, *preferences);
        const auto sealed = app::seal_lot(book, *taxa, wishes, hand, keys);
        Json out = lot_json(sealed.story, *taxa);
        out["notes"] = sealed.notes;
        return out;
    });
    const auto code = answered.at("code").get<std::string>();
    desk.changed("lot", code, hand.who);
    auto answer = json(answered, 201);
    answer.headers["Location"] = "/api/lots/" + code + "/trace";
    return answer;
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/freezer", freezer_room},
    Route{Method::Get, "/api/lots", lots},
    Route{Method::Post, "/api/lots", seal},
    Route{Method::Get, "/api/lots/{code}/trace", trace},
    Route{Method::Get, "/api/lots/{code}/label.pdf", label},
    Route{Method::Get, "/api/orders", orders},
};

}  // namespace

std::span<const Route> freezer_routes() { return kRoutes; }

}  // namespace nestround::desk
