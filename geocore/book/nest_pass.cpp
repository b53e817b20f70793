// All nests in one pass: each table is read once from end to end and put together here, which for
// many nests is several times quicker than asking for each.
#include <unordered_map>

#include "geocore/book/book.hpp"
#include "geocore/book/connection.hpp"
#include "geocore/book/one_moment.hpp"
#include "geocore/book/rows.hpp"

namespace nestround::book {

namespace {

/// Below one nest in so many they are asked for one by one. Measured on a million: a nest asked for
/// costs some 10 us, the tables of a million cost 3 s.
constexpr std::int64_t kFew = 5;

struct PlaceOf {
    LonLat place{};
    std::optional<Metres> uncertainty;
};

struct LatestCall {
    std::int64_t number = 0;
    Day received{};
    std::optional<Day> closed;
    CallState state{};
};

std::unordered_map<SiteId, PlaceOf> places(Connection& connection)
{
    std::unordered_map<SiteId, PlaceOf> out;
    Query query = connection.query("SELECT id, geom, uncertainty_m FROM site");
    while (query.step()) {
        const auto id = query.key<SiteId>();
        const auto place = query.place();
        out.emplace(id, PlaceOf{place, query.maybe<MetreTag>()});
    }
    return out;
}

std::unordered_map<NestId, LatestCall> latest_calls(Connection& connection)
{
    std::unordered_map<NestId, LatestCall> out;
    Query query = connection.query(
        "SELECT nest_id, fid, received_on, closed_on, state FROM call ORDER BY fid");
    while (query.step()) {
        const auto nest = query.key<NestId>();
        LatestCall call;
        call.number = query.integer();
        call.received = query.day();
        call.closed = query.maybe_day();
        call.state = query.word(call_state);
        auto& known = out[nest];
        if (known.number == 0 || known.received <= call.received) {
            known = call;
        }
    }
    return out;
}

/// Added in the order in which nest_row() adds, so that not a bit of a sum differs.
std::unordered_map<NestId, Grams> caught(Connection& connection)
{
    std::unordered_map<NestId, Grams> out;
    Query query = connection.query(
        "SELECT v.nest_id, k.mass_g FROM visit AS v CROSS JOIN catch AS k ON k.visit_id = v.id "
        "WHERE k.mass_g IS NOT NULL ORDER BY v.fid, k.fid");
    while (query.step()) {
        const auto nest = query.key<NestId>();
        auto& sum = out[nest];
        sum = sum + Grams{query.real()};
    }
    return out;
}

}  // namespace

void Book::each_nest(const NestFilter& filter,
                     const std::function<void(const NestRow&)>& visit) const
{
    const OneMoment moment{*connection_};
    const auto numbers = nest_numbers(filter);
    if (static_cast<std::int64_t>(numbers.size()) * kFew < nest_count()) {
        for (const auto number : numbers) {
            if (const auto row = nest_row(number)) {
                visit(*row);
            }
        }
        return;
    }
    const auto sites = places(*connection_);
    const auto calls = latest_calls(*connection_);
    const auto grams = caught(*connection_);
    static const std::string sql = "SELECT n.fid, n.id, " + qualified("n", Row<Nest>::kColumns) +
                                   " FROM nest AS n ORDER BY n.fid";
    Query query = connection_->query(sql);
    auto wanted = numbers.begin();
    NestRow row;
    while (wanted != numbers.end() && query.step()) {
        row.number = query.integer();
        if (row.number != *wanted) {
            continue;
        }
        ++wanted;
        row.nest = Row<Nest>::read(query);
        const auto site = sites.find(row.nest.site);
        if (site == sites.end()) {
            continue;  // as a join would
        }
        row.place = site->second.place;
        row.place_uncertainty = site->second.uncertainty;
        row.state.reset();
        row.received.reset();
        row.closed.reset();
        row.caught.reset();
        if (const auto call = calls.find(row.nest.id); call != calls.end()) {
            row.state = call->second.state;
            row.received = call->second.received;
            row.closed = call->second.closed;
        }
        if (const auto sum = grams.find(row.nest.id); sum != grams.end()) {
            row.caught = sum->second;
        }
        visit(row);
    }
}

}  // namespace nestround::book
