#include "plugin/share/load_rows.hpp"

#include <fmt/format.h>
#include <sqlite3.h>

#include <array>
#include <bit>
#include <limits>
#include <string_view>
#include <vector>

#include "geocore/base/error.hpp"
#include "geocore/place/gpb_geometry.hpp"
#include "plugin/share/packed_index.hpp"
#include "plugin/share/statement.hpp"

namespace nestround::share {

namespace {

class Database {
public:
    Database(const std::string& draft, std::string path) : path_{std::move(path)}
    {
        const int opened = sqlite3_open_v2(draft.c_str(), &handle_, SQLITE_OPEN_READWRITE, nullptr);
        try {
            if (opened != SQLITE_OK) {
                refuse();
            }
            // The triggers are for those who edit the file; what they do is done here at the end.
            sqlite3_db_config(handle_, SQLITE_DBCONFIG_ENABLE_TRIGGER, 0, nullptr);
            // Half a draft is thrown away: nothing needs to be taken back.
            run("PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF; PRAGMA locking_mode = "
                "EXCLUSIVE; PRAGMA cache_size = -32768; PRAGMA foreign_keys = OFF; BEGIN");
        } catch (...) {
            sqlite3_close_v2(handle_);
            throw;
        }
    }
    ~Database() { sqlite3_close_v2(handle_); }
    Database(const Database&) = delete;
    Database& operator=(const Database&) = delete;

    void run(const std::string& sql)
    {
        if (sqlite3_exec(handle_, sql.c_str(), nullptr, nullptr, nullptr) != SQLITE_OK) {
            refuse();
        }
    }
    [[noreturn]] void refuse() const
    {
        const bool full = (sqlite3_errcode(handle_) & 0xff) == SQLITE_FULL;
        throw Failure{ErrorCode::OutputFailed,
                      fmt::format("cannot be made ({}){}", sqlite3_errmsg(handle_),
                                  full ? "; make room on the disk or choose another folder" : ""),
                      path_};
    }
    [[nodiscard]] sqlite3* handle() const { return handle_; }

private:
    std::string path_;
    sqlite3* handle_ = nullptr;
};

/// Bound in order, run, bound anew. Texts and bytes must live until run() returns.
class Insert {
public:
    Insert(Database& database, const std::string& sql) : database_{database}
    {
        if (sqlite3_prepare_v3(database.handle(), sql.c_str(), -1, SQLITE_PREPARE_PERSISTENT,
                               &statement_, nullptr) != SQLITE_OK) {
            database.refuse();
        }
    }
    ~Insert() { sqlite3_finalize(statement_); }
    Insert(const Insert&) = delete;
    Insert& operator=(const Insert&) = delete;

    Insert& whole(std::int64_t value)
    {
        sqlite3_bind_int64(statement_, ++at_, value);
        return *this;
    }
    Insert& real(double value)
    {
        sqlite3_bind_double(statement_, ++at_, value);
        return *this;
    }
    template <class Unit>
    Insert& real(const std::optional<Quantity<Unit>>& value)
    {
        return value ? real(value->value()) : nothing();
    }
    Insert& nothing()
    {
        sqlite3_bind_null(statement_, ++at_);
        return *this;
    }
    /// Nothing when empty.
    Insert& words(std::string_view text)
    {
        if (text.empty()) {
            return nothing();
        }
        sqlite3_bind_text(statement_, ++at_, text.data(), static_cast<int>(text.size()),
                          SQLITE_STATIC);
        return *this;
    }
    Insert& bytes(std::span<const std::uint8_t> blob)
    {
        sqlite3_bind_blob(statement_, ++at_, blob.data(), static_cast<int>(blob.size()),
                          SQLITE_STATIC);
        return *this;
    }
    void run()
    {
        if (sqlite3_step(statement_) != SQLITE_DONE) {
            database_.refuse();
        }
        sqlite3_reset(statement_);
        at_ = 0;
    }

private:
    Database& database_;
    sqlite3_stmt* statement_ = nullptr;
    int at_ = 0;
};

std::int64_t number_of(Database& database, const std::string& sql)
{
    sqlite3_stmt* statement = nullptr;
    std::int64_t value = 0;
    const bool good =
        sqlite3_prepare_v2(database.handle(), sql.c_str(), -1, &statement, nullptr) == SQLITE_OK &&
        sqlite3_step(statement) == SQLITE_ROW;
    if (good) {
        value = sqlite3_column_int64(statement, 0);
    }
    sqlite3_finalize(statement);
    if (!good) {
        database.refuse();
    }
    return value;
}

/// What is written behind the rows, and closes the file.
class Summary {
public:
    void add(double west, double east, double south, double north)
    {
        boxes_.push_back(
            boxed(static_cast<std::uint32_t>(boxes_.size() + 1), west, east, south, north));
        west_ = std::min(west_, west);
        east_ = std::max(east_, east);
        south_ = std::min(south_, south);
        north_ = std::max(north_, north);
    }
    void reserve(std::size_t rows) { boxes_.reserve(rows); }

