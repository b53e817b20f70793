// Writing: one transaction, with the contents table kept true in it.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "geocore/book/book.hpp"
#include "geocore/book/chain.hpp"
#include "geocore/book/connection.hpp"
#include "geocore/book/contents.hpp"
#include "geocore/book/deeds.hpp"
#include "geocore/book/rows.hpp"
#include "geocore/book/schema.hpp"

namespace nestround::book {

namespace {

/// Names the row in messages for as long as it is being written.
class Doing {
public:
    Doing(Connection& connection, std::string_view table, const std::string& key)
        : connection_{connection}
    {
        // SQLite itself gives a transaction up when the disk fails in it; what came after would be
        // written row by row.
        if (sqlite3_get_autocommit(connection_.handle()) != 0) {
            throw Failure{
                ErrorCode::BookFailed,
                "this change was given up after an earlier failure; the book is as it was",
                connection_.path().string()};
        }
        connection_.doing.assign(table);
        connection_.doing += ' ';
        connection_.doing += key;
    }
    Doing(const Doing&) = delete;
    Doing& operator=(const Doing&) = delete;
    ~Doing() { connection_.doing.clear(); }

private:
    Connection& connection_;
};

}  // namespace

class Change::Work {
public:
    Work(Connection& connection, Instant now, Load load)
        : connection_{connection}, now_{format_instant(now)}
    {
        connection_.begin();
        if (load == Load::Many) {
            index_later();
        }
    }
    Work(const Work&) = delete;
    Work& operator=(const Work&) = delete;
    ~Work()
    {
        if (!done_) {
            connection_.rollback();
        }
    }

    template <class Record>
    void insert(const Record& row)
    {
        static const std::string sql = insert_statement(Row<Record>::kTable, Row<Record>::kColumns);
        const std::string id = row.id.text();
        const Doing doing{connection_, Row<Record>::kTable, id};
        if (row.id.is_nil()) {
            throw Failure{ErrorCode::Internal, "a row needs a key before it is written",
                          connection_.path().string() + ", " + std::string{Row<Record>::kTable}};
        }
        Query query = connection_.query(sql);
        query.bind(id).bind(now_).bind(now_);
        Row<Record>::bind(query, row);
        query.run();
        added_.insert(Row<Record>::kTable);
        note_insert<Record>(id);
    }

    template <class Record>
    void note_insert(const std::string& id)
    {
        if (deed_) {
            deed_->has_inserted(Row<Record>::kTable, Row<Record>::kColumns, id);
        }
    }

    template <class Record>
    void update(const Record& row)
    {
        static const std::string sql = update_statement(Row<Record>::kTable, Row<Record>::kColumns);
        const std::string id = row.id.text();
        const Doing doing{connection_, Row<Record>::kTable, id};
        if (deed_) {
            deed_->will_update(Row<Record>::kTable, Row<Record>::kColumns, id);
        }
        {
            Query query = connection_.query(sql);
            query.bind(now_);
            Row<Record>::bind(query, row);
            query.bind(id).run();
        }
        if (sqlite3_changes(connection_.handle()) == 0) {
            throw Failure{ErrorCode::NotFound, "no such row; it may have been deleted meanwhile",
                          connection_.path().string() + ", " + connection_.doing};
        }
        moved_.insert(Row<Record>::kTable);
    }

    void link(ChainKind kind, const std::string& row)
    {
        const Doing doing{connection_, "lot_chain", row};
        add_link(connection_, kind, row, value_or_throw(parse_instant(now_)), clock_is_right);
        added_.insert("lot_chain");
        make_final();
    }
    void make_final()
    {
        if (deed_) {
            deed_->make_final();
        }
    }
    void by(const Deed& deed) { deed_.emplace(connection_, deed); }
    Deed undo(const std::string& who)
    {
        const Doing doing{connection_, "deed", who};
        auto undone = undo_last(connection_, who, now_);
        for (const auto& table : undone.tables) {
            const auto feature = std::find(kFeatureTables.begin(), kFeatureTables.end(), table);
            if (feature != kFeatureTables.end()) {
                moved_.insert(*feature);
            }
            connection_.query("UPDATE gpkg_contents SET last_change = ?1 WHERE table_name = ?2")
                .bind(now_)
                .bind(table)
                .run();
        }
        added_.insert("deed");
        return std::move(undone.deed);
    }
    bool clock_is_right = false;

    void touched(std::string_view table) { added_.insert(table); }
    [[nodiscard]] const std::string& now() const { return now_; }
    [[nodiscard]] Connection& connection() { return connection_; }

