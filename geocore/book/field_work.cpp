// Photos, steps of visits and deeds: rows and questions.
#include <fmt/format.h>

#include "geocore/book/book.hpp"
#include "geocore/book/connection.hpp"
#include "geocore/book/deeds.hpp"
#include "geocore/book/rows.hpp"

namespace nestround::book {

void Row<Photo>::bind(Query& query, const Photo& row)
{
    query.bind(row.call)
        .bind(row.nest)
        .bind(row.visit)
        .bind(row.taken)
        .bind(row.place ? std::optional{row.place->lon.value()} : std::nullopt)
        .bind(row.place ? std::optional{row.place->lat.value()} : std::nullopt)
        .bind(row.width)
        .bind(row.height)
        .bind(Words{row.who})
        .bind(Words{row.note})
        .bind(row.content_type);
}

Photo Row<Photo>::read(Query& query)
{
    Photo row;
    row.id = query.key<PhotoId>();
    row.call = query.maybe_key<CallId>();
    row.nest = query.maybe_key<NestId>();
    row.visit = query.maybe_key<VisitId>();
    row.taken = query.maybe_instant();
    const auto lon = query.maybe_real();
    const auto lat = query.maybe_real();
    if (lon && lat) {
        row.place = LonLat{Longitude{*lon}, Latitude{*lat}};
    }
    row.width = static_cast<int>(query.integer());
    row.height = static_cast<int>(query.integer());
    row.who = query.text();
    row.note = query.text();
    row.content_type = query.text();
    return row;
}

void Row<VisitStep>::bind(Query& query, const VisitStep& row)
{
    query.bind(row.call)
        .bind(row.visit)
        .bind(text(row.step))
        .bind(row.at)
        .bind(Words{row.who})
        .bind(Words{row.figures});
    if (row.made) {
        query.bind(row.made->text());
    } else {
        query.bind(nullptr);
    }
}

VisitStep Row<VisitStep>::read(Query& query)
{
    VisitStep row;
    row.id = query.key<StepId>();
    row.call = query.key<CallId>();
    row.visit = query.key<VisitId>();
    row.step = query.word(visit_step_kind);
    row.at = query.instant();
    row.who = query.text();
    row.figures = query.text();
    if (const auto made = query.maybe_key<StepId>()) {
        row.made = made->uuid();
    }
    return row;
}

std::optional<Photo> Book::photo(PhotoId id) const
{
    Query query = connection_->query(select_statement<Photo>("WHERE id = ?1"));
    query.bind(id);
    return query.step() ? std::optional{Row<Photo>::read(query)} : std::nullopt;
}

std::vector<std::uint8_t> Book::picture(PhotoId id) const
{
    Query query = connection_->query("SELECT data FROM photo WHERE id = ?1");
    query.bind(id);
    if (!query.step()) {
        throw Failure{ErrorCode::NotFound, "no such photo", path().string()};
    }
    const auto bytes = query.blob();
    return {bytes.begin(), bytes.end()};
}

std::vector<Photo> Book::photos() const
{
    std::vector<Photo> out;
    Query query = connection_->query(select_statement<Photo>("ORDER BY created_at, fid"));
    while (query.step()) {
        out.push_back(Row<Photo>::read(query));
    }
    return out;
}

std::vector<Photo> Book::photos_of(CallId call) const
{
    std::vector<Photo> out;
    Query query = connection_->query(select_statement<Photo>(
        "WHERE call_id = ?1 OR nest_id = (SELECT nest_id FROM call WHERE id = ?1) OR visit_id IN "
        "(SELECT id FROM visit WHERE call_id = ?1) ORDER BY created_at, fid"));
    query.bind(call);
    while (query.step()) {
        out.push_back(Row<Photo>::read(query));
    }
    return out;
}

std::optional<VisitStep> Book::visit_step(StepId id) const
{
    Query query = connection_->query(select_statement<VisitStep>("WHERE id = ?1"));
    query.bind(id);
    return query.step() ? std::optional{Row<VisitStep>::read(query)} : std::nullopt;
}

std::vector<VisitStep> Book::visit_steps(CallId call) const
{
    std::vector<VisitStep> out;
    Query query =
        connection_->query(select_statement<VisitStep>("WHERE call_id = ?1 ORDER BY at, fid"));
    query.bind(call);
    while (query.step()) {
        out.push_back(Row<VisitStep>::read(query));
    }
    return out;
}

std::optional<Deed> Book::last_deed(const std::string& who) const
{
    return last_deed_of(*connection_, who);
}

std::optional<CallStamp> Book::call_stamp(CallId call) const
{
    CallStamp stamp;
    {
        const auto sql = fmt::format(
            "SELECT max(c.changed_at, n.changed_at, s.changed_at, coalesce(k.changed_at, '')), "
            "{}, {}, {}, {} FROM call c JOIN nest n ON n.id = c.nest_id JOIN site s ON s.id = "
            "n.site_id LEFT JOIN client k ON k.id = c.client_id WHERE c.id = ?1",
            qualified("c", Row<Call>::kColumns), qualified("n", Row<Nest>::kColumns),
            qualified("s", Row<Site>::kColumns), qualified("k", Row<Client>::kColumns));
        Query query = connection_->query(sql);
        query.bind(call);
        if (!query.step()) {
            return std::nullopt;
        }
        query.append_typed_row(stamp.rows);
        stamp.changed = query.instant();
    }
    Query query = connection_->query(
        "SELECT d.who FROM deed_row r JOIN deed d ON d.id = r.deed_id WHERE d.state <> 'undone' "
        "AND "
        "r.row_id IN (SELECT c.id FROM call c WHERE c.id = ?1 UNION ALL SELECT c.nest_id FROM call "
        "c "
        "WHERE c.id = ?1 UNION ALL SELECT n.site_id FROM call c JOIN nest n ON n.id = c.nest_id "
        "WHERE c.id = ?1 UNION ALL SELECT c.client_id FROM call c WHERE c.id = ?1) ORDER BY d.fid "
        "DESC LIMIT 1");
    query.bind(call);
    if (query.step()) {
        stamp.by = query.text();
    }
    return stamp;
}

}  // namespace nestround::book
