// What the book says of bags: where they lie, what they came from, what is in none yet.
#include <fmt/format.h>

#include "geocore/book/book.hpp"
#include "geocore/book/chain.hpp"
#include "geocore/book/connection.hpp"
#include "geocore/book/rows.hpp"

namespace nestround::book {

namespace {

std::string card_statement(std::string_view rest)
{
    return "SELECT l.id, " + qualified("l", Row<Lot>::kColumns) +
           ", m.freezer, m.shelf, m.box, x.shipment_id, s.shipped_on, "
           "EXISTS (SELECT 1 FROM lot_correction k WHERE k.lot_id = l.id AND k.field = "
           "'withdrawn'), (SELECT count(*) FROM lot_correction k WHERE k.lot_id = l.id), "
           "(SELECT count(*) FROM excursion_lot e WHERE e.lot_id = l.id) FROM lot l "
           "LEFT JOIN lot_move m ON m.fid = (SELECT fid FROM lot_move WHERE lot_id = l.id "
           "ORDER BY moved_at DESC, fid DESC LIMIT 1) "
           "LEFT JOIN shipment_lot x ON x.lot_id = l.id "
           "LEFT JOIN shipment s ON s.id = x.shipment_id " +
           std::string{rest};
}

LotCard read_card(Query& query)
{
    LotCard card;
    card.lot = Row<Lot>::read(query);
    FreezerPlace place;
    place.freezer = query.text();
    place.shelf = query.text();
    place.box = query.text();
    if (!place.freezer.empty()) {
        card.place = std::move(place);
    }
    card.shipment = query.maybe_key<ShipmentId>();
    card.shipped = query.maybe_day();
    card.withdrawn = query.flag();
    card.corrections = static_cast<int>(query.integer());
    card.excursions = static_cast<int>(query.integer());
    return card;
}

/// One row a parent of a lot, or, with an outer join, a row also for what is in no lot. Parts in
/// withdrawn lots are free again.
constexpr std::string_view kTaken =
    "(SELECT sum(q.mass_g) FROM lot_parent q WHERE q.{0} = {1}.id AND NOT EXISTS (SELECT 1 FROM "
    "lot_correction k WHERE k.lot_id = q.lot_id AND k.field = 'withdrawn'))";

std::string ancestor_statement(std::string_view join, std::string_view rest)
{
    const auto arm = [&](bool is_catch) {
        const std::string column = is_catch ? "catch_id" : "collection_id";
        const std::string taken = fmt::format(fmt::runtime(kTaken), column, is_catch ? "c" : "o");
        return fmt::format(
            "SELECT p.id, p.lot_id, p.mass_g, {} AS catch_id, {} AS collection_id, {}, {}, {}, "
            "{}, {}, {} AS at, v.id, v.begun_at, n.id AS nest_id, n.insecticide, v.call_id, "
            "k.received_on, k.source_key FROM {} {} lot_parent p ON p.{} = {}.id JOIN visit v ON "
            "v.id = {}.visit_id JOIN nest n ON n.id = v.nest_id LEFT JOIN call k ON k.id = "
            "v.call_id {}",
            is_catch ? "c.id" : "NULL", is_catch ? "NULL" : "o.id", is_catch ? "NULL" : "b.id",
            is_catch ? "c.taxon" : "n.taxon", is_catch ? "c.mass_g" : "o.mass_g", taken,
            is_catch ? "c.count" : "coalesce(o.workers, 0) + coalesce(o.reproductives, 0)",
            is_catch ? "c.frozen_at" : "o.collected_at",
            is_catch ? "catch c" : "collection o JOIN comb_piece b ON b.id = o.comb_id", join,
            column, is_catch ? "c" : "o", is_catch ? "c" : "b", rest);
    };
    return arm(true) + " UNION ALL " + arm(false) + " ORDER BY at, catch_id, collection_id";
}

Ancestor read_ancestor(Query& query)
{
    Ancestor row;
    const auto parent = query.maybe_key<LotParentId>();
    const auto lot = query.maybe_key<LotId>();
    const auto part = query.maybe<GramTag>();
    row.catch_id = query.maybe_key<CatchId>();
    row.collection = query.maybe_key<CollectionId>();
    row.comb = query.maybe_key<CombId>();
    row.taxon = query.text();
    row.mass = query.maybe<GramTag>();
    row.taken = query.maybe<GramTag>();
    row.count = query.maybe_integer();
    row.at = query.instant();
    row.visit = query.key<VisitId>();
    row.visited = query.instant();
    row.nest = query.key<NestId>();
    row.insecticide = query.flag();
    row.call = query.maybe_key<CallId>();
    row.received = query.maybe_day();
    row.call_key = query.text();
    if (parent && lot) {
        row.parent = LotParent{*parent, *lot, row.catch_id, row.collection, part};
    }
    return row;
}

template <class Key>
std::vector<Ancestor> ancestors_that(Connection& connection, const std::string& sql, const Key* key)
{
    std::vector<Ancestor> out;
    Query query = connection.query(sql);
    if (key != nullptr) {
        query.bind(*key);
    }
    while (query.step()) {
        out.push_back(read_ancestor(query));
    }
    return out;
}

void read_lots(Connection& connection, std::vector<Excursion>& excursions)
{
    for (auto& excursion : excursions) {
        Query query = connection.query(
            "SELECT lot_id FROM excursion_lot WHERE excursion_id = ?1 ORDER BY lot_id");
        query.bind(excursion.id);
        while (query.step()) {
            excursion.lots.push_back(query.key<LotId>());
        }
    }
}

}  // namespace

std::vector<LotCard> Book::lot_cards() const
{
    std::vector<LotCard> out;
    Query query = connection_->query(card_statement("ORDER BY l.frozen_at, l.code"));
    while (query.step()) {
        out.push_back(read_card(query));
    }
    return out;
}

std::optional<LotCard> Book::lot_card(LotId lot) const
{
    Query query = connection_->query(card_statement("WHERE l.id = ?1"));
    query.bind(lot);
    return query.step() ? std::optional{read_card(query)} : std::nullopt;
}

std::optional<LotId> Book::lot_by_code(std::string_view code) const
{
    Query query = connection_->query("SELECT id FROM lot WHERE code = ?1");
    query.bind(code);
    return query.step() ? std::optional{query.key<LotId>()} : std::nullopt;
}

std::vector<LotMove> Book::lot_moves(LotId lot) const
{
    std::vector<LotMove> out;
    Query query =
        connection_->query(select_statement<LotMove>("WHERE lot_id = ?1 ORDER BY moved_at, fid"));
    query.bind(lot);
    while (query.step()) {
        out.push_back(Row<LotMove>::read(query));
    }
    return out;
}

std::vector<LotMove> Book::moves_of_freezer(std::string_view freezer) const
{
    std::vector<LotMove> out;
    Query query = connection_->query(
        select_statement<LotMove>("WHERE lot_id IN (SELECT lot_id FROM lot_move WHERE freezer = "
                                  "?1) ORDER BY lot_id, moved_at, fid"));
    query.bind(freezer);
    while (query.step()) {
        out.push_back(Row<LotMove>::read(query));
    }
    return out;
}

std::vector<Excursion> Book::excursions() const
{
    std::vector<Excursion> out;
    {
        Query query = connection_->query(select_statement<Excursion>("ORDER BY began_at, fid"));
        while (query.step()) {
            out.push_back(Row<Excursion>::read(query));
        }
    }
    read_lots(*connection_, out);
    return out;
}

std::vector<Excursion> Book::excursions_of(LotId lot) const
{
    std::vector<Excursion> out;
    {
        Query query = connection_->query(select_statement<Excursion>(
            "WHERE id IN (SELECT excursion_id FROM excursion_lot WHERE lot_id = ?1) ORDER BY "
            "began_at, fid"));
        query.bind(lot);
        while (query.step()) {
            out.push_back(Row<Excursion>::read(query));
        }
    }
    read_lots(*connection_, out);
    return out;
}

std::optional<Shipment> Book::shipment(ShipmentId id) const
{
    std::optional<Shipment> out;
    {
        Query query = connection_->query(select_statement<Shipment>("WHERE id = ?1"));
        query.bind(id);
        if (!query.step()) {
            return out;
        }
        out = Row<Shipment>::read(query);
    }
    Query query = connection_->query(
        "SELECT x.lot_id FROM shipment_lot x JOIN lot l ON l.id = x.lot_id WHERE x.shipment_id = "
        "?1 ORDER BY l.code");
    query.bind(id);
    while (query.step()) {
        out->lots.push_back(query.key<LotId>());
    }
    return out;
}

std::optional<Order> Book::order(OrderId id) const
{
    Query query = connection_->query(select_statement<Order>("WHERE id = ?1"));
    query.bind(id);
    return query.step() ? std::optional{Row<Order>::read(query)} : std::nullopt;
}

std::vector<Ancestor> Book::ancestors(LotId lot) const
{
    static const std::string sql = ancestor_statement("JOIN", "WHERE p.lot_id = ?1");
    return ancestors_that(*connection_, sql, &lot);
}

std::vector<Ancestor> Book::loose() const
{
    // Only what is in a lot as a whole is gone; of a shared one some may be left.
    static const std::string sql =
        ancestor_statement("LEFT JOIN",
                           "WHERE p.id IS NULL OR p.mass_g NOT NULL OR EXISTS (SELECT 1 FROM "
                           "lot_correction w WHERE w.lot_id = p.lot_id AND w.field = 'withdrawn')");
    std::vector<Ancestor> out;
    for (auto& row : ancestors_that<LotId>(*connection_, sql, nullptr)) {
        const bool is_same = !out.empty() && out.back().catch_id == row.catch_id &&
                             out.back().collection == row.collection;
        // A whole one in a withdrawn lot may be in another as a whole.
        if (is_same || (row.parent && !row.parent->mass && is_bagged(row)) ||
            (row.taken && row.mass && row.taken->value() > row.mass->value() - 0.0005)) {
            continue;
        }
        row.parent.reset();
        out.push_back(std::move(row));
    }
    return out;
}

std::optional<Ancestor> Book::thing(const Uuid& id, bool is_catch) const
{
    Query owner = connection_->query(
        is_catch ? "SELECT v.nest_id FROM catch c JOIN visit v ON v.id = c.visit_id WHERE c.id = ?1"
                 : "SELECT v.nest_id FROM collection o JOIN comb_piece b ON b.id = o.comb_id JOIN "
                   "visit v ON v.id = b.visit_id WHERE o.id = ?1");
    owner.bind(id.text());
    if (!owner.step()) {
        return std::nullopt;
    }
    for (auto& row : yields_of(owner.key<NestId>())) {
        if (is_catch ? row.catch_id && row.catch_id->uuid() == id
                     : row.collection && row.collection->uuid() == id) {
            row.parent.reset();
            return std::move(row);
        }
    }
    return std::nullopt;
}

bool Book::is_bagged(const Ancestor& row) const
{
    Query query = connection_->query(
        "SELECT 1 FROM lot_parent p WHERE (p.catch_id = ?1 OR p.collection_id = ?2) AND p.mass_g "
        "IS NULL AND NOT EXISTS (SELECT 1 FROM lot_correction w WHERE w.lot_id = p.lot_id AND "
        "w.field = 'withdrawn')");
    query.bind(row.catch_id).bind(row.collection);
    return query.step();
}

std::vector<Ancestor> Book::yields_of(NestId nest) const
{
    static const std::string sql = ancestor_statement("LEFT JOIN", "WHERE v.nest_id = ?1");
    return ancestors_that(*connection_, sql, &nest);
}

std::vector<Uuid> Book::ids_ending(std::string_view table, std::string_view tail) const
{
    std::vector<Uuid> out;
    if (tail.size() < 4 || tail.size() > 36) {
        return out;
    }
    Query query = connection_->query(
        fmt::format("SELECT id FROM \"{}\" WHERE substr(id, ?1) = ?2 LIMIT 2", table));
    query.bind(-static_cast<std::int64_t>(tail.size())).bind(tail);
    while (query.step()) {
        out.push_back(query.key<LotId>().uuid());
    }
    return out;
}

std::optional<ChainLink> Book::chain_head() const { return book::chain_head(*connection_); }

std::optional<ChainLink> Book::chain_link(ChainKind kind, const Uuid& row) const
{
    Query query = connection_->query(
        "SELECT number, at, kind, row_id, record, previous, hash FROM lot_chain WHERE kind = ?1 "
        "AND "
        "row_id = ?2");
    query.bind(text(kind)).bind(row.text());
    return query.step() ? std::optional{read_link(query)} : std::nullopt;
}

}  // namespace nestround::book