    void commit()
    {
        if (deed_) {
            const Doing doing{connection_, "deed", "of this change"};
            deed_->write(now_);
            added_.insert("deed");
            added_.insert("deed_row");
        }
        const Doing doing{connection_, "gpkg_contents", "extents"};
        index_what_was_added();
        added_.merge(moved_);
        write_contents(connection_, {added_.begin(), added_.end()}, now_);
        connection_.commit();
        done_ = true;
    }

private:
    struct Held {
        std::string_view table;
        std::string trigger;
        std::int64_t last_fid;
    };

    /// Filling the R-tree in one go is several times as fast as row by row through its trigger. The
    /// trigger comes back before the commit; a rollback brings it back too.
    void index_later()
    {
        for (const auto table : kFeatureTables) {
            const auto name = fmt::format("rtree_{}_geom_insert", table);
            const auto sql = connection_.scalar(fmt::format(
                "SELECT sql FROM sqlite_master WHERE type = 'trigger' AND name = '{}'", name));
            const auto last =
                connection_.scalar(fmt::format("SELECT coalesce(max(fid), 0) FROM {}", table));
            if (sql.empty()) {
                continue;  // a damaged book; the check says so
            }
            held_.push_back({table, sql, std::stoll(last)});
            connection_.execute(fmt::format("DROP TRIGGER {}", name));
        }
    }

    void index_what_was_added()
    {
        for (const auto& held : held_) {
            connection_.execute(
                fmt::format("INSERT INTO rtree_{0}_geom SELECT fid, ST_MinX(geom), ST_MaxX(geom), "
                            "ST_MinY(geom), ST_MaxY(geom) FROM {0} WHERE fid > {1}",
                            held.table, held.last_fid));
            connection_.execute(held.trigger);
        }
        held_.clear();
    }

