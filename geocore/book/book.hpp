/// \file book.hpp
/// \brief The book: one GeoPackage file that holds everything a crew knows.
///
/// Purpose:  create and open a book, ask it, and change it one transaction at a time. The schema
///           itself (geocore/book/schema/*.sql) refuses rows that break its rules, so that other
///           programs that write the file are held to them too.
/// Units:    in the record types; the file holds SI and UTC, its columns say which.
/// Range:    one writer at a time, any number of readers, in any number of processes. A Book and
///           its Change belong to one thread.
/// Promise:  a change is whole or not there: after a crash, a full disk or a refused row the book
///           is as it was. Nothing here reads the clock: the caller says when it is.
/// Errors:   Failure with NotFound (no such file or row), InvalidInput (no GeoPackage, or a value
///           that is not a number), WrongVersion (newer, or another program's), RuleBroken (a row
///           that the schema refuses), BookFailed (SQLite or the disk); each names the file.
/// Source:   OGC GeoPackage 1.3 (12-128r17); SQLite.
#pragma once

#include <chrono>
#include <cstddef>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/call.hpp"
#include "geocore/records/crew.hpp"
#include "geocore/records/field_work.hpp"
#include "geocore/records/freezer.hpp"
#include "geocore/records/harvest.hpp"
#include "geocore/records/partner.hpp"
#include "geocore/records/weather.hpp"

namespace nestround::book {

class Connection;  // holds the SQLite handle; private to this room

enum class Mode { ReadWrite, ReadOnly };

/// Which nests to list; empty parts ask for nothing.
struct NestFilter {
    struct Window {
        double west = -180;
        double south = -90;
        double east = 180;
        double north = 90;
    };
    std::optional<Window> window;
    std::optional<int> first_season;
    std::optional<int> last_season;
    std::optional<std::string> taxon;
};

/// A nest with what became of it.
struct NestRow {
    std::int64_t number = 0;  ///< of its row; the same as long as the book lives
    Nest nest;
    LonLat place{};
    std::optional<Metres> place_uncertainty;
    std::optional<CallState> state;  ///< of its latest call
    std::optional<Day> received;     ///< of that call
    std::optional<Day> closed;
    std::optional<Grams> caught;  ///< frozen, over all its visits
};

/// A visit with its nest and all that it brought.
struct HarvestRow {
    Visit visit;
    Nest nest;
    LonLat place{};
    std::vector<CatchRecord> catches;     ///< as catches() gives them
    std::vector<Collection> collections;  ///< of all its combs
};

/// When a call, its nest, site or client was last written and, where known, by whom.
struct CallStamp {
    Instant changed{};
    std::string by;    ///< empty when it was not written by a named person
    std::string rows;  ///< all of it as text: the same text, the same rows; private
};

class Book {
public:
    /// Makes an empty book; refuses to overwrite anything. The name must end in ".gpkg".
    [[nodiscard]] static Book create(const std::filesystem::path& path, Instant now);
    /// Opens a book. ReadWrite brings an older one up to date, after copying it to a file beside
    /// it; ReadOnly refuses an older one.
    [[nodiscard]] static Book open(const std::filesystem::path& path, Mode mode = Mode::ReadWrite);

    Book(Book&&) noexcept;
    Book& operator=(Book&&) noexcept;
    Book(const Book&) = delete;
    Book& operator=(const Book&) = delete;
    ~Book();

    [[nodiscard]] const std::filesystem::path& path() const;
    [[nodiscard]] int schema_version() const;
    /// Another number once someone else, here or in another program, changed the book.
    [[nodiscard]] std::int64_t data_version() const;
    /// How long a change waits for another writer before it gives up; five seconds at first.
    void set_patience(std::chrono::milliseconds patience);

