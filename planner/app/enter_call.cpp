#include "planner/app/enter_call.hpp"

#include "geocore/base/error.hpp"
#include "geocore/nature/season.hpp"

namespace nestround::app {

EnteredCall enter_call(book::Book& book, TypedCall typed, const Deed& deed, Instant now,
                       KeyMaker& keys)
{
    auto& [call, nest, site] = typed.sheet;
    if (!call.id.is_nil() && book.call(call.id)) {
        return {call.id, true};
    }
    if (call.id.is_nil()) {
        call.id = keys.make<CallId>(now);
    }
    site.id = keys.make<SiteId>(now);
    nest.id = keys.make<NestId>(now);
    nest.site = site.id;
    call.nest = nest.id;
    if (nest.season == 0) {
        nest.season = nature::season_of(call.received, site.place.lat);
    }
    book::Change change{book, now};
    change.by(deed);
    if (typed.client) {
        typed.client->id = keys.make<ClientId>(now);
        call.client = typed.client->id;
        change.insert(*typed.client);
    }
    change.insert(site);
    change.insert(nest);
    change.insert(call);
    for (const auto& id : typed.photos) {
        auto photo = book.photo(id);
        if (!photo) {
            throw Failure{ErrorCode::NotFound, "no such photo: " + id.text()};
        }
        photo->call = call.id;
        photo->nest = nest.id;
        change.update(*photo);
    }
    change.commit();
    return {call.id, false};
}

void change_call(book::Book& book, CallSheet sheet, const std::optional<Client>& client,
                 const Deed& deed, Instant now, KeyMaker& keys)
{
    book::Change change{book, now};
    change.by(deed);
    if (client) {
        Client row = *client;
        if (sheet.call.client) {
            row.id = *sheet.call.client;
            change.update(row);
        } else {
            row.id = keys.make<ClientId>(now);
            sheet.call.client = row.id;
            change.insert(row);
        }
    }
    change.update(sheet.site);
    change.update(sheet.nest);
    change.update(sheet.call);
    change.commit();
}

}  // namespace nestround::app
