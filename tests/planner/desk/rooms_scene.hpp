/// \file rooms_scene.hpp
/// \brief A desk over a small town: three calls, a crew, roads; asked without a socket.
#pragma once

#include <catch2/catch.hpp>
#include <chrono>
#include <thread>

#include "planner/app/build_roads.hpp"
#include "tests/planner/desk/desk_scene.hpp"

namespace nestround::test {

inline const char* const kPhone = "555-0117";

struct RoomScene : DeskScene {
    using Json = desk::Json;
    std::vector<CallId> calls;
    Random random{7};

    explicit RoomScene(bool with_roads = true) : DeskScene{false}
    {
        {
            auto book = book::Book::open(options.book);
            fill(book);
        }
        if (with_roads) {
            const auto osm = folder.write("town.osm", small_town_osm());
            options.roads = folder / "town.roads";
            app::RoadsToBuild wish;
            wish.inputs = {osm};
            wish.output = options.roads;
            app::build_roads(wish);
        }
        desk = std::make_unique<desk::Desk>(options);
    }

    template <class AnyId>
    AnyId key()
    {
        return AnyId{Uuid::make(*parse_instant("2026-08-01T06:00:00Z"), random)};
    }

    void fill(book::Book& book)
    {
        book::Change change{book, *parse_instant("2026-08-01T06:00:00Z")};
        Crew crew;
        crew.id = key<CrewId>();
        crew.name = "north";
        crew.people = 2;
        crew.depot = {Longitude{-77.0}, Latitude{41.2}};
        crew.shift_begins = ClockTime::at(7, 0);
        crew.shift_ends = ClockTime::at(16, 0);
        Gear pole;
        pole.id = key<GearId>();
        pole.kind = GearKind::Pole;
        pole.label = "pole";
        pole.length = Metres{7};
        crew.gear.push_back(pole);
        change.insert(crew);
        Client client;
        client.id = key<ClientId>();
        client.name = "Quill Marrow";
        client.phone = kPhone;
        change.insert(client);
        for (int n = 0; n < 3; ++n) {
            Site site;
            site.id = key<SiteId>();
            site.place = {Longitude{-77.0 + 0.001 * (n + 1)}, Latitude{41.2 + 0.0005 * n}};
            site.label = "house " + std::to_string(n + 1);
            site.address = "1 Secret Lane";
            change.insert(site);
            Nest nest;
            nest.id = key<NestId>();
            nest.site = site.id;
            nest.season = 2026;
            nest.taxon = "VMAC";
            nest.kind = NestKind::Aerial;
            nest.height = Metres{2.5};
            change.insert(nest);
            Call call;
            call.id = key<CallId>();
            call.nest = nest.id;
            call.client = client.id;
            call.received = *parse_day("2026-08-01");
            change.insert(call);
            calls.push_back(call.id);
        }
        Habitat habitat;
        habitat.id = key<HabitatId>();
        habitat.name = "warm box";
        change.insert(habitat);
        change.set_setting("region.time_zone", "America/New_York");
        change.commit();
    }

    desk::Answer by(const std::string& person, desk::Method method, const std::string& path,
                    const Json& body = Json::object(), const std::string& tag = {})
    {
        desk::Request request;
        request.method = method;
        request.path = path;
        request.person = person;
        request.headers["content-type"] = "application/json";
        if (!tag.empty()) {
            request.headers["If-Match"] = tag;
        }
        request.body = body.dump();
        return desk::answer(*desk, request);
    }
    desk::Answer post(const std::string& path, const Json& body)
    {
        return by("Ada", desk::Method::Post, path, body);
    }
    [[nodiscard]] std::string call(std::size_t n) const { return calls[n].text(); }

    /// Waits for a work to end.
    Json work(const desk::Answer& started)
    {
        REQUIRE(started.status == 202);
        const auto path = "/api/works/" + body_of(started).at("work").get<std::string>();
        for (int i = 0; i < 3000; ++i) {
            const auto state = body_of(get(path));
            if (state.at("state") != "waiting" && state.at("state") != "running") {
                return state;
            }
            std::this_thread::sleep_for(std::chrono::milliseconds{10});
        }
        FAIL("the work does not end");
        return {};
    }
};

}  // namespace nestround::test