    // Calls
    /// Calls still waiting that were received on `on` or before, oldest first.
    [[nodiscard]] std::vector<CallSheet> waiting_calls(Day on) const;
    /// All calls received on `on` or before, whatever became of them, oldest first.
    [[nodiscard]] std::vector<CallSheet> calls(Day on) const;
    [[nodiscard]] std::optional<CallSheet> call(CallId id) const;
    [[nodiscard]] std::optional<CallId> call_by_source_key(std::string_view key) const;
    /// What a person types for a call: its id, the last four or more characters of it (the first
    /// ones tell only the time), its source key, or the same of its nest's id. NotFound or, when
    /// several fit, InvalidInput.
    [[nodiscard]] CallId find_call(std::string_view key) const;
    /// Private; asked for by name only.
    [[nodiscard]] std::optional<Client> client(ClientId id) const;
    [[nodiscard]] std::optional<Site> site(SiteId id) const;
    [[nodiscard]] std::optional<Nest> nest(NestId id) const;

    // Nests, for whoever shows many of them
    /// Numbers of the rows that the filter lets through, rising. The window is that of the index,
    /// which rounds outwards.
    [[nodiscard]] std::vector<std::int64_t> nest_numbers(const NestFilter& filter = {}) const;
    [[nodiscard]] std::optional<NestRow> nest_row(std::int64_t number) const;
    /// Calls `visit` with each nest that the filter lets through, by rising number, as of one
    /// moment. A million take some seconds; the row is good until `visit` returns.
    void each_nest(const NestFilter& filter,
                   const std::function<void(const NestRow&)>& visit) const;
    [[nodiscard]] std::int64_t nest_count() const;
    /// Around all sites, as the index has it; empty without any.
    [[nodiscard]] std::optional<NestFilter::Window> extent() const;

    // Crews
    /// Active crews by name, each with its gear; `all` gives the inactive too.
    [[nodiscard]] std::vector<Crew> crews(bool all = false) const;
    [[nodiscard]] std::vector<Gear> gear_in_store() const;

    // Weather
    [[nodiscard]] std::vector<WeatherStation> stations() const;
    /// Readings from `from` to `to`, both included, by day; a day without reading is absent.
    [[nodiscard]] std::vector<WeatherDay> weather(StationId station, Day from, Day to) const;
    /// Hourly readings from `from` until before `to`, by instant.
    [[nodiscard]] std::vector<WeatherHour> weather_hours(StationId station, Instant from,
                                                         Instant to) const;
    /// First and last day of any station, or of one.
    [[nodiscard]] std::optional<std::pair<Day, Day>> weather_range() const;
    [[nodiscard]] std::optional<std::pair<Day, Day>> weather_range(StationId station) const;

