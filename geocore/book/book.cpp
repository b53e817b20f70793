#include "geocore/book/book.hpp"

#include <algorithm>
#include <bit>

#include "geocore/book/connection.hpp"
#include "geocore/book/rows.hpp"
#include "geocore/book/schema.hpp"

namespace nestround::book {

namespace {

template <class Record, class... Arguments>
std::vector<Record> rows(Connection& connection, std::string_view rest,
                         const Arguments&... arguments)
{
    std::vector<Record> out;
    Query query = connection.query(select_statement<Record>(rest));
    (query.bind(arguments), ...);
    while (query.step()) {
        out.push_back(Row<Record>::read(query));
    }
    return out;
}

template <class Record, class Key>
std::optional<Record> row_of(Connection& connection, const Key& id)
{
    Query query = connection.query(select_statement<Record>("WHERE id = ?1"));
    query.bind(id);
    if (!query.step()) {
        return std::nullopt;
    }
    return Row<Record>::read(query);
}

std::string sheet_statement(std::string_view rest)
{
    return "SELECT c.id, " + qualified("c", Row<Call>::kColumns) + ", n.id, " +
           qualified("n", Row<Nest>::kColumns) + ", s.id, " + qualified("s", Row<Site>::kColumns) +
           " FROM call c JOIN nest n ON n.id = c.nest_id JOIN site s ON s.id = n.site_id " +
           std::string{rest};
}

CallSheet read_sheet(Query& query)
{
    CallSheet sheet;
    sheet.call = Row<Call>::read(query);
    sheet.nest = Row<Nest>::read(query);
    sheet.site = Row<Site>::read(query);
    return sheet;
}

std::optional<std::pair<Day, Day>> read_range(Query& query)
{
    if (!query.step() || query.next_is_null()) {
        return std::nullopt;
    }
    const Day first = query.day();
    return std::pair{first, query.day()};
}

}  // namespace

Book::Book(std::unique_ptr<Connection> connection) : connection_{std::move(connection)} {}
Book::Book(Book&&) noexcept = default;
Book& Book::operator=(Book&&) noexcept = default;
Book::~Book() = default;

Book Book::create(const std::filesystem::path& path, Instant now)
{
    create_book_file(path, now, standard_migrations());
    return open(path);
}

Book Book::open(const std::filesystem::path& path, Mode mode)
{
    return Book{open_book(path, mode == Mode::ReadOnly, standard_migrations())};
}

const std::filesystem::path& Book::path() const { return connection_->path(); }

int Book::schema_version() const { return connection_->schema_version; }

std::int64_t Book::data_version() const
{
    Query query = connection_->query("PRAGMA data_version");
    return query.step() ? query.integer() : 0;
}

void Book::set_patience(std::chrono::milliseconds patience) { connection_->set_patience(patience); }

std::vector<CallSheet> Book::waiting_calls(Day on) const
{
    std::vector<CallSheet> out;
    Query query = connection_->query(sheet_statement(
        "WHERE c.state = 'waiting' AND c.received_on <= ?1 ORDER BY c.received_on, c.id"));
    query.bind(on);
    while (query.step()) {
        out.push_back(read_sheet(query));
    }
    return out;
}

std::vector<CallSheet> Book::calls(Day on) const
{
    std::vector<CallSheet> out;
    Query query = connection_->query(
        sheet_statement("WHERE c.received_on <= ?1 ORDER BY c.received_on, c.id"));
    query.bind(on);
    while (query.step()) {
        out.push_back(read_sheet(query));
    }
    return out;
}

std::vector<std::int64_t> Book::nest_numbers(const NestFilter& filter) const
{
    std::string sql = "SELECT n.fid FROM nest AS n";
    std::string rule;
    const auto add = [&rule](const char* part) {
        rule += rule.empty() ? " WHERE " : " AND ";
        rule += part;
    };
    if (filter.window) {
        // From the index to the sites to their nests, not the other way round.
        sql =
            "SELECT n.fid FROM rtree_site_geom AS r CROSS JOIN site AS s ON s.fid = r.id "
            "CROSS JOIN nest AS n ON n.site_id = s.id";
        add("r.maxx >= ? AND r.minx <= ? AND r.maxy >= ? AND r.miny <= ?");
    }
    if (filter.first_season) {
        add("n.season >= ?");
    }
    if (filter.last_season) {
        add("n.season <= ?");
    }
    if (filter.taxon) {
        add("n.taxon = ?");
    }
    Query query = connection_->query(sql + rule + " ORDER BY n.fid");
    if (filter.window) {
        query.bind(filter.window->west).bind(filter.window->east);
        query.bind(filter.window->south).bind(filter.window->north);
    }
    if (filter.first_season) {
        query.bind(*filter.first_season);
    }
    if (filter.last_season) {
        query.bind(*filter.last_season);
    }
    if (filter.taxon) {
        query.bind(*filter.taxon);
    }
    std::vector<std::int64_t> numbers;
    while (query.step()) {
        numbers.push_back(query.integer());
    }
    return numbers;
}

std::optional<NestRow> Book::nest_row(std::int64_t number) const
{
    static const std::string sql =
        "SELECT n.id, " + qualified("n", Row<Nest>::kColumns) +
        ", s.geom, s.uncertainty_m, c.state, c.received_on, c.closed_on, "
        "(SELECT sum(k.mass_g) FROM visit AS v JOIN catch AS k ON k.visit_id = v.id "
        " WHERE v.nest_id = n.id) "
        "FROM nest AS n JOIN site AS s ON s.id = n.site_id "
        "LEFT JOIN call AS c ON c.fid = (SELECT l.fid FROM call AS l WHERE l.nest_id = n.id "
        "                                ORDER BY l.received_on DESC, l.fid DESC LIMIT 1) "
        "WHERE n.fid = ?1";
    Query query = connection_->query(sql);
    query.bind(number);
    if (!query.step()) {
        return std::nullopt;
    }
    NestRow row;
    row.number = number;
    row.nest = Row<Nest>::read(query);
    row.place = query.place();
    row.place_uncertainty = query.maybe<MetreTag>();
    if (query.next_is_null()) {
        query.skip();
    } else {
        row.state = query.word(call_state);
    }
    row.received = query.maybe_day();
    row.closed = query.maybe_day();
    row.caught = query.maybe<GramTag>();
    return row;
}

std::int64_t Book::nest_count() const
{
    Query query = connection_->query("SELECT count(*) FROM nest");
    return query.step() ? query.integer() : 0;
}

namespace {

/// The sides of all cells of an R-tree's node, as SQLite keeps it: four bytes of head, then for
/// each cell a row of eight and four sides in single precision, all big-endian.
std::optional<NestFilter::Window> window_of_node(std::span<const std::uint8_t> node)
{
    constexpr std::size_t kHead = 4;
    constexpr std::size_t kCell = 24;
    if (node.size() < kHead) {
        return std::nullopt;
    }
    const std::size_t cells = std::size_t{node[2]} << 8U | node[3];
    if (cells == 0 || node.size() < kHead + cells * kCell) {
        return std::nullopt;
    }
    const auto side = [&](std::size_t cell, std::size_t number) {
        std::uint32_t bits = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            bits = bits << 8U | node[kHead + cell * kCell + 8 + 4 * number + i];
        }
        return double{std::bit_cast<float>(bits)};
    };
    NestFilter::Window window{180, 90, -180, -90};
    for (std::size_t cell = 0; cell < cells; ++cell) {
        window.west = std::min(window.west, side(cell, 0));
        window.east = std::max(window.east, side(cell, 1));
        window.south = std::min(window.south, side(cell, 2));
        window.north = std::max(window.north, side(cell, 3));
    }
    return window;
}

}  // namespace