    Connection& connection_;
    std::string now_;
    std::set<std::string_view> added_;
    std::set<std::string_view> moved_;
    std::vector<Held> held_;
    std::optional<DeedWriter> deed_;
    bool done_ = false;
};

Change::Change(Book& book, Instant now, Load load)
    : work_{std::make_unique<Work>(*book.connection_, now, load)}
{
}
Change::~Change() = default;

void Change::insert(const Site& site) { work_->insert(site); }
void Change::insert(const Client& client) { work_->insert(client); }
void Change::insert(const Nest& nest) { work_->insert(nest); }
void Change::insert(const Call& call) { work_->insert(call); }
void Change::insert(const Gear& gear) { work_->insert(gear); }
void Change::insert(const Visit& visit) { work_->insert(visit); }
void Change::insert(const CatchRecord& row) { work_->insert(row); }
void Change::insert(const CombPiece& piece) { work_->insert(piece); }
void Change::insert(const Collection& collection) { work_->insert(collection); }
void Change::insert(const Habitat& habitat) { work_->insert(habitat); }
void Change::insert(const WeatherStation& station) { work_->insert(station); }
void Change::insert(const Lot& lot) { work_->insert(lot); }
void Change::insert(const LotParent& parent) { work_->insert(parent); }
void Change::insert(const LotCorrection& correction)
{
    work_->insert(correction);
    work_->link(ChainKind::Correction, correction.id.text());
}
void Change::insert(const LotMove& move)
{
    work_->insert(move);
    work_->link(ChainKind::Move, move.id.text());
}
void Change::clock_is_right() { work_->clock_is_right = true; }
void Change::insert(const Order& order) { work_->insert(order); }

void Change::insert(const Crew& crew)
{
    work_->insert(crew);
    for (Gear gear : crew.gear) {
        gear.crew = crew.id;
        work_->insert(gear);
    }
}

void Change::insert(const Shipment& shipment)
{
    work_->insert(shipment);
    for (const auto& lot : shipment.lots) {
        const Doing doing{work_->connection(), "shipment", shipment.id.text()};
        work_->connection()
            .query("INSERT INTO shipment_lot (shipment_id, lot_id) VALUES (?1, ?2)")
            .bind(shipment.id)
            .bind(lot)
            .run();
        work_->touched("shipment_lot");
    }
    if (!shipment.lots.empty()) {
        work_->link(ChainKind::Shipment, shipment.id.text());
    }
}

void Change::insert(const Excursion& excursion)
{
    work_->insert(excursion);
    for (const auto& lot : excursion.lots) {
        const Doing doing{work_->connection(), "excursion", excursion.id.text()};
        work_->connection()
            .query("INSERT INTO excursion_lot (excursion_id, lot_id) VALUES (?1, ?2)")
            .bind(excursion.id)
            .bind(lot)
            .run();
        work_->touched("excursion_lot");
    }
    work_->link(ChainKind::Excursion, excursion.id.text());
}

void Change::insert(const Photo& photo, std::span<const std::uint8_t> picture)
{
    static const std::string sql =
        insert_statement(Row<Photo>::kTable, std::string{Row<Photo>::kColumns} + ", data");
    const std::string id = photo.id.text();
    const Doing doing{work_->connection(), "photo", id};
    {
        Query query = work_->connection().query(sql);
        query.bind(id).bind(work_->now()).bind(work_->now());
        Row<Photo>::bind(query, photo);
        query.bind_bytes(picture).run();
    }
    work_->touched("photo");
    work_->note_insert<Photo>(id);
}
void Change::insert(const VisitStep& step) { work_->insert(step); }
void Change::insert(const PartnerImport& import) { work_->insert(import); }
void Change::insert(const PartnerNest& nest) { work_->insert(nest); }
void Change::update(const PartnerNest& nest) { work_->update(nest); }
void Change::by(const Deed& deed) { work_->by(deed); }
Deed Change::undo(const std::string& who) { return work_->undo(who); }

void Change::update(const Photo& photo) { work_->update(photo); }
void Change::update(const Site& site) { work_->update(site); }
void Change::update(const Client& client) { work_->update(client); }
void Change::update(const Nest& nest) { work_->update(nest); }
void Change::update(const Call& call) { work_->update(call); }
void Change::update(const Gear& gear) { work_->update(gear); }
void Change::update(const Visit& visit) { work_->update(visit); }
void Change::update(const CatchRecord& row) { work_->update(row); }
void Change::update(const CombPiece& piece) { work_->update(piece); }
void Change::update(const Collection& collection) { work_->update(collection); }
void Change::update(const Habitat& habitat) { work_->update(habitat); }
void Change::update(const WeatherStation& station) { work_->update(station); }
void Change::update(const Lot& lot) { work_->update(lot); }
void Change::update(const Order& order) { work_->update(order); }

void Change::update(const Crew& crew)
{
    work_->update(crew);
    work_->connection()
        .query("UPDATE gear SET crew_id = NULL, changed_at = ?1 WHERE crew_id = ?2")
        .bind(work_->now())
        .bind(crew.id)
        .run();
    work_->touched("gear");
    for (Gear gear : crew.gear) {
        gear.crew = crew.id;
        const bool known =
            work_->connection().query("SELECT 1 FROM gear WHERE id = ?1").bind(gear.id).step();
        known ? work_->update(gear) : work_->insert(gear);
    }
}

void Change::remove(LotParentId parent)
{
    work_->make_final();
    Connection& connection = work_->connection();
    const Doing doing{connection, "lot_parent", parent.text()};
    connection.query("DELETE FROM lot_parent WHERE id = ?1").bind(parent).run();
    if (sqlite3_changes(connection.handle()) == 0) {
        throw Failure{ErrorCode::NotFound, "no such row; it may have been taken out already",
                      connection.path().string() + ", " + connection.doing};
    }
    work_->touched("lot_parent");
}

void Change::seal(LotId lot, Instant at)
{
    Connection& connection = work_->connection();
    const Doing doing{connection, "lot", lot.text()};
    connection.query("UPDATE lot SET sealed_at = ?1, changed_at = ?2 WHERE id = ?3")
        .bind(at)
        .bind(work_->now())
        .bind(lot)
        .run();
    if (sqlite3_changes(connection.handle()) == 0) {
        throw Failure{ErrorCode::NotFound, "no such lot",
                      connection.path().string() + ", " + connection.doing};
    }
    work_->touched("lot");
    work_->link(ChainKind::Seal, lot.text());
}

WeatherTally Change::put(std::span<const WeatherDay> days)
{
    Connection& connection = work_->connection();
    WeatherTally tally;
    for (const auto& day : days) {
        const Doing doing{connection, "weather_day", format_day(day.day)};
        bool known = false;
        {
            Query query = connection.query(
                "SELECT minimum_c, maximum_c FROM weather_day WHERE station_id = ?1 AND day = ?2");
            query.bind(day.station).bind(day.day);
            known = query.step();
            if (known) {
                const double minimum = query.real();
                if (minimum == day.minimum.value() && query.real() == day.maximum.value()) {
                    ++tally.same;
                    continue;
                }
            }
        }
        if (known) {
            connection
                .query(
                    "UPDATE weather_day SET minimum_c = ?1, maximum_c = ?2, changed_at = ?3 WHERE "
                    "station_id = ?4 AND day = ?5")
                .bind(day.minimum)
                .bind(day.maximum)
                .bind(work_->now())
                .bind(day.station)
                .bind(day.day)
                .run();
            ++tally.changed;
        } else {
            connection
                .query(
                    "INSERT INTO weather_day (station_id, day, minimum_c, maximum_c, created_at, "
                    "changed_at) VALUES (?1, ?2, ?3, ?4, ?5, ?5)")
                .bind(day.station)
                .bind(day.day)
                .bind(day.minimum)
                .bind(day.maximum)
                .bind(work_->now())
                .run();
            ++tally.added;
        }
    }
    if (tally.added + tally.changed > 0) {
        work_->touched("weather_day");
    }
    return tally;
}

WeatherTally Change::put(std::span<const WeatherHour> hours)
{
    Connection& connection = work_->connection();
    WeatherTally tally;
    for (const auto& hour : hours) {
        const Doing doing{connection, "weather_hour", format_instant(hour.at)};
        std::optional<WeatherHour> known;
        {
            Query query = connection.query(
                "SELECT at, temperature_c, humidity, wind_m_s, gust_m_s, thunder FROM weather_hour "
                "WHERE station_id = ?1 AND at = ?2");
            query.bind(hour.station).bind(hour.at);
            if (query.step()) {
                known = read_hour(query, hour.station);
            }
        }
        if (known == hour) {
            ++tally.same;
            continue;
        }
        connection
            .query(known ? "UPDATE weather_hour SET temperature_c = ?3, humidity = ?4, wind_m_s = "
                           "?5, gust_m_s = ?6, thunder = ?7, changed_at = ?8 WHERE station_id = ?1 "
                           "AND at = ?2"
                         : "INSERT INTO weather_hour (station_id, at, temperature_c, humidity, "
                           "wind_m_s, gust_m_s, thunder, created_at, changed_at) VALUES (?1, ?2, "
                           "?3, ?4, ?5, ?6, ?7, ?8, ?8)")
            .bind(hour.station)
            .bind(hour.at)
            .bind(hour.temperature)
            .bind(hour.humidity)
            .bind(hour.wind)
            .bind(hour.gust)
            .bind(hour.thunder)
            .bind(work_->now())
            .run();
        ++(known ? tally.changed : tally.added);
    }
    if (tally.added + tally.changed > 0) {
        work_->touched("weather_hour");
    }
    return tally;
}

WeatherTally Change::put(std::span<const HabitatReading> readings)
{
    Connection& connection = work_->connection();
    WeatherTally tally;
    for (const auto& reading : readings) {
        const Doing doing{connection, "habitat_reading", format_instant(reading.at)};
        bool known = false;
        bool same = false;
        {
            Query query = connection.query(
                "SELECT temperature_c, humidity FROM habitat_reading WHERE habitat_id = ?1 AND at "
                "= ?2");
            query.bind(reading.habitat).bind(reading.at);
            known = query.step();
            same = known && query.real() == reading.temperature.value() &&
                   query.maybe<FractionTag>() == reading.humidity;
        }
        if (same) {
            ++tally.same;
            continue;
        }
        connection
            .query(known ? "UPDATE habitat_reading SET temperature_c = ?3, humidity = ?4, "
                           "changed_at = ?5 WHERE habitat_id = ?1 AND at = ?2"
                         : "INSERT INTO habitat_reading (habitat_id, at, temperature_c, humidity, "
                           "created_at, changed_at) VALUES (?1, ?2, ?3, ?4, ?5, ?5)")
            .bind(reading.habitat)
            .bind(reading.at)
            .bind(reading.temperature)
            .bind(reading.humidity)
            .bind(work_->now())
            .run();
        ++(known ? tally.changed : tally.added);
    }
    if (tally.added + tally.changed > 0) {
        work_->touched("habitat_reading");
    }
    return tally;
}

void Change::set_setting(std::string_view key, std::string_view value)
{
    work_->make_final();
    Connection& connection = work_->connection();
    const Doing doing{connection, "setting", std::string{key}};
    if (value.empty()) {
        connection.query("DELETE FROM setting WHERE key = ?1").bind(key).run();
    } else {
        connection
            .query(
                "INSERT INTO setting (key, value, created_at, changed_at) VALUES (?1, ?2, ?3, ?3) "
                "ON CONFLICT (key) DO UPDATE SET value = excluded.value, changed_at = "
                "excluded.changed_at")
            .bind(key)
            .bind(value)
            .bind(work_->now())
            .run();
    }
    work_->touched("setting");
}

void Change::commit() { work_->commit(); }

Part::Part(Change& change) : change_{change}
{
    change_.work_->connection().query("SAVEPOINT part").run();
}

Part::~Part()
{
    sqlite3* handle = change_.work_->connection().handle();
    if (!kept_ && sqlite3_get_autocommit(handle) == 0) {
        sqlite3_exec(handle, "ROLLBACK TO part; RELEASE part", nullptr, nullptr, nullptr);
    }
}

void Part::keep()
{
    change_.work_->connection().query("RELEASE part").run();
    kept_ = true;
}

}  // namespace nestround::book
