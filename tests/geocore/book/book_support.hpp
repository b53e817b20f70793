/// \file book_support.hpp
/// \brief A small book with everything in it, and a way to it past our own code.
#pragma once

#include <sqlite3.h>

#include <string>
#include <vector>

#include "geocore/book/book.hpp"
#include "geocore/book/connection.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/program.hpp"

namespace nestround::test {

inline Day day(const char* text) { return value_or_throw(parse_day(text)); }
inline Instant at(const char* text) { return value_or_throw(parse_instant(text)); }
inline const Instant kNow = at("2026-08-04T06:30:00Z");

/// The n-th key of a kind; the same in every run.
template <class AnyId>
AnyId key(unsigned n)
{
    std::array<std::uint8_t, 16> bytes{1, 0x98};
    bytes[6] = 0x70;
    bytes[8] = 0x80;
    bytes[14] = static_cast<std::uint8_t>(n >> 8U);
    bytes[15] = static_cast<std::uint8_t>(n);
    return AnyId{Uuid{bytes}};
}

inline Site some_site(unsigned n, double lon = 9.5, double lat = 47.1)
{
    Site site;
    site.id = key<SiteId>(n);
    site.place = {Longitude{lon}, Latitude{lat}};
    site.label = "mill barn";
    return site;
}

inline Nest some_nest(unsigned n, unsigned site)
{
    Nest nest;
    nest.id = key<NestId>(n);
    nest.site = key<SiteId>(site);
    nest.season = 2026;
    nest.taxon = "VMAC";
    nest.kind = NestKind::Aerial;
    return nest;
}

inline Call some_call(unsigned n, unsigned nest, const char* received = "2026-08-01")
{
    Call call;
    call.id = key<CallId>(n);
    call.nest = key<NestId>(nest);
    call.received = day(received);
    return call;
}

/// Two nests, of which the second had insecticide; visits, catches, comb, collections; an open lot
/// for venom that holds the first catch. Keys are small numbers: 1 is clean, 2 is poisoned, 3 is
/// clean and of another species.
inline void fill(book::Book& book)
{
    book::Change change{book, kNow};
    for (unsigned n = 1; n <= 3; ++n) {
        change.insert(some_site(n, 9.5 + 0.01 * n, 47.1 - 0.01 * n));
        Nest nest = some_nest(n, n);
        nest.insecticide = n == 2;
        nest.taxon = n == 3 ? "VGER" : "VMAC";
        change.insert(nest);
        change.insert(some_call(n, n));
        Visit visit;
        visit.id = key<VisitId>(n);
        visit.nest = nest.id;
        visit.call = key<CallId>(n);
        visit.begun = at("2026-08-03T08:00:00Z");
        change.insert(visit);
        CatchRecord catch_row;
        catch_row.id = key<CatchId>(n);
        catch_row.visit = visit.id;
        catch_row.taxon = nest.taxon;
        catch_row.mass = Grams{42.5};
        catch_row.frozen_at = at("2026-08-03T08:40:00Z");
        change.insert(catch_row);
        CombPiece comb;
        comb.id = key<CombId>(n);
        comb.visit = visit.id;
        comb.larvae = 120;
        change.insert(comb);
        Collection collection;
        collection.id = key<CollectionId>(n);
        collection.comb = comb.id;
        collection.collected_at = at("2026-08-03T18:00:00Z");
        collection.workers = 31;
        change.insert(collection);
    }
    Lot lot;
    lot.id = key<LotId>(1);
    lot.code = "L-1";
    lot.taxon = "VMAC";
    lot.frozen_at = at("2026-08-03T08:40:00Z");
    lot.mass = Grams{40};
    change.insert(lot);
    LotParent parent;
    parent.id = key<LotParentId>(1);
    parent.lot = lot.id;
    parent.catch_id = key<CatchId>(1);
    change.insert(parent);
    parent.id = key<LotParentId>(2);
    parent.catch_id.reset();
    parent.collection = key<CollectionId>(1);
    change.insert(parent);

    Crew crew;
    crew.id = key<CrewId>(1);
    crew.name = "north";
    crew.depot = {Longitude{9.52}, Latitude{47.14}};
    crew.shift_begins = ClockTime::at(7, 0);
    crew.shift_ends = ClockTime::at(26, 0);
    Gear pole;
    pole.id = key<GearId>(1);
    pole.kind = GearKind::Pole;
    pole.length = Metres{6.5};
    crew.gear.push_back(pole);
    change.insert(crew);
    WeatherStation station;
    station.id = key<StationId>(1);
    station.code = "VALLEY";
    station.place = {Longitude{9.4}, Latitude{47.2}};
    change.insert(station);
    const std::vector<WeatherDay> days{{station.id, day("2026-08-01"), Celsius{11}, Celsius{24.5}},
                                       {station.id, day("2026-08-03"), Celsius{12}, Celsius{26}}};
    change.put(days);
    change.set_setting("region", "nowhere");
    change.commit();
}

/// A connection as another program has: no rules of our code, foreign keys off.
class Stranger {
public:
    explicit Stranger(const std::string& path)
    {
        REQUIRE(sqlite3_open(path.c_str(), &handle_) == SQLITE_OK);
        book::register_geometry_functions(handle_);
        run("PRAGMA foreign_keys = OFF");
    }
    ~Stranger() { sqlite3_close_v2(handle_); }
    Stranger(const Stranger&) = delete;
    Stranger& operator=(const Stranger&) = delete;

    /// The refusal, or an empty text.
    std::string attempt(const std::string& sql)
    {
        char* message = nullptr;
        sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, &message);
        std::string out = message == nullptr ? "" : message;
        sqlite3_free(message);
        return out;
    }
    void run(const std::string& sql)
    {
        INFO(sql);
        REQUIRE(attempt(sql).empty());
    }
    std::string ask(const std::string& sql)
    {
        std::string out;
        const auto take = [](void* to, int count, char** values, char** /*names*/) {
            for (int i = 0; i < count; ++i) {
                auto& text = *static_cast<std::string*>(to);
                text += (text.empty() ? "" : " ") + std::string{values[i] ? values[i] : "NULL"};
            }
            return 0;
        };
        INFO(sql);
        REQUIRE(sqlite3_exec(handle_, sql.c_str(), take, &out, nullptr) == SQLITE_OK);
        return out;
    }

private:
    sqlite3* handle_ = nullptr;
};

/// The failure that `step` throws.
template <class Step>
Error error_of(Step step)
{
    try {
        step();
    } catch (const Failure& failure) {
        return failure.error();
    }
    FAIL("nothing was refused");
    return {};
}

inline std::string id_text(unsigned n) { return "'" + key<SiteId>(n).text() + "'"; }

}  // namespace nestround::test
