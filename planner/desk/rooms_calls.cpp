// Calls: entered, shown, changed where they stood, and what a person did last taken back.
#include <fmt/format.h>

#include <array>

#include "geocore/roads/snapper.hpp"
#include "planner/app/enter_call.hpp"
#include "planner/app/hold_calls.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/desk/call_json.hpp"
#include "planner/desk/rooms.hpp"
#include "planner/sheets/hold_sheet.hpp"

namespace nestround::desk {
namespace {

Json photo_json(const Photo& photo)
{
    return {{"id", photo.id.text()},
            {"taken", or_null(photo.taken)},
            {"width_px", photo.width},
            {"height_px", photo.height},
            {"note", photo.note}};
}

/// The call as it stands, with its tag.
Answer present(const book::Book& book, CallId id, bool with_client, int status = 200)
{
    const auto sheet = *book.call(id);
    const auto stamp = *book.call_stamp(id);
    Json body = call_json(sheet);
    if (with_client) {
        add_client(body, book, sheet);
    }
    body["changed"] = format_instant(stamp.changed);
    body["changed_by"] = stamp.by;
    body["photos"] = Json::array();
    for (const auto& photo : book.photos_of(id)) {
        body["photos"].push_back(photo_json(photo));
    }
    auto answer = json(body, status);
    answer.headers["ETag"] = tag_of(stamp);
    answer.headers["Cache-Control"] = "no-cache";
    return answer;
}

Answer show(Desk& desk, const Request& request)
{
    return desk.read([&](const book::Book& book) {
        return present(book, call_named(book, request.parameter("id")),
                       is_asked(request, "clients"));
    });
}

/// Refuses a place in the water, or with longitude and latitude swapped.
void must_be_near_a_road(Desk& desk, LonLat place)
{
    if (!desk.network()) {
        return;
    }
    const roads::Snapper snapper{desk.network()};
    const auto stop = snapper.snap(place);
    if (!stop) {
        throw Refusal{
            422, "no_road",
            stop.error().message + "; is it in the water, or are longitude and latitude swapped?",
            "lon"};
    }
}

app::Taxa taxa_of(Desk& desk)
{
    const auto preferences = desk.preferences();
    return desk.read([&](const book::Book& book) { return app::taxa_in_use(book, *preferences); });
}

app::TypedCall typed_call(Desk& desk, const Json& body)
{
    Fields fields{body};
    app::TypedCall typed;
    typed.sheet.call.received = desk.today();
    if (fields.member("call_id") != nullptr) {
        const auto id = CallId::parse(fields.text("call_id", 36));
        if (!id || id->is_nil()) {
            throw Fields::wrong("call_id", "is a UUID");
        }
        typed.sheet.call.id = *id;
    }
    if (fields.member("lon") == nullptr || fields.member("lat") == nullptr) {
        throw Fields::wrong("lon", "and lat are missing: where is it?");
    }
    read_call(fields, *taxa_of(desk), typed.sheet, typed.client);
    for (const auto& key : fields.texts("photos")) {
        const auto id = PhotoId::parse(key);
        if (!id) {
            throw Fields::wrong("photos", "holds the ids of photos");
        }
        typed.photos.push_back(*id);
    }
    // What was seen of the wasp is kept in words, since the species may be a guess.
    if (const auto* traits = fields.member("traits"); traits != nullptr && traits->is_array()) {
        std::string seen;
        for (const auto& one : *traits) {
            if (!one.is_object()) {
                throw Fields::wrong("traits", "is a list of {trait, answer}");
            }
            Fields trait{one};
            seen += fmt::format("{}{}: {}", seen.empty() ? "" : ", ", trait.text("trait", 80),
                                trait.text("answer", 80));
        }
        if (!seen.empty()) {
            auto& note = typed.sheet.nest.note;
            note += (note.empty() ? "seen: " : "; seen: ") + seen;
        }
    }
    fields.no_others();
    must_be_near_a_road(desk, typed.sheet.site.place);
    return typed;
}

Answer enter(Desk& desk, const Request& request)
{
    const Json body = body_object(request);
    auto typed = typed_call(desk, body);
    const auto deed =
        deed_of(desk, request, fmt::format("call entered: {}", typed.sheet.site.label));
    app::KeyMaker keys;
    const auto entered = desk.write([&](book::Book& book) {
        return app::enter_call(book, std::move(typed), deed, desk.now(), keys);
    });
    if (!entered.known) {
        desk.changed("call", entered.call.text(), deed.who);
    }
    return desk.read([&](const book::Book& book) {
        auto answer = present(book, entered.call, false, entered.known ? 200 : 201);
        answer.headers["Location"] = "/api/calls/" + entered.call.text();
        return answer;
    });
}

Refusal overtaken(const std::string& by)
{
    return {
        412,
        "changed_meanwhile",
        by.empty() ? "the call was changed meanwhile" : "the call was changed meanwhile by " + by,
        {}};
}

/// What stands now, beside the refusal.
Answer refuse_overtaken(const book::Book& book, CallId id, bool with_client)
{
    auto answer = present(book, id, with_client, 412);
    const Json stands = Json::parse(answer.body);
    const auto refusal = overtaken(stands.at("changed_by").get<std::string>());
    Json body{{"error", {{"code", refusal.code}, {"message", refusal.message}}},
              {"present", stands},
              {"by", stands.at("changed_by")},
              {"changed", stands.at("changed")}};
    answer.body = body.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
    return answer;
}

Answer change(Desk& desk, const Request& request)
{
    const auto tag = request.header("If-Match");
    if (tag.empty()) {
        throw Refusal{428, "no_tag", "say which state you change: If-Match with the ETag as read",
                      "If-Match"};
    }
    const Json body = body_object(request);
    const auto taxa = taxa_of(desk);
    bool done = false;
    CallId id;
    std::string who = person_of(request);
    auto answer = desk.write([&](book::Book& book) {
        id = call_named(book, request.parameter("id"));
        Fields fields{body};
        const bool with_client = fields.has("client_name") || fields.has("client_phone");
        if (tag != "*" && tag != tag_of(*book.call_stamp(id))) {
            return refuse_overtaken(book, id, with_client);
        }
        auto sheet = *book.call(id);
        const auto place = sheet.site.place;
        std::optional<Client> client;
        if (with_client && sheet.call.client) {
            client = book.client(*sheet.call.client);
        }
        read_call(fields, *taxa, sheet, client);
        if (const auto state = fields.word("state", call_state)) {
            sheet.call.state = *state;
            sheet.call.closed = *state == CallState::Waiting
                                    ? std::nullopt
                                    : std::optional{sheet.call.closed.value_or(
                                          std::max(desk.today(), sheet.call.received))};
        }
        fields.no_others();
        if (!(sheet.site.place == place)) {
            must_be_near_a_road(desk, sheet.site.place);
        }
        app::KeyMaker keys;
        app::change_call(book, sheet, with_client ? client : std::nullopt,
                         deed_of(desk, request, fmt::format("call changed: {}", sheet.site.label)),
                         desk.now(), keys);
        done = true;
        return present(book, id, with_client);
    });
    if (done) {
        desk.changed("call", id.text(), who);
    }
    return answer;
}

Answer undo(Desk& desk, const Request& request)
{
    const auto who = person_of(request);
    const auto undone = desk.write([&](book::Book& book) {
        book::Change work{book, desk.now()};
        auto deed = work.undo(who);
        work.commit();
        return deed;
    });
    desk.changed("undo", undone.id.text(), who);
    return json({{"words", "taken back: " + undone.words}, {"what", undone.words}, {"by", who}});
}

Answer hold(Desk& desk, const Request& request)
{
    const Day on = day_asked(desk, request);
    const auto preferences = desk.preferences();
    return desk.memory().kept(desk, "hold " + request.parameter("id") + " " + format_day(on), [&] {
        return desk.read([&](const book::Book& book) {
            const auto id = call_named(book, request.parameter("id"));
            constexpr int kDays = 60;
            std::vector<sheets::HoldEntry> entries;
            for (auto& held : app::hold_calls(book, *preferences, on, kDays, {id.text()})) {
                entries.push_back({std::move(held.call), std::move(held.curve)});
            }
            Json body = Json::parse(sheets::hold_json(entries, on)).at("calls").at(0);
            body["call"] = body["call_id"];
            body["words"] = body["verdict"];
            for (auto& day : body["days"]) {
                day["on"] = day["day"];
                day["grams"] = {{"p10", day["grams_p10"]},
                                {"p50", day["grams_p50"]},
                                {"p90", day["grams_p90"]}};
            }
            return Json(body);
        });
    });
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/calls/{id}", show},
    Route{Method::Post, "/api/calls", enter},
    Route{Method::Patch, "/api/calls/{id}", change},
    Route{Method::Get, "/api/calls/{id}/hold", hold},
    Route{Method::Post, "/api/undo", undo},
};

}  // namespace

std::span<const Route> call_routes() { return kRoutes; }

}  // namespace nestround::desk
