// What partners sent: rows and questions.
#include "geocore/book/book.hpp"
#include "geocore/book/connection.hpp"
#include "geocore/book/rows.hpp"

namespace nestround::book {

void Row<PartnerImport>::bind(Query& query, const PartnerImport& row)
{
    query.bind(row.partner)
        .bind(row.file)
        .bind(row.sha256)
        .bind(row.layer)
        .bind(row.crs)
        .bind(row.read_on)
        .bind(row.rows_read)
        .bind(row.rows_refused);
}

PartnerImport Row<PartnerImport>::read(Query& query)
{
    PartnerImport row;
    row.id = query.key<PartnerImportId>();
    row.partner = query.text();
    row.file = query.text();
    row.sha256 = query.text();
    row.layer = query.text();
    row.crs = query.text();
    row.read_on = query.day();
    row.rows_read = static_cast<int>(query.integer());
    row.rows_refused = static_cast<int>(query.integer());
    return row;
}

void Row<PartnerNest>::bind(Query& query, const PartnerNest& row)
{
    query.bind(row.place)
        .bind(row.import)
        .bind(text(row.form))
        .bind(row.uncertainty)
        .bind(row.row)
        .bind(Words{row.source_key})
        .bind(Words{row.taxon})
        .bind(Words{row.taxon_as_sent})
        .bind(Words{row.date_as_sent})
        .bind(row.first)
        .bind(row.last)
        .bind(row.season)
        .bind(row.count)
        .bind(Words{row.note})
        .bind(text(row.decision))
        .bind(row.nest)
        .bind(Words{row.decided_by})
        .bind(row.decided_at);
}

PartnerNest Row<PartnerNest>::read(Query& query)
{
    PartnerNest row;
    row.id = query.key<PartnerNestId>();
    row.place = query.place();
    row.import = query.key<PartnerImportId>();
    row.form = query.word(place_form);
    row.uncertainty = query.maybe<MetreTag>();
    row.row = static_cast<int>(query.integer());
    row.source_key = query.text();
    row.taxon = query.text();
    row.taxon_as_sent = query.text();
    row.date_as_sent = query.text();
    row.first = query.maybe_day();
    row.last = query.maybe_day();
    row.season = query.maybe_integer();
    row.count = query.maybe_integer();
    row.note = query.text();
    row.decision = query.word(partner_decision);
    row.nest = query.maybe_key<NestId>();
    row.decided_by = query.text();
    row.decided_at = query.maybe_instant();
    return row;
}

std::optional<PartnerImport> Book::partner_import(PartnerImportId id) const
{
    Query query = connection_->query(select_statement<PartnerImport>("WHERE id = ?1"));
    query.bind(id);
    return query.step() ? std::optional{Row<PartnerImport>::read(query)} : std::nullopt;
}

std::vector<PartnerImport> Book::partner_imports() const
{
    std::vector<PartnerImport> out;
    Query query =
        connection_->query(select_statement<PartnerImport>("ORDER BY partner, read_on, fid"));
    while (query.step()) {
        out.push_back(Row<PartnerImport>::read(query));
    }
    return out;
}

std::optional<PartnerNest> Book::partner_nest(PartnerNestId id) const
{
    Query query = connection_->query(select_statement<PartnerNest>("WHERE id = ?1"));
    query.bind(id);
    return query.step() ? std::optional{Row<PartnerNest>::read(query)} : std::nullopt;
}

std::vector<PartnerNest> Book::partner_nests(std::string_view partner) const
{
    std::vector<PartnerNest> out;
    Query query = connection_->query(select_statement<PartnerNest>(
        "WHERE ?1 = '' OR import_id IN (SELECT id FROM partner_import WHERE partner = ?1) "
        "ORDER BY (SELECT partner FROM partner_import i WHERE i.id = import_id), row_number, id"));
    query.bind(partner);
    while (query.step()) {
        out.push_back(Row<PartnerNest>::read(query));
    }
    return out;
}

}  // namespace nestround::book