    // Harvest and freezer
    [[nodiscard]] std::vector<Visit> visits(NestId nest) const;
    [[nodiscard]] std::vector<Visit> all_visits() const;  ///< oldest first
    /// Calls `visit` with each visit, oldest first, as of one moment; the row is good until it
    /// returns. For whoever goes through all of them.
    void each_harvest(const std::function<void(const HarvestRow&)>& visit) const;
    [[nodiscard]] std::vector<CatchRecord> catches(VisitId visit) const;
    [[nodiscard]] std::vector<CombPiece> comb(VisitId visit) const;
    [[nodiscard]] std::vector<CombPiece> all_comb() const;  ///< in the order of its keys
    [[nodiscard]] std::optional<Visit> visit(VisitId id) const;
    [[nodiscard]] std::vector<Collection> collections(CombId comb) const;
    /// Habitats in use by name; `all` gives the others too.
    [[nodiscard]] std::vector<Habitat> habitats(bool all = false) const;
    /// Of its log from `from` until before `to`, by instant.
    [[nodiscard]] std::vector<HabitatReading> habitat_readings(HabitatId habitat, Instant from,
                                                               Instant to) const;
    [[nodiscard]] std::vector<Lot> lots() const;
    [[nodiscard]] std::vector<LotParent> lot_parents(LotId lot) const;
    [[nodiscard]] std::vector<LotCorrection> lot_corrections(LotId lot) const;
    [[nodiscard]] std::vector<Order> orders() const;
    [[nodiscard]] std::vector<Shipment> shipments() const;
    /// From a bag back to the nests, and from a nest to its bags.
    [[nodiscard]] std::vector<NestId> nests_of(LotId lot) const;
    [[nodiscard]] std::vector<LotId> lots_of(NestId nest) const;
    /// All lots by code, or one; each with where it is.
    [[nodiscard]] std::vector<LotCard> lot_cards() const;
    [[nodiscard]] std::optional<LotCard> lot_card(LotId lot) const;
    [[nodiscard]] std::optional<LotId> lot_by_code(std::string_view code) const;
    [[nodiscard]] std::vector<LotMove> lot_moves(LotId lot) const;  ///< oldest first
    /// All moves of lots that ever lay in this freezer, by lot, oldest first.
    [[nodiscard]] std::vector<LotMove> moves_of_freezer(std::string_view freezer) const;
    [[nodiscard]] std::vector<Excursion> excursions() const;  ///< with their lots
    [[nodiscard]] std::vector<Excursion> excursions_of(LotId lot) const;
    [[nodiscard]] std::optional<Shipment> shipment(ShipmentId id) const;
    [[nodiscard]] std::optional<Order> order(OrderId id) const;
    /// What went into a lot, and what is in no lot yet or only in part, oldest first.
    [[nodiscard]] std::vector<Ancestor> ancestors(LotId lot) const;
    [[nodiscard]] std::vector<Ancestor> loose() const;
    /// One catch or collection, whatever lot it is in.
    [[nodiscard]] std::optional<Ancestor> thing(const Uuid& id, bool is_catch) const;
    /// All that came from a nest: a row for each lot it is in, and one where it is in none.
    [[nodiscard]] std::vector<Ancestor> yields_of(NestId nest) const;
    /// Rows whose id ends so; at most two are given.
    [[nodiscard]] std::vector<Uuid> ids_ending(std::string_view table, std::string_view tail) const;
    /// The last link of the chain of sealed lots, and that of one row.
    [[nodiscard]] std::optional<ChainLink> chain_head() const;
    [[nodiscard]] std::optional<ChainLink> chain_link(ChainKind kind, const Uuid& row) const;

    // What is entered on the spot
    [[nodiscard]] std::optional<Photo> photo(PhotoId id) const;
    /// The file as it came; private.
    [[nodiscard]] std::vector<std::uint8_t> picture(PhotoId id) const;
    [[nodiscard]] std::vector<Photo> photos() const;
    /// Of a call, its nest or its visits.
    [[nodiscard]] std::vector<Photo> photos_of(CallId call) const;
    [[nodiscard]] std::optional<VisitStep> visit_step(StepId id) const;
    [[nodiscard]] std::vector<VisitStep> visit_steps(CallId call) const;
    /// What `who` did last, unless it was taken back.
    [[nodiscard]] std::optional<Deed> last_deed(const std::string& who) const;
    [[nodiscard]] std::optional<CallStamp> call_stamp(CallId call) const;

    // What partners sent
    [[nodiscard]] std::optional<PartnerImport> partner_import(PartnerImportId id) const;
    [[nodiscard]] std::vector<PartnerImport> partner_imports() const;  ///< by partner and day
    [[nodiscard]] std::optional<PartnerNest> partner_nest(PartnerNestId id) const;
    /// By partner and row; all, or those of one partner.
    [[nodiscard]] std::vector<PartnerNest> partner_nests(std::string_view partner = {}) const;

    [[nodiscard]] std::map<std::string, std::string> settings() const;

private:
    friend class Change;
    [[nodiscard]] bool is_bagged(const Ancestor& row) const;
    explicit Book(std::unique_ptr<Connection> connection);
    std::unique_ptr<Connection> connection_;
};

/// How many rows come in one change: many sites at once are indexed at the end.
enum class Load { Few, Many };

/// What a batch of readings did.
struct WeatherTally {
    std::size_t added = 0;
    std::size_t changed = 0;
    std::size_t same = 0;
};

/// One transaction: everything or nothing. Rolls back unless committed.
///
///     Change change{book, now};
///     change.insert(site);
///     change.insert(nest);
///     change.commit();
class Change {
public:
    /// Waits for another writer as long as the book's patience allows. `now` is written as the
    /// created and changed instant of every row.
    Change(Book& book, Instant now, Load load = Load::Few);
    Change(const Change&) = delete;
    Change& operator=(const Change&) = delete;
    ~Change();