std::optional<NestFilter::Window> Book::extent() const
{
    // The root says it at once; the whole index need not be read.
    Query query = connection_->query("SELECT data FROM rtree_site_geom_node WHERE nodeno = 1");
    return query.step() ? window_of_node(query.blob()) : std::nullopt;
}

std::optional<CallSheet> Book::call(CallId id) const
{
    Query query = connection_->query(sheet_statement("WHERE c.id = ?1"));
    query.bind(id);
    return query.step() ? std::optional{read_sheet(query)} : std::nullopt;
}

std::optional<CallId> Book::call_by_source_key(std::string_view key) const
{
    Query query = connection_->query("SELECT id FROM call WHERE source_key = ?1");
    query.bind(key);
    return query.step() ? std::optional{query.key<CallId>()} : std::nullopt;
}

CallId Book::find_call(std::string_view key) const
{
    constexpr std::size_t kShortest = 4;
    if (const auto by_source = call_by_source_key(key)) {
        return *by_source;
    }
    std::string wanted;
    for (const char c : key) {
        wanted.push_back(c >= 'A' && c <= 'F' ? static_cast<char>(c - 'A' + 'a') : c);
    }
    std::vector<CallId> found;
    if (wanted.size() >= kShortest && wanted.size() <= 36) {
        Query query = connection_->query("SELECT id FROM call WHERE substr(id, ?1) = ?2 LIMIT 2");
        query.bind(-static_cast<std::int64_t>(wanted.size())).bind(wanted);
        while (query.step()) {
            found.push_back(query.key<CallId>());
        }
    }
    if (found.empty() && wanted.size() >= kShortest && wanted.size() <= 36) {
        // A nest's key stands for its newest call; keys grow with time.
        Query query = connection_->query(
            "SELECT max(id) FROM call WHERE substr(nest_id, ?1) = ?2 GROUP BY nest_id LIMIT 2");
        query.bind(-static_cast<std::int64_t>(wanted.size())).bind(wanted);
        while (query.step()) {
            found.push_back(query.key<CallId>());
        }
    }
    const std::string where = path().string();
    if (found.empty()) {
        throw Failure{ErrorCode::NotFound,
                      "no call is named '" + std::string{key} +
                          "'; give its source key, or the last four or more characters of its id",
                      where};
    }
    if (found.size() > 1) {
        throw Failure{ErrorCode::InvalidInput,
                      "more than one call ends in '" + std::string{key} + "'; give more of its id",
                      where};
    }
    return found.front();
}

