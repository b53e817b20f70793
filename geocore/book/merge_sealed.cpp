// Lots of two books: what is sealed stays as it was sealed, and both chains are kept.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geocore/book/chain.hpp"
#include "geocore/book/merge_work.hpp"

namespace nestround::book {

namespace {

/// Columns that may not change once the query finds the row (?1) in database {0}.
struct Rest {
    std::string_view table;
    std::string_view columns;  ///< split by spaces; "*" for all
    std::string_view sql;
};

constexpr std::array<Rest, 9> kRests{{
    {"catch", "*",
     "SELECT 1 FROM {0}.lot_parent p JOIN {0}.lot l ON l.id = p.lot_id WHERE p.catch_id = ?1 AND "
     "l.sealed_at IS NOT NULL"},
    {"catch", "taxon visit_id", "SELECT 1 FROM {0}.lot_parent p WHERE p.catch_id = ?1"},
    {"collection", "*",
     "SELECT 1 FROM {0}.lot_parent p JOIN {0}.lot l ON l.id = p.lot_id WHERE p.collection_id = ?1 "
     "AND l.sealed_at IS NOT NULL"},
    {"collection", "comb_id", "SELECT 1 FROM {0}.lot_parent p WHERE p.collection_id = ?1"},
    {"visit", "nest_id begun_at",
     "SELECT 1 FROM {0}.catch c JOIN {0}.lot_parent p ON p.catch_id = c.id WHERE c.visit_id = ?1"},
    {"visit", "nest_id begun_at",
     "SELECT 1 FROM {0}.comb_piece b JOIN {0}.collection o ON o.comb_id = b.id JOIN "
     "{0}.lot_parent p ON p.collection_id = o.id WHERE b.visit_id = ?1"},
    {"comb_piece", "visit_id",
     "SELECT 1 FROM {0}.collection o JOIN {0}.lot_parent p ON p.collection_id = o.id WHERE "
     "o.comb_id = ?1"},
    {"nest", "taxon",
     "SELECT 1 FROM {0}.visit v JOIN {0}.comb_piece b ON b.visit_id = v.id JOIN {0}.collection o "
     "ON o.comb_id = b.id JOIN {0}.lot_parent p ON p.collection_id = o.id WHERE v.nest_id = ?1 AND "
     "NOT EXISTS (SELECT 1 FROM {0}.lot_correction k WHERE k.lot_id = p.lot_id AND k.field = "
     "'withdrawn')"},
    {"shipment", "order_id shipped_on ice_g packed_by",
     "SELECT 1 FROM {0}.lot_chain k WHERE k.kind = 'shipment' AND k.row_id = ?1"},
}};

bool rests_in(Connection& connection, const Rest& rest, std::string_view database,
              const std::string& id)
{
    Query query = connection.query(fmt::format(fmt::runtime(rest.sql), database));
    query.bind(id);
    return query.step();
}

/// Rows of one or two texts.
std::vector<std::array<std::string, 3>> ask(Connection& connection, const std::string& sql)
{
    std::vector<std::array<std::string, 3>> out;
    Query query = connection.query(sql);
    while (query.step()) {
        std::array<std::string, 3> row;
        for (auto& text : row) {
            text = query.text();
        }
        out.push_back(std::move(row));
    }
    return out;
}

[[noreturn]] void refuse(const MergeWork& work, std::string words)
{
    throw Failure{ErrorCode::RuleBroken, std::move(words), work.connection.path().string()};
}

RowVersion in_words(std::string words, const std::string& now)
{
    RowVersion version;
    version.changed_at = now;
    version.cells.emplace("", std::move(words));
    return version;
}

/// Lists a part of a lot that stands otherwise in the other book.
void note_part(MergeWork& work, const std::array<std::string, 3>& part, bool is_in_ours,
               bool theirs_stands)
{
    const auto& [id, code, thing] = part;
    const auto in = in_words(fmt::format("{} in lot {}", thing, code), "");
    const auto out = in_words(fmt::format("{} not in lot {}", thing, code), "");
    note_conflict(work, "lot_parent", id, "", is_in_ours ? in : out, is_in_ours ? out : in,
                  theirs_stands, Grounds::Sealed);
}

}  // namespace

Fixed fixed_columns(MergeWork& work, const std::string& table, const std::string& id,
                    const std::string& their_id, std::span<const std::string> columns)
{
    for (const bool theirs : {false, true}) {
        Fixed fixed;
        fixed.as_theirs = theirs;
        for (const auto& rest : kRests) {
            if (rest.table != table || !rests_in(work.connection, rest, theirs ? "theirs" : "main",
                                                 theirs ? their_id : id)) {
                continue;
            }
            if (rest.columns == "*") {
                fixed.columns.assign(columns.begin(), columns.end());
                return fixed;
            }
            for (std::string_view left = rest.columns; !left.empty();) {
                const auto end = std::min(left.find(' '), left.size());
                fixed.columns.emplace_back(left.substr(0, end));
                left.remove_prefix(std::min(end + 1, left.size()));
            }
        }
        if (!fixed.columns.empty()) {
            return fixed;
        }
    }
    return {};
}

void note_sealed_lots(MergeWork& work)
{
    for (const auto& [ours, theirs, code] :
         ask(work.connection,
             "SELECT m.id, x.id, m.code FROM main.lot m JOIN theirs.lot x ON x.code = m.code AND "
             "x.id <> m.id ORDER BY m.code")) {
        refuse(work,
               fmt::format("each book has a lot {} of its own (keys ending {} and {}): one of "
                           "the two needs another code and label before the books can be one",
                           code, ours.substr(ours.size() - 6), theirs.substr(theirs.size() - 6)));
    }
    work.connection.execute(
        "CREATE TEMP TABLE merge_sealed (lot_id TEXT PRIMARY KEY, theirs INTEGER NOT NULL);"
        "INSERT INTO temp.merge_sealed SELECT m.id, 0 FROM main.lot m JOIN theirs.lot x ON x.id = "
        "m.id WHERE m.sealed_at IS NOT NULL OR x.sealed_at IS NOT NULL");
}

void settle_lot_parts(MergeWork& work)
{
    // Named as a person would look for them: the last six characters of the key.
    const auto thing = [](std::string_view row) {
        return fmt::format(
            "CASE WHEN {0}.catch_id IS NULL THEN 'collection ' || substr({0}.collection_id, -6) "
            "ELSE 'catch ' || substr({0}.catch_id, -6) END",
            row);
    };
    for (const auto& part :
         ask(work.connection,
             fmt::format("SELECT x.id, l.code, {} FROM temp.theirs_lot_parent x JOIN "
                         "temp.merge_sealed s ON s.lot_id = x.lot_id AND NOT s.theirs JOIN "
                         "main.lot l ON l.id = x.lot_id WHERE NOT EXISTS (SELECT 1 FROM "
                         "main.lot_parent m WHERE m.id = x.id) ORDER BY x.id",
                         thing("x")))) {
        note_part(work, part, false, false);
    }
    const auto surplus = ask(
        work.connection,
        fmt::format("SELECT m.id, l.code, {} FROM main.lot_parent m JOIN temp.merge_sealed s ON "
                    "s.lot_id = m.lot_id AND s.theirs JOIN main.lot l ON l.id = m.lot_id WHERE "
                    "NOT EXISTS (SELECT 1 FROM temp.theirs_lot_parent x WHERE x.id = m.id) "
                    "ORDER BY m.id",
                    thing("m")));
    for (const auto& part : surplus) {
        note_part(work, part, true, true);
        remove_where(work, "lot_parent", fmt::format("m.id = '{}'", part[0]));
    }
}

void merge_lot_lists(MergeWork& work)
{
    // A bag leaves once: where two books say that it left in two parcels, ours stands.
    for (const auto& [lot, ours, theirs] :
         ask(work.connection,
             "SELECT m.lot_id, m.shipment_id, x.shipment_id FROM theirs.shipment_lot x JOIN "
             "main.shipment_lot m ON m.lot_id = x.lot_id AND m.shipment_id <> x.shipment_id ORDER "
             "BY m.lot_id")) {
        const auto code = row_words(work.connection, "lot", lot);
        note_conflict(
            work, "lot", lot, "",
            in_words(fmt::format("{} left with shipment {}", code, ours.substr(ours.size() - 6)),
                     ""),
            in_words(
                fmt::format("{} left with shipment {}", code, theirs.substr(theirs.size() - 6)),
                ""),
            false, Grounds::Sealed);
    }
    work.tally("shipment_lot").added += work.count(
        "shipment_lot",
        work.connection.query(
            "INSERT INTO main.shipment_lot (shipment_id, lot_id) SELECT x.shipment_id, x.lot_id "
            "FROM theirs.shipment_lot x WHERE NOT EXISTS (SELECT 1 FROM main.shipment_lot m WHERE "
            "m.lot_id = x.lot_id) ORDER BY x.fid"));
    work.tally("excursion_lot").added += work.count(
        "excursion_lot",
        work.connection.query(
            "INSERT INTO main.excursion_lot (excursion_id, lot_id) SELECT x.excursion_id, x.lot_id "
            "FROM theirs.excursion_lot x WHERE NOT EXISTS (SELECT 1 FROM main.excursion_lot m "
            "WHERE m.lot_id = x.lot_id AND m.excursion_id = x.excursion_id) ORDER BY x.fid"));
}

void refuse_clashing_lots(MergeWork& work)
{
    const std::string standing =
        "NOT EXISTS (SELECT 1 FROM main.lot_correction k WHERE k.lot_id = l.id AND k.field = "
        "'withdrawn')";
    for (const auto& [code, nest, nothing] :
         ask(work.connection,
             "SELECT l.code, a.nest_id, '' FROM main.lot l JOIN main.lot_ancestry a ON a.lot_id = "
             "l.id WHERE l.purpose = 'venom' AND a.insecticide <> 0 AND " +
                 standing + " ORDER BY l.code")) {
        refuse(work, fmt::format("lot {} is for venom, and its nest {} had insecticide, as one of "
                                 "the books says: withdraw the lot, or take it apart, where it was "
                                 "made; then merge again",
                                 code, nest.substr(nest.size() - 6)));
    }
    for (const auto& [first, second, thing] :
         ask(work.connection,
             "SELECT l.code, j.code, coalesce(p.catch_id, p.collection_id) FROM main.lot_parent p "
             "JOIN main.lot_parent q ON q.id > p.id AND (q.catch_id = p.catch_id OR "
             "q.collection_id = p.collection_id) JOIN main.lot l ON l.id = p.lot_id JOIN main.lot "
             "j "
             "ON j.id = q.lot_id WHERE (p.mass_g IS NULL OR q.mass_g IS NULL) AND " +
                 standing +
                 " AND NOT EXISTS (SELECT 1 FROM main.lot_correction k WHERE k.lot_id = j.id AND "
                 "k.field = 'withdrawn') ORDER BY l.code, j.code")) {
        refuse(work, fmt::format("what ends in {} is in lot {} of one book and in lot {} of the "
                                 "other: withdraw one of the lots, or take it out of the open one; "
                                 "then merge again",
                                 thing.substr(thing.size() - 6), first, second));
    }
}

void merge_chains(MergeWork& work)
{
    Connection& connection = work.connection;
    const std::string is_new =
        " FROM theirs.{0} x WHERE NOT EXISTS (SELECT 1 FROM main.lot_chain m WHERE m.hash = "
        "x.hash) AND NOT EXISTS (SELECT 1 FROM main.lot_chain_branch b WHERE b.hash = x.hash) "
        "ORDER "
        "BY x.number";
    struct Link {
        ChainKind kind;
        std::string row;
        std::string hash;
    };
    std::vector<Link> links;
    {
        Query query = connection.query("SELECT x.kind, x.row_id, x.hash" +
                                       fmt::format(fmt::runtime(is_new), "lot_chain"));
        while (query.step()) {
            const ChainKind kind = query.word(chain_kind);
            std::string row = query.text();
            links.push_back({kind, std::move(row), query.text()});
        }
    }
    for (const auto* table : {"lot_chain", "lot_chain_branch"}) {
        work.count("lot_chain_branch",
                   connection.query("INSERT INTO main.lot_chain_branch (number, at, kind, row_id, "
                                    "record, previous, hash) SELECT x.number, x.at, x.kind, "
                                    "x.row_id, x.record, x.previous, x.hash" +
                                    fmt::format(fmt::runtime(is_new), table)));
    }
    const Instant now = value_or_throw(parse_instant(work.now));
    for (const auto& link : links) {
        Query known =
            connection.query("SELECT 1 FROM main.lot_chain WHERE kind = ?1 AND row_id = ?2");
        known.bind(text(link.kind)).bind(link.row);
        if (known.step() || chain_record(connection, link.kind, link.row).empty()) {
            continue;  // linked here already, or the row is one of ours under another key
        }
        add_link(connection, link.kind, link.row, now, work.settings.clock_is_right, link.hash);
        ++work.report.links;
        work.touched.insert("lot_chain");
    }
}

}  // namespace nestround::book
