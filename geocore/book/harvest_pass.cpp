// All that visits brought in one pass: three readings of the same order, put together as they go.
#include "geocore/book/book.hpp"
#include "geocore/book/connection.hpp"
#include "geocore/book/one_moment.hpp"
#include "geocore/book/rows.hpp"

namespace nestround::book {

namespace {

/// Rows that belong to visits, read along with them. Both are in the order of the visits, so what
/// is of the present visit comes next or not at all.
template <class Record>
class Along {
public:
    Along(Connection& connection, std::string_view alias, std::string_view joined,
          std::string_view order)
        : query_{connection.query("SELECT v.id, " + std::string{alias} + ".id, " +
                                  qualified(alias, Row<Record>::kColumns) + " FROM visit AS v " +
                                  std::string{joined} + " ORDER BY v.begun_at, v.id, " +
                                  std::string{order})}
    {
        step();
    }

    /// What is of `visit`, which comes after all that were asked for before.
    void take(const VisitId& visit, std::vector<Record>& into)
    {
        into.clear();
        while (there_ && visit_ == visit) {
            into.push_back(Row<Record>::read(query_));
            step();
        }
    }

private:
    void step()
    {
        there_ = query_.step();
        if (there_) {
            visit_ = query_.key<VisitId>();
        }
    }

    Query query_;
    bool there_ = false;
    VisitId visit_;
};

}  // namespace

void Book::each_harvest(const std::function<void(const HarvestRow&)>& visit) const
{
    const OneMoment moment{*connection_};
    Along<CatchRecord> catches{*connection_, "k", "JOIN catch AS k ON k.visit_id = v.id",
                               "k.frozen_at, k.id"};
    Along<Collection> collections{*connection_, "o",
                                  "JOIN comb_piece AS b ON b.visit_id = v.id "
                                  "JOIN collection AS o ON o.comb_id = b.id",
                                  "b.id, o.collected_at, o.id"};
    static const std::string sql =
        "SELECT v.id, " + qualified("v", Row<Visit>::kColumns) + ", s.id IS NOT NULL, n.id, " +
        qualified("n", Row<Nest>::kColumns) +
        ", s.geom FROM visit AS v LEFT JOIN nest AS n ON n.id = v.nest_id "
        "LEFT JOIN site AS s ON s.id = n.site_id ORDER BY v.begun_at, v.id";
    Query query = connection_->query(sql);
    HarvestRow row;
    while (query.step()) {
        row.visit = Row<Visit>::read(query);
        const bool has_place = query.integer() != 0;
        catches.take(row.visit.id, row.catches);
        collections.take(row.visit.id, row.collections);
        if (!has_place) {
            continue;  // another program took its nest or site away: nothing to learn from
        }
        row.nest = Row<Nest>::read(query);
        row.place = query.place();
        visit(row);
    }
}

}  // namespace nestround::book