std::optional<Client> Book::client(ClientId id) const { return row_of<Client>(*connection_, id); }
std::optional<Site> Book::site(SiteId id) const { return row_of<Site>(*connection_, id); }
std::optional<Nest> Book::nest(NestId id) const { return row_of<Nest>(*connection_, id); }

std::vector<Crew> Book::crews(bool all) const
{
    auto out = rows<Crew>(*connection_, "WHERE active OR ?1 ORDER BY name, id", all);
    for (auto& crew : out) {
        crew.gear =
            rows<Gear>(*connection_, "WHERE crew_id = ?1 ORDER BY kind, label, id", crew.id);
    }
    return out;
}

std::vector<Gear> Book::gear_in_store() const
{
    return rows<Gear>(*connection_, "WHERE crew_id IS NULL ORDER BY kind, label, id");
}

std::vector<WeatherStation> Book::stations() const
{
    return rows<WeatherStation>(*connection_, "ORDER BY code, id");
}

std::vector<WeatherDay> Book::weather(StationId station, Day from, Day to) const
{
    std::vector<WeatherDay> out;
    Query query = connection_->query(
        "SELECT day, minimum_c, maximum_c FROM weather_day WHERE station_id = ?1 AND day BETWEEN "
        "?2 AND ?3 ORDER BY day");
    query.bind(station).bind(from).bind(to);
    while (query.step()) {
        WeatherDay day;
        day.station = station;
        day.day = query.day();
        day.minimum = Celsius{query.real()};
        day.maximum = Celsius{query.real()};
        out.push_back(day);
    }
    return out;
}

std::vector<WeatherHour> Book::weather_hours(StationId station, Instant from, Instant to) const
{
    std::vector<WeatherHour> out;
    Query query = connection_->query(
        "SELECT at, temperature_c, humidity, wind_m_s, gust_m_s, thunder FROM weather_hour WHERE "
        "station_id = ?1 AND at >= ?2 AND at < ?3 ORDER BY at");
    query.bind(station).bind(from).bind(to);
    while (query.step()) {
        out.push_back(read_hour(query, station));
    }
    return out;
}

std::optional<std::pair<Day, Day>> Book::weather_range() const
{
    Query query = connection_->query("SELECT min(day), max(day) FROM weather_day");
    return read_range(query);
}

std::optional<std::pair<Day, Day>> Book::weather_range(StationId station) const
{
    Query query =
        connection_->query("SELECT min(day), max(day) FROM weather_day WHERE station_id = ?1");
    query.bind(station);
    return read_range(query);
}

std::vector<Visit> Book::visits(NestId nest) const
{
    return rows<Visit>(*connection_, "WHERE nest_id = ?1 ORDER BY begun_at, id", nest);
}

