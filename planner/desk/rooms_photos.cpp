// Photos: checked by what they hold, kept as they came.
#include <array>

#include "geocore/intake/photo_file.hpp"
#include "planner/app/keep_photo.hpp"
#include "planner/desk/room_support.hpp"
#include "planner/desk/rooms.hpp"

namespace nestround::desk {
namespace {

std::span<const std::uint8_t> bytes_of(const std::string& body)
{
    return {reinterpret_cast<const std::uint8_t*>(body.data()), body.size()};  // NOLINT
}

Json photo_json(const Photo& photo)
{
    return {{"id", photo.id.text()},
            {"call", photo.call ? Json(photo.call->text()) : Json(nullptr)},
            {"content_type", photo.content_type},
            {"width_px", photo.width},
            {"height_px", photo.height},
            {"taken", or_null(photo.taken)},
            {"place", photo.place ? Json{{"lon", photo.place->lon.value()},
                                         {"lat", photo.place->lat.value()}}
                                  : Json(nullptr)},
            {"note", photo.note},
            {"who", photo.who}};
}

PhotoId id_of(const std::string& text)
{
    const auto id = PhotoId::parse(text);
    if (!id || id->is_nil()) {
        throw Refusal{404, "no_such_photo", "no photo has that key", "id"};
    }
    return *id;
}

/// The body is the picture itself; ?call= says of what, ?id= is a key made where it was taken.
Answer take(Desk& desk, const Request& request)
{
    if (request.body.size() > intake::kLargestPhoto) {
        throw Refusal{413, "too_large", "a photo has 12 MB at most", {}};
    }
    // Said apart, since the status differs from that of other wrong input.
    const auto facts = intake::read_photo(bytes_of(request.body));
    if (!facts) {
        throw Refusal{request.body.empty() ? 422 : 415, "no_photo", facts.error().message, {}};
    }
    app::PhotoEntry entry;
    entry.zone = desk.preferences()->time_zone;
    entry.who = request.person.empty() ? "" : person_of(request);
    entry.note = request.asked("note").value_or("").substr(0, 500);
    if (const auto typed = request.asked("id")) {
        entry.id = id_of(*typed);
    }
    const auto deed = deed_of(desk, request, "photo added");
    app::KeyMaker keys;
    const auto kept = desk.write([&](book::Book& book) {
        const auto call = request.asked("call").value_or("");
        if (!call.empty()) {
            entry.call = call_named(book, call);
        }
        return app::keep_photo(book, bytes_of(request.body), entry, deed, desk.now(), keys);
    });
    const auto& photo = kept.photo;
    if (!kept.known) {
        desk.changed("photo", photo.id.text(), deed.who);
    }
    auto answer = json(photo_json(photo), kept.known ? 200 : 201);
    answer.headers["Location"] = "/api/photos/" + photo.id.text();
    return answer;
}

Answer show(Desk& desk, const Request& request)
{
    const auto id = id_of(request.parameter("id"));
    return desk.read([&](const book::Book& book) {
        const auto photo = book.photo(id);
        if (!photo) {
            throw Refusal{404, "no_such_photo", "no photo has that key", "id"};
        }
        const auto picture = book.picture(id);
        Answer answer;
        answer.content_type = photo->content_type;
        answer.headers["Cache-Control"] = "private, max-age=31536000, immutable";
        answer.headers["Content-Disposition"] = "inline";
        answer.body.assign(picture.begin(), picture.end());
        return answer;
    });
}

constexpr std::array kRoutes{
    Route{Method::Post, "/api/photos", take},
    Route{Method::Get, "/api/photos/{id}", show},
};

}  // namespace

std::span<const Route> photo_routes() { return kRoutes; }

}  // namespace nestround::desk
