#include "geocore/book/chain.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>
#include <utility>

#include "geocore/base/sha256.hpp"

namespace nestround::book {

namespace {

constexpr std::string_view kNoHash =
    "0000000000000000000000000000000000000000000000000000000000000000";
constexpr std::string_view kLinkColumns = "number, at, kind, row_id, record, previous, hash";
/// Says in a record that its clock ran behind the link before, and that someone confirmed it.
constexpr std::string_view kConfirmed = "clock behind the link before, confirmed\n";

/// Says in a record that it was sealed in another book; the hash of its link there stands between.
constexpr std::string_view kFrom = "from link ";
constexpr std::string_view kOfAnother = " of another book\n";
constexpr std::size_t kHashLength = 64;

/// The hash in a record that was taken in; empty in others.
std::string_view hash_taken_in(std::string_view record)
{
    if (record.starts_with(kConfirmed)) {
        record.remove_prefix(kConfirmed.size());
    }
    if (!record.starts_with(kFrom) ||
        !record.substr(std::min(record.size(), kFrom.size() + kHashLength))
             .starts_with(kOfAnother)) {
        return {};
    }
    return record.substr(kFrom.size(), kHashLength);
}

/// What is written down of a row, one statement a part; ?1 is the row.
struct Recorded {
    ChainKind kind;
    std::array<std::string_view, 3> parts;
};

constexpr std::array<Recorded, 5> kRecorded{{
    {ChainKind::Seal,
     {"SELECT id AS lot, code, taxon AS species, purpose, frozen_at, method, mass_g, count, "
      "container, sealed_at, sealed_by, note FROM lot WHERE id = ?1",
      "SELECT p.id AS part, p.mass_g AS part_g, c.id AS catch, c.taxon AS species, c.mass_g, "
      "c.count, c.frozen_at, v.id AS visit, v.begun_at, v.nest_id AS nest FROM lot_parent p "
      "JOIN catch c ON c.id = p.catch_id JOIN visit v ON v.id = c.visit_id "
      "WHERE p.lot_id = ?1 ORDER BY p.id",
      "SELECT p.id AS part, p.mass_g AS part_g, o.id AS collection, o.mass_g, o.workers, "
      "o.reproductives, o.collected_at, b.id AS comb, v.id AS visit, v.begun_at, v.nest_id AS nest "
      "FROM lot_parent p JOIN collection o ON o.id = p.collection_id "
      "JOIN comb_piece b ON b.id = o.comb_id JOIN visit v ON v.id = b.visit_id "
      "WHERE p.lot_id = ?1 ORDER BY p.id"}},
    {ChainKind::Correction,
     {"SELECT id AS correction, lot_id AS lot, corrected_at, who, field, was, becomes, why "
      "FROM lot_correction WHERE id = ?1",
      "", ""}},
    {ChainKind::Move,
     {"SELECT id AS move, lot_id AS lot, moved_at, who, freezer, shelf, box, note FROM lot_move "
      "WHERE id = ?1",
      "", ""}},
    // Carrier, tracking and note may be added when they are known.
    {ChainKind::Shipment,
     {"SELECT id AS shipment, order_id AS \"order\", shipped_on, ice_g, packed_by FROM shipment "
      "WHERE id = ?1",
      "SELECT lot_id AS lot FROM shipment_lot WHERE shipment_id = ?1 ORDER BY lot_id", ""}},
    {ChainKind::Excursion,
     {"SELECT id AS excursion, freezer, shelf, box, began_at, ended_at, limit_c, warmest_c, "
      "readings, who, note FROM excursion WHERE id = ?1",
      "SELECT lot_id AS lot FROM excursion_lot WHERE excursion_id = ?1 ORDER BY lot_id", ""}},
}};

/// Every row that must have a link: kind, id, and the order in which they were written. A shipment
/// or excursion without lots says nothing of a sealed lot.
constexpr std::string_view kAllRows =
    "SELECT 'seal' AS kind, id, sealed_at AS at, 1 AS step, fid FROM lot WHERE sealed_at NOT NULL "
    "UNION ALL SELECT 'correction', id, corrected_at, 3, fid FROM lot_correction "
    "UNION ALL SELECT 'move', id, moved_at, 2, fid FROM lot_move "
    "UNION ALL SELECT 'excursion', id, ended_at, 4, fid FROM excursion "
    "UNION ALL SELECT 'shipment', id, strftime('%Y-%m-%dT%H:%M:%fZ', shipped_on, '+0 days'), 5, "
    "fid FROM shipment WHERE id IN (SELECT shipment_id FROM shipment_lot)";

/// For a person: the lot's code rather than a key.
std::string name_of(Connection& connection, ChainKind kind, const std::string& row)
{
    static constexpr std::array<std::string_view, 3> kLotOf{
        "SELECT code FROM lot WHERE id = ?1",
        "SELECT l.code FROM lot_correction k JOIN lot l ON l.id = k.lot_id WHERE k.id = ?1",
        "SELECT l.code FROM lot_move m JOIN lot l ON l.id = m.lot_id WHERE m.id = ?1"};
    const auto place = static_cast<std::size_t>(kind);
    if (place < kLotOf.size()) {
        Query query = connection.query(std::string{kLotOf[place]});
        query.bind(row);
        if (query.step()) {
            return fmt::format("{} of lot {}", text(kind), query.text());
        }
    }
    return fmt::format("{} {}", text(kind), row);
}

/// The first line in which two records differ.
std::string first_difference(std::string_view was, std::string_view is)
{
    while (!was.empty() || !is.empty()) {
        const auto line = [](std::string_view& text) {
            const auto end = text.find('\n');
            const auto first = text.substr(0, end);
            text = end == std::string_view::npos ? std::string_view{} : text.substr(end + 1);
            return first;
        };
        const auto before = line(was);
        const auto after = line(is);
        if (before != after) {
            return fmt::format("recorded '{}', now '{}'", before, after);
        }
    }
    return "";
}

}  // namespace

std::string chain_record(Connection& connection, ChainKind kind, const std::string& row)
{
    std::string record;
    for (const auto& recorded : kRecorded) {
        for (const auto part : recorded.parts) {
            if (recorded.kind != kind || part.empty()) {
                continue;
            }
            Query query = connection.query(std::string{part});
            query.bind(row);
            while (query.step()) {
                query.append_row(record);
            }
            if (record.empty()) {
                return record;
            }
        }
    }
    return record;
}

std::string chain_text(const ChainLink& link)
{
    return fmt::format("nestround chain 1\nnumber {}\nat {}\nkind {}\nprevious {}\n{}", link.number,
                       format_instant(link.at), text(link.kind), link.previous, link.record);
}

std::string hash_of(const ChainLink& link) { return sha256(chain_text(link)); }

ChainLink read_link(Query& query)
{
    ChainLink link;
    link.number = static_cast<int>(query.integer());
    link.at = query.instant();
    link.kind = query.word(chain_kind);
    link.row = query.key<Id<struct AnyRow>>().uuid();
    link.record = query.text();
    link.previous = query.text();
    link.hash = query.text();
    return link;
}

std::optional<ChainLink> chain_head(Connection& connection)
{
    static const std::string sql =
        fmt::format("SELECT {} FROM lot_chain ORDER BY number DESC LIMIT 1", kLinkColumns);
    Query query = connection.query(sql);
    return query.step() ? std::optional{read_link(query)} : std::nullopt;
}

void add_link(Connection& connection, ChainKind kind, const std::string& row, Instant now,
              bool clock_is_right, std::string_view from)
{
    const auto head = chain_head(connection);
    ChainLink link;
    link.number = head ? head->number + 1 : 1;
    link.at = now;
    link.kind = kind;
    link.previous = head ? head->hash : std::string{kNoHash};
    link.record = chain_record(connection, kind, row);
    if (!from.empty()) {
        link.record.insert(0, fmt::format("{}{}{}", kFrom, from, kOfAnother));
    }
    if (head && now < head->at) {
        if (!clock_is_right) {
            throw Failure{
                ErrorCode::InvalidInput,
                fmt::format("the clock says {}, but the last record of a sealed lot is of {}: set "
                            "the clock, or confirm it with --clock-is-right",
                            format_instant(now), format_instant(head->at)),
                connection.path().string()};
        }
        link.record.insert(0, kConfirmed);
    }
    link.hash = hash_of(link);
    connection
        .query(
            "INSERT INTO lot_chain (number, at, kind, row_id, record, previous, hash) VALUES "
            "(?1, ?2, ?3, ?4, ?5, ?6, ?7)")
        .bind(static_cast<std::int64_t>(link.number))
        .bind(link.at)
        .bind(text(link.kind))
        .bind(row)
        .bind(link.record)
        .bind(link.previous)
        .bind(link.hash)
        .run();
}

void chain_what_was_sealed(Connection& connection)
{
    std::vector<std::pair<ChainKind, std::string>> rows;
    std::vector<Instant> times;
    {
        Query query = connection.query(fmt::format("{} ORDER BY at, step, fid", kAllRows));
        while (query.step()) {
            const ChainKind kind = query.word(chain_kind);
            rows.emplace_back(kind, query.text());
            times.push_back(query.instant());
        }
    }
    for (std::size_t i = 0; i < rows.size(); ++i) {
        add_link(connection, rows[i].first, rows[i].second, times[i], false);
    }
}

std::string_view bare_record(std::string_view record)
{
    if (record.starts_with(kConfirmed)) {
        record.remove_prefix(kConfirmed.size());
    }
    if (!hash_taken_in(record).empty()) {
        record.remove_prefix(kFrom.size() + kHashLength + kOfAnother.size());
    }
    return record;
}

int number_of_hash(Connection& connection, std::string_view hash)
{
    const auto number_where = [&](const std::string& condition) {
        Query query = connection.query("SELECT number FROM lot_chain WHERE " + condition +
                                       " ORDER BY number");
        query.bind(hash);
        return query.step() ? static_cast<int>(query.integer()) : 0;
    };
    if (const int own = number_where("hash = ?1"); own > 0) {
        return own;
    }
    return number_where(
        "(kind, row_id) IN (SELECT b.kind, b.row_id FROM lot_chain_branch b WHERE b.hash = ?1)");
}

namespace {

/// Links of other books: each must still have its own hash and stand on one that is here, and what
/// a link of ours says it was taken from must be among them.
void add_broken_branches(Connection& connection, const std::vector<ChainLink>& own,
                         std::vector<BrokenLink>& broken)
{
    std::vector<ChainLink> taken_in;
    {
        Query query = connection.query(
            fmt::format("SELECT {} FROM lot_chain_branch ORDER BY number, hash", kLinkColumns));
        while (query.step()) {
            taken_in.push_back(read_link(query));
        }
    }
    std::set<std::string, std::less<>> known{std::string{kNoHash}};
    for (const auto& link : own) {
        known.insert(link.hash);
    }
    std::set<std::string, std::less<>> branch;
    for (const auto& link : taken_in) {
        branch.insert(link.hash);
    }
    for (const auto& link : taken_in) {
        const auto fault = [&](std::string words) {
            broken.push_back({0,
                              "a link taken in, " + name_of(connection, link.kind, link.row.text()),
                              std::move(words)});
        };
        if (hash_of(link) != link.hash) {
            fault("its hash is not that of its text: the link was altered");
        }
        if (!known.contains(link.previous) && !branch.contains(link.previous)) {
            fault("it does not rest on a link that is here");
        }
    }
    for (const auto& link : own) {
        if (const auto from = hash_taken_in(link.record);
            !from.empty() && !branch.contains(from) && !known.contains(from)) {
            broken.push_back({link.number, name_of(connection, link.kind, link.row.text()),
                              "the link of the other book that it was taken from is gone"});
        }
    }
}

}  // namespace

std::vector<BrokenLink> broken_links(Connection& connection)
{
    std::vector<ChainLink> links;
    {
        Query query =
            connection.query(fmt::format("SELECT {} FROM lot_chain ORDER BY number", kLinkColumns));
        while (query.step()) {
            links.push_back(read_link(query));
        }
    }
    std::vector<BrokenLink> broken;
    std::string previous{kNoHash};
    Instant last{};
    int number = 0;
    for (const auto& link : links) {
        const std::string row = link.row.text();
        const auto fault = [&](std::string words) {
            broken.push_back({link.number, name_of(connection, link.kind, row), std::move(words)});
        };
        if (link.number != ++number) {
            fault(number + 1 == link.number ? fmt::format("link {} before it is missing", number)
                                            : fmt::format("links {} to {} before it are missing",
                                                          number, link.number - 1));
            number = link.number;
        } else if (link.previous != previous) {
            fault("it does not rest on the link before it");
        }
        const bool is_confirmed = link.record.starts_with(kConfirmed);
        if (link.at < last && !is_confirmed) {
            fault("it is earlier than the link before it");
        }
        if (hash_of(link) != link.hash) {
            fault("its hash is not that of its text: the link was altered");
        }
        const auto written = bare_record(link.record);
        const auto now = chain_record(connection, link.kind, row);
        if (now.empty()) {
            fault("the row it is of is gone");
        } else if (now != written) {
            fault("the row was altered: " + first_difference(written, now));
        }
        previous = link.hash;
        last = link.at;
    }
    add_broken_branches(connection, links, broken);
    Query query = connection.query(
        fmt::format("SELECT kind, id FROM ({}) r WHERE NOT EXISTS (SELECT 1 FROM lot_chain c WHERE "
                    "c.kind = r.kind AND c.row_id = r.id) ORDER BY at, step, fid",
                    kAllRows));
    while (query.step()) {
        const ChainKind kind = query.word(chain_kind);
        broken.push_back({0, name_of(connection, kind, query.text()),
                          "the record has no link: it was put in past the program"});
    }
    return broken;
}

}  // namespace nestround::book