std::vector<Visit> Book::all_visits() const
{
    return rows<Visit>(*connection_, "ORDER BY begun_at, id");
}

std::vector<CatchRecord> Book::catches(VisitId visit) const
{
    return rows<CatchRecord>(*connection_, "WHERE visit_id = ?1 ORDER BY frozen_at, id", visit);
}

std::vector<CombPiece> Book::comb(VisitId visit) const
{
    return rows<CombPiece>(*connection_, "WHERE visit_id = ?1 ORDER BY id", visit);
}

std::vector<Collection> Book::collections(CombId comb) const
{
    return rows<Collection>(*connection_, "WHERE comb_id = ?1 ORDER BY collected_at, id", comb);
}

std::vector<CombPiece> Book::all_comb() const
{
    return rows<CombPiece>(*connection_, "ORDER BY id");
}

std::optional<Visit> Book::visit(VisitId id) const
{
    auto found = rows<Visit>(*connection_, "WHERE id = ?1", id);
    return found.empty() ? std::nullopt : std::optional{std::move(found.front())};
}

std::vector<Habitat> Book::habitats(bool all) const
{
    return rows<Habitat>(*connection_, all ? "ORDER BY name" : "WHERE active = 1 ORDER BY name");
}

std::vector<HabitatReading> Book::habitat_readings(HabitatId habitat, Instant from,
                                                   Instant to) const
{
    std::vector<HabitatReading> out;
    Query query = connection_->query(
        "SELECT at, temperature_c, humidity FROM habitat_reading WHERE habitat_id = ?1 AND at >= "
        "?2 AND at < ?3 ORDER BY at");
    query.bind(habitat).bind(from).bind(to);
    while (query.step()) {
        HabitatReading reading;
        reading.habitat = habitat;
        reading.at = query.instant();
        reading.temperature = Celsius{query.real()};
        reading.humidity = query.maybe<FractionTag>();
        out.push_back(reading);
    }
    return out;
}

std::vector<Lot> Book::lots() const { return rows<Lot>(*connection_, "ORDER BY code"); }

std::vector<LotParent> Book::lot_parents(LotId lot) const
{
    return rows<LotParent>(*connection_, "WHERE lot_id = ?1 ORDER BY id", lot);
}

std::vector<LotCorrection> Book::lot_corrections(LotId lot) const
{
    return rows<LotCorrection>(*connection_, "WHERE lot_id = ?1 ORDER BY corrected_at, id", lot);
}

std::vector<Order> Book::orders() const
{
    return rows<Order>(*connection_, "ORDER BY placed_on, id");
}

std::vector<Shipment> Book::shipments() const
{
    auto out = rows<Shipment>(*connection_, "ORDER BY shipped_on, id");
    for (auto& shipment : out) {
        Query query = connection_->query(
            "SELECT lot_id FROM shipment_lot WHERE shipment_id = ?1 ORDER BY lot_id");
        query.bind(shipment.id);
        while (query.step()) {
            shipment.lots.push_back(query.key<LotId>());
        }
    }
    return out;
}

std::vector<NestId> Book::nests_of(LotId lot) const
{
    std::vector<NestId> out;
    Query query = connection_->query(
        "SELECT DISTINCT nest_id FROM lot_ancestry WHERE lot_id = ?1 ORDER BY nest_id");
    query.bind(lot);
    while (query.step()) {
        out.push_back(query.key<NestId>());
    }
    return out;
}

std::vector<LotId> Book::lots_of(NestId nest) const
{
    std::vector<LotId> out;
    Query query = connection_->query(
        "SELECT DISTINCT lot_id FROM lot_ancestry WHERE nest_id = ?1 ORDER BY lot_id");
    query.bind(nest);
    while (query.step()) {
        out.push_back(query.key<LotId>());
    }
    return out;
}

std::map<std::string, std::string> Book::settings() const
{
    std::map<std::string, std::string> out;
    Query query = connection_->query("SELECT key, value FROM setting");
    while (query.step()) {
        std::string key = query.text();
        out.insert_or_assign(std::move(key), query.text());
    }
    return out;
}

std::string short_key(const Uuid& uuid)
{
    constexpr std::size_t kLength = 6;
    const std::string text = uuid.text();
    return text.substr(text.size() - kLength);
}

}  // namespace nestround::book