    void insert(const Site& site);
    void insert(const Client& client);
    void insert(const Nest& nest);
    void insert(const Call& call);
    void insert(const Crew& crew);  ///< with its gear
    void insert(const Gear& gear);
    void insert(const Visit& visit);
    void insert(const CatchRecord& row);
    void insert(const CombPiece& piece);
    void insert(const Collection& collection);
    void insert(const Habitat& habitat);
    void insert(const WeatherStation& station);
    /// An empty lot; `sealed_at` must be empty, see seal().
    void insert(const Lot& lot);
    void insert(const LotParent& parent);
    void insert(const LotCorrection& correction);
    void insert(const Order& order);
    void insert(const Shipment& shipment);    ///< with its lots
    void insert(const LotMove& move);         ///< of a sealed lot
    void insert(const Excursion& excursion);  ///< with its lots
    void insert(const Photo& photo, std::span<const std::uint8_t> picture);
    void insert(const VisitStep& step);
    void insert(const PartnerImport& import);
    void insert(const PartnerNest& nest);

    // Each replaces the row with the same id, or throws NotFound.
    void update(const Site& site);
    void update(const Client& client);
    void update(const Nest& nest);
    void update(const Call& call);
    void update(const Crew& crew);  ///< its gear too; gear no longer listed goes to the store
    void update(const Gear& gear);
    void update(const Visit& visit);
    void update(const CatchRecord& row);
    void update(const CombPiece& piece);
    void update(const Collection& collection);
    void update(const Habitat& habitat);
    void update(const WeatherStation& station);
    void update(const Lot& lot);  ///< only while it is not sealed
    void update(const Order& order);
    void update(const Photo& photo);
    void update(const PartnerNest& nest);

    /// Says who does this and in which words, before the first row is written: it can then be taken
    /// back, until the same person does something else or somebody else writes to the same rows.
    void by(const Deed& deed);
    /// Takes back the last deed of a person, in this change. NotFound when there is none;
    /// RuleBroken when it was overtaken or is final, and then nothing is written.
    Deed undo(const std::string& who);

    /// Takes something out of a lot that is not sealed.
    void remove(LotParentId parent);
    /// Closes a lot for good; it needs a mass and at least one parent.
    void seal(LotId lot, Instant at);
    // Seals, corrections, moves, shipments and excursions each add a link to the chain of sealed
    // lots. A change whose `now` is earlier than the last link is refused, unless it is said here
    // that the clock is right.
    void clock_is_right();

    /// Adds days and updates those that are there.
    WeatherTally put(std::span<const WeatherDay> days);
    WeatherTally put(std::span<const WeatherHour> hours);
    WeatherTally put(std::span<const HabitatReading> readings);
    /// An empty value removes the setting.
    void set_setting(std::string_view key, std::string_view value);

    /// Writes extents and instants of change into the contents table and commits.
    void commit();

private:
    friend class Part;
    class Work;
    std::unique_ptr<Work> work_;
};

/// A part of a change that is taken back by itself unless kept: a row of a file and all that hangs
/// on it, so that one refused row does not undo the others.
class Part {
public:
    explicit Part(Change& change);
    Part(const Part&) = delete;
    Part& operator=(const Part&) = delete;
    ~Part();

    void keep();

private:
    Change& change_;
    bool kept_ = false;
};

/// The last six characters of an id: enough to tell calls apart on a sheet.
[[nodiscard]] std::string short_key(const Uuid& uuid);

}  // namespace nestround::book