    void write(Database& database, const std::string& layer)
    {
        const auto rows = boxes_.size();
        const auto index = fmt::format("rtree_{}_geom", layer);
        const auto size = number_of(
            database, fmt::format("SELECT length(data) FROM \"{}_node\" WHERE nodeno = 1", index));
        Insert node{
            database,
            fmt::format("INSERT OR REPLACE INTO \"{}_node\" (nodeno, data) VALUES (?, ?)", index)};
        const auto packed =
            pack_index(std::move(boxes_), static_cast<std::size_t>(size),
                       [&](std::uint32_t number, std::span<const std::uint8_t> bytes) {
                           node.whole(number).bytes(bytes).run();
                       });
        Insert row{database,
                   fmt::format("INSERT INTO \"{}_rowid\" (rowid, nodeno) VALUES (?, ?)", index)};
        std::int64_t number = 0;
        for (const auto leaf : packed.leaf_of) {
            row.whole(++number).whole(leaf).run();
        }
        Insert parent{
            database,
            fmt::format("INSERT INTO \"{}_parent\" (nodeno, parentnode) VALUES (?, ?)", index)};
        number = 1;
        for (const auto above : packed.parent_of) {
            parent.whole(++number).whole(above).run();
        }
        Insert count{database, fmt::format("UPDATE gpkg_ogr_contents SET feature_count = ? WHERE "
                                           "table_name = '{}'",
                                           layer)};
        count.whole(static_cast<std::int64_t>(rows)).run();
        if (rows > 0) {
            Insert extent{database, fmt::format("UPDATE gpkg_contents SET min_x = ?, max_x = ?, "
                                                "min_y = ?, max_y = ? WHERE table_name = '{}'",
                                                layer)};
            extent.real(west_).real(east_).real(south_).real(north_).run();
        }
        database.run("COMMIT");
    }

private:
    static constexpr double kFar = std::numeric_limits<double>::infinity();

    std::vector<Boxed> boxes_;
    double west_ = kFar, east_ = -kFar, south_ = kFar, north_ = -kFar;
};

/// A rectangle as polygon with its envelope: header, then well-known binary, little-endian.
std::vector<std::uint8_t> rectangle(double west, double east, double south, double north)
{
    std::vector<std::uint8_t> bytes{'G', 'P', 0, 3};
    const auto whole = [&](std::uint32_t value) {
        for (unsigned i = 0; i < 4; ++i) {
            bytes.push_back(static_cast<std::uint8_t>(value >> (8 * i)));
        }
    };
    const auto real = [&](double value) {
        const auto bits = std::bit_cast<std::uint64_t>(value);
        whole(static_cast<std::uint32_t>(bits));
        whole(static_cast<std::uint32_t>(bits >> 32U));
    };
    constexpr std::uint32_t wgs84 = 4326;
    constexpr std::uint32_t polygon = 3;
    whole(wgs84);
    for (const double side : {west, east, south, north}) {
        real(side);
    }
    bytes.push_back(1);
    whole(polygon);
    whole(1);  // ring
    whole(5);  // corners, the first once more
    for (const auto& [x, y] :
         {std::pair{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}) {
        real(x);
        real(y);
    }
    return bytes;
}

}  // namespace

void load_nests(const std::string& draft, const std::string& path, const Shared& shared,
                const nature::TaxaTable& table)
{
    Database database{draft, path};
    std::vector<std::string> names;
    for (const auto& code : shared.taxa) {
        names.push_back(scientific_name(table, code));
    }
    Summary summary;
    summary.reserve(shared.nests.size());
    {
        Insert row{database,
                   "INSERT INTO nests (fid, geom, id, taxon, season, sits, date, outcome, "
                   "uncertainty_m, height_m, caught_g) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"};
        std::int64_t number = 0;
        for (const auto& nest : shared.nests) {
            const auto point = place::write_gpb_point(nest.place);
            const auto id = id_text(nest);
            const auto date = date_text(shared, nest);
            row.whole(++number).bytes(point).words(id).words(names[nest.taxon]);
            row.whole(nest.season).words(text(nest.kind)).words(date);
            row.words(nest.outcome ? text(*nest.outcome) : std::string_view{});
            row.real(nest.uncertainty).real(nest.height).real(nest.caught).run();
            const double x = nest.place.lon.value();
            const double y = nest.place.lat.value();
            summary.add(x, x, y, y);
        }
    }
    summary.write(database, "nests");
}

std::size_t load_photos(const std::string& draft, const std::string& path, const Shared& shared,
                        const PictureSource& pictures)
{
    Database database{draft, path};
    std::int64_t number = 0;
    {
        Insert photo{database,
                     "INSERT INTO photos (id, data, content_type, width_px, height_px) VALUES (?, "
                     "?, 'image/jpeg', ?, ?)"};
        Insert pair{database, "INSERT INTO nests_photos (base_id, related_id) VALUES (?, ?)"};
        for (const auto& one : shared.photos) {
            const auto picture = pictures(one.key);
            if (picture.jpeg.empty()) {
                continue;
            }
            photo.whole(++number).bytes(picture.jpeg).whole(picture.width);
            photo.whole(picture.height).run();
            pair.whole(one.nest).whole(number).run();
        }
    }
    database.run("COMMIT");
    return static_cast<std::size_t>(number);
}

void load_counts(const std::string& draft, const std::string& path, const Shared& shared,
                 const nature::TaxaTable& table)
{
    Database database{draft, path};
    Summary summary;
    {
        Insert row{database,
                   "INSERT INTO nest_counts (fid, geom, square, taxon, season, nests) VALUES "
                   "(?, ?, ?, ?, ?, ?)"};
        std::int64_t number = 0;
        for (const auto& one : shared.counts) {
            const double west = one.square.west.value();
            const double east = one.square.east.value();
            const double south = one.square.south.value();
            const double north = one.square.north.value();
            const auto shape = rectangle(west, east, south, north);
            const auto taxon = scientific_name(table, one.taxon);
            row.whole(++number).bytes(shape).words(one.square.name).words(taxon);
            row.whole(one.season).whole(one.nests).run();
            summary.add(west, east, south, north);
        }
    }
    summary.write(database, "nest_counts");
}

}  // namespace nestround::share
