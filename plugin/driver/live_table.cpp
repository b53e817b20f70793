#include "plugin/driver/live_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "geocore/nature/season.hpp"

namespace nestround::driver {
namespace {

template <class Unit>
Cell maybe(const std::optional<Quantity<Unit>>& value)
{
    return value && std::isfinite(value->value()) ? Cell{value->value()} : Cell{};
}
Cell maybe(const std::optional<Day>& day) { return day ? Cell{*day} : Cell{}; }
Cell words(std::string text) { return text.empty() ? Cell{} : Cell{std::move(text)}; }
Cell real(double value) { return std::isfinite(value) ? Cell{value} : Cell{}; }
Cell whole(double value)
{
    return std::isfinite(value) ? Cell{static_cast<std::int64_t>(std::llround(value))} : Cell{};
}

/// One shape a genus, as on the printed maps; ink by what is urgent.
std::string point_style(const std::string& taxon, const char* ink)
{
    int symbol = 3;  // a disc
    if (!taxon.empty()) {
        if (taxon.front() == 'D') {
            symbol = 7;  // a triangle
        } else if (taxon.front() == 'P') {
            symbol = 9;  // a star
        }
    }
    return fmt::format("SYMBOL(c:#{},o:#24282B,id:\"ogr-sym-{}\",s:11pt)", ink, symbol);
}

std::vector<Column> call_columns()
{
    using enum ColumnType;
    return {{"rank", Whole, "place in the list, best first", ""},
            {"call_key", Text, "key of the call", ""},
            {"label", Text, "how the crew names the place", ""},
            {"score", Real, "score, points", ""},
            {"taxon", Text, "species by its code", "taxon"},
            {"taxon_name", Text, "species", ""},
            {"stage", Text, "stage of the colony", ""},
            {"kind", Text, "where the nest sits", "nest_kind"},
            {"height_m", Real, "height above where one stands, metres", ""},
            {"received_on", Date, "day the call came", ""},
            {"not_after_on", Date, "last day the client allows", ""},
            {"near_door", Flag, "near a door or window in use", ""},
            {"allergic", Flag, "someone allergic to stings lives or works there", ""},
            {"must_take", Flag, "promised", ""},
            {"workers_p10", Whole, "workers alive, 10 %", ""},
            {"workers_p50", Whole, "workers alive, median", ""},
            {"workers_p90", Whole, "workers alive, 90 %", ""},
            {"grams_p10", Real, "frozen workers if taken, 10 %, grams", ""},
            {"grams_p50", Real, "frozen workers if taken, median, grams", ""},
            {"grams_p90", Real, "frozen workers if taken, 90 %, grams", ""},
            {"grams_in_7_days", Real, "the same a week later, median, grams", ""},
            {"sealed_p50", Whole, "sealed worker cells, median", ""},
            {"venom", Flag, "no insecticide: fit for laboratories", ""},
            {"why", Text, "reasons of the score, weightiest first", ""}};
}

std::vector<Row> waiting_rows(app::LiveView& view)
{
    std::vector<Row> rows;
    std::int64_t place = 0;
    for (const auto& call : view.ranked().calls) {
        const auto& sheet = call.sheet;
        const auto& outlook = call.outlook;
        const bool urgent = sheet.call.allergic || sheet.call.near_door || sheet.call.must_take;
        rows.push_back({{{sheet.site.place}},
                        {Cell{++place},
                         Cell{book::short_key(sheet.call.id.uuid())},
                         words(sheet.site.label),
                         real(call.score),
                         words(outlook.taxon),
                         words(outlook.taxon_name),
                         words(outlook.stage),
                         Cell{std::string{text(sheet.nest.kind)}},
                         maybe(sheet.nest.height),
                         Cell{sheet.call.received},
                         maybe(sheet.call.not_after),
                         Cell{sheet.call.near_door},
                         Cell{sheet.call.allergic},
                         Cell{sheet.call.must_take},
                         whole(outlook.workers.low),
                         whole(outlook.workers.middle),
                         whole(outlook.workers.high),
                         real(outlook.grams.low.value()),
                         real(outlook.grams.middle.value()),
                         real(outlook.grams.high.value()),
                         real(outlook.in_7_days.value()),
                         whole(outlook.sealed_workers.middle),
                         Cell{outlook.venom},
                         Cell{fmt::format("{}", fmt::join(call.reasons, "; "))}},
                        point_style(outlook.taxon, urgent ? "B5413A" : "C9A227")});
    }
    return rows;
}

std::vector<Column> stop_columns()
{
    using enum ColumnType;
    return {{"crew", Text, "crew", ""},
            {"stop", Whole, "number of the stop in its tour", ""},
            {"call_key", Text, "key of the call", ""},
            {"label", Text, "how the crew names the place", ""},
            {"day", Date, "day", ""},
            {"arrive", Clock, "arrival, local time", ""},
            {"begin", Clock, "work begins, local time", ""},
            {"leave", Clock, "departure, local time", ""},
            {"drive_s", Whole, "drive that leads here, seconds", ""},
            {"taxon", Text, "species by its code", "taxon"},
            {"stage", Text, "stage of the colony", ""},
            {"method", Text, "how the nest is reached", ""},
            {"grams_p50", Real, "frozen workers, median, grams", ""}};
}

std::vector<Row> stop_rows(app::LiveView& view)
{
    std::vector<Row> rows;
    const auto& plan = view.plan();
    for (const auto& crew : plan.crews) {
        std::int64_t number = 0;
        for (const auto& stop : crew.stops) {
            const auto& sheet = stop.call.sheet;
            rows.push_back({{{sheet.site.place}},
                            {words(crew.crew.name), Cell{++number},
                             Cell{book::short_key(sheet.call.id.uuid())}, words(sheet.site.label),
                             Cell{plan.day}, Cell{stop.arrive}, Cell{stop.begin}, Cell{stop.leave},
                             Cell{static_cast<std::int64_t>(stop.drive.count())},
                             words(stop.call.outlook.taxon), words(stop.call.outlook.stage),
                             Cell{std::string{text(stop.access.method)}},
                             real(stop.call.outlook.grams.middle.value())},
                            point_style(stop.call.outlook.taxon, "1F6F6B")});
        }
    }
    return rows;
}

std::vector<Column> tour_columns()
{
    using enum ColumnType;
    return {{"crew", Text, "crew", ""},
            {"day", Date, "day", ""},
            {"depart", Clock, "departure from the depot, local time", ""},
            {"home", Clock, "back at the depot, local time", ""},
            {"stops", Whole, "stops", ""},
            {"driving_s", Whole, "driving of the whole day, seconds", ""},
            {"driven_km", Real, "way of the whole day, kilometres", ""},
            {"grams_p10", Real, "frozen workers, 10 %, grams", ""},
            {"grams_p50", Real, "frozen workers, median, grams", ""},
            {"grams_p90", Real, "frozen workers, 90 %, grams", ""},
            {"roads_from", Text, "source of the roads", ""}};
}

std::vector<Row> tour_rows(app::LiveView& view)
{
    constexpr const char* inks[]{"1F6F6B", "A3273A", "1F5F8B", "B86A00"};
    std::vector<Row> rows;
    const auto& plan = view.plan();
    for (std::size_t i = 0; i < plan.crews.size(); ++i) {
        const auto& crew = plan.crews[i];
        Row row;
        for (const auto& stop : crew.stops) {
            if (stop.drive_line.size() > 1) {
                row.shape.push_back(stop.drive_line);
            }
        }
        if (crew.drive_home_line.size() > 1) {
            row.shape.push_back(crew.drive_home_line);
        }
        row.cells = {words(crew.crew.name),
                     Cell{plan.day},
                     Cell{crew.depart},
                     Cell{crew.home},
                     Cell{static_cast<std::int64_t>(crew.stops.size())},
                     Cell{static_cast<std::int64_t>(crew.driving.count())},
                     real(crew.driven.value() / 1000),
                     real(crew.grams.low.value()),
                     real(crew.grams.middle.value()),
                     real(crew.grams.high.value()),
                     words(plan.road_attribution)};
        row.style = fmt::format("PEN(c:#{},w:3px)", inks[i % std::size(inks)]);
        rows.push_back(std::move(row));
    }
    return rows;
}

std::vector<Column> density_columns()
{
    using enum ColumnType;
    return {{"cell", Text, "name of the cell: two whole numbers from the map's middle", ""},
            {"species", Text, "which nests are counted", ""},
            {"first_season", Whole, "first season", ""},
            {"last_season", Whole, "last season", ""},
            {"nests", Whole, "nests of these species that became known", ""},
            {"known", Whole, "nests of all kinds that became known: how much was searched", ""},
            {"searched_km2", Real, "land of the cell that was searched, square kilometres", ""},
            {"per_km2", Real, "nests a square kilometre and season", ""},
            {"per_km2_low", Real, "the same, lower 80 % bound", ""},
            {"per_km2_high", Real, "the same, upper 80 % bound", ""}};
}

std::vector<Row> density_rows(app::LiveView& view)
{
    std::vector<Row> rows;
    const auto& map = view.density();
    double most = 0;
    for (const auto& cell : map.cells) {
        most = std::max(most, cell.per_km2.middle);
    }
    constexpr const char* inks[]{"F6DFAE", "E9B872", "CB8546", "97502C", "552414"};
    for (const auto& cell : map.cells) {
        std::vector<LonLat> ring;
        for (const auto& corner : map.hexagons.corners(cell.key)) {
            ring.push_back(map.plane.earth(corner));
        }
        ring.push_back(ring.front());
        const bool searched = cell.searched_m2 > 0;
        const auto step = most > 0 ? static_cast<std::size_t>(4.999 * cell.per_km2.middle / most)
                                   : std::size_t{0};
        rows.push_back(
            {{std::move(ring)},
             {Cell{fmt::format("{},{}", cell.key.q, cell.key.r)}, words(map.what),
              Cell{std::int64_t{map.first_season}}, Cell{std::int64_t{map.last_season}},
              Cell{std::int64_t{cell.nests}}, Cell{std::int64_t{cell.known}},
              real(cell.searched_m2 / 1e6), searched ? real(cell.per_km2.middle) : Cell{},
              searched ? real(cell.per_km2.low) : Cell{},
              searched ? real(cell.per_km2.high) : Cell{}},
             cell.nests > 0 ? fmt::format("BRUSH(fc:#{}D0);PEN(c:#6B5A4A,w:1px)",
                                          inks[std::min<std::size_t>(step, 4)])
                            : std::string{"PEN(c:#B9B4AA,w:1px)"}});
    }
    return rows;
}

std::vector<Column> freezer_columns()
{
    using enum ColumnType;
    return {
        {"taxon", Text, "species by its code", "taxon"},
        {"sealed_lots", Whole, "sealed lots", ""},
        {"open_lots", Whole, "lots not yet sealed", ""},
        {"shipped_lots", Whole, "sealed lots that have left", ""},
        {"grams_here", Real, "sealed and not shipped, grams", ""},
        {"comb_pieces", Whole, "pieces of comb brought home", ""},
        {"sealed_cells", Whole, "sealed cells counted in them", ""},
        {"collected", Whole, "workers collected from them so far", ""},
        {"combs_standing", Whole, "combs from which wasps still emerge", ""},
        {"adults_waiting", Real, "expected to be out and not yet collected", ""},
        {"workers_left", Real, "workers out since the last collection or yet to come, median", ""},
        {"workers_left_low", Real, "the same, 10 % bound", ""},
        {"workers_left_high", Real, "the same, 90 % bound", ""},
        {"queens_and_males_left", Real, "the same of queens and males, median", ""},
        {"workers_in_7_days", Real, "workers of the next seven days, expected", ""},
        {"last_out_on", Date, "by then nearly all is out, nine times in ten", ""}};
}

/// A summary a species, at the depot; where bags lie is nobody's business on a map.
std::vector<Row> freezer_rows(app::LiveView& view)
{
    struct Sum {
        std::int64_t sealed = 0, open = 0, shipped = 0, pieces = 0, cells = 0, collected = 0;
        double grams = 0;
        std::int64_t standing = 0;
        Spread<double> workers;
        double waiting = 0, reproductives = 0, soon = 0;
        int last_day = 0;
    };
    std::map<std::string, Sum> sums;
    const auto& book = view.book();
    std::map<LotId, bool> left;
    for (const auto& shipment : book.shipments()) {
        for (const auto& lot : shipment.lots) {
            left[lot] = true;
        }
    }
    for (const auto& lot : book.lots()) {
        auto& sum = sums[lot.taxon];
        if (!lot.sealed_at) {
            ++sum.open;
            continue;
        }
        ++sum.sealed;
        if (left.contains(lot.id)) {
            ++sum.shipped;
        } else if (lot.mass) {
            sum.grams += lot.mass->value();
        }
    }
    for (const auto& piece : book.all_comb()) {
        const auto visit = book.visit(piece.visit);
        const auto nest = visit ? book.nest(visit->nest) : std::nullopt;
        auto& sum = sums[nest ? nest->taxon : std::string{}];
        ++sum.pieces;
        sum.cells += piece.sealed_small.value_or(0) + piece.sealed_large.value_or(0);
        for (const auto& collection : book.collections(piece.id)) {
            sum.collected += collection.workers.value_or(0);
        }
    }
    const auto& brood = view.brood();
    for (std::size_t h = 0; h < brood.plan.habitats.size(); ++h) {
        const auto& outlooks = brood.plan.habitats[h].combs;
        for (std::size_t c = 0; c < outlooks.size(); ++c) {
            const auto& emergence = outlooks[c].emergence;
            const auto& comb = brood.input.habitats[h].combs[c];
            auto& sum = sums[comb.taxon];
            ++sum.standing;
            // Combs are taken to be early or late together: bounds are sums, as in the brood plan.
            sum.workers.low += emergence.workers_left.low;
            sum.workers.middle += emergence.workers_left.middle;
            sum.workers.high += emergence.workers_left.high;
            sum.waiting += outlooks[c].waiting;
            sum.reproductives += emergence.reproductives_left.middle;
            sum.last_day = std::max(sum.last_day, outlooks[c].last_day);
            constexpr int kSoon = 7;
            const auto& days = emergence.days;
            for (int day = 0; day < kSoon; ++day) {
                const auto at = static_cast<std::size_t>(day - comb.first_day);
                sum.soon += at < days.size() ? days[at].mean_workers : 0;
            }
        }
    }
    std::vector<Row> rows;
    const auto depot = view.depot();
    for (const auto& [taxon, sum] : sums) {
        Row row;
        if (depot) {
            row.shape = {{*depot}};
        }
        row.cells = {words(taxon),      Cell{sum.sealed},    Cell{sum.open},
                     Cell{sum.shipped}, real(sum.grams),     Cell{sum.pieces},
                     Cell{sum.cells},   Cell{sum.collected}, Cell{sum.standing}};
        const bool any = sum.standing > 0;
        for (const double figure : {sum.waiting, sum.workers.middle, sum.workers.low,
                                    sum.workers.high, sum.reproductives, sum.soon}) {
            row.cells.push_back(any ? real(figure) : Cell{});
        }
        row.cells.push_back(any ? Cell{view.on() + std::chrono::days{sum.last_day}} : Cell{});
        row.style = "SYMBOL(c:#1F5F8B,o:#24282B,id:\"ogr-sym-5\",s:12pt)";
        rows.push_back(std::move(row));
    }
    return rows;
}

}  // namespace

std::vector<Table> live_tables(const app::LiveView& view)
{
    std::vector<Table> tables;
    tables.push_back({"waiting_calls", "Waiting calls, best first", ShapeKind::Point,
                      call_columns(), waiting_rows});
    if (view.has_roads()) {
        tables.push_back(
            {"stops", "Stops of the day", ShapeKind::Point, stop_columns(), stop_rows});
        tables.push_back({"tours", "Tours of the day", ShapeKind::Line, tour_columns(), tour_rows});
    }
    tables.push_back({"nest_density", "Nests a square kilometre and season, on cells",
                      ShapeKind::Polygon, density_columns(), density_rows});
    tables.push_back({"at_the_depot", "Lots and living comb by species", ShapeKind::Point,
                      freezer_columns(), freezer_rows});
    return tables;
}

std::vector<Column> nest_columns()
{
    using enum ColumnType;
    return {{"nest_id", Text, "key of the nest", ""},
            {"season", Whole, "year in which the colony peaks", ""},
            {"taxon", Text, "species by its code", "taxon"},
            {"kind", Text, "where the nest sits", "nest_kind"},
            {"height_m", Real, "height above where one stands, metres", ""},
            {"width_m", Real, "width, metres", ""},
            {"first_seen_on", Date, "first seen", ""},
            {"insecticide", Flag, "poison was used", ""},
            {"state", Text, "what became of its latest call", "call_state"},
            {"received_on", Date, "day that call came", ""},
            {"closed_on", Date, "day it was closed", ""},
            {"caught_g", Real, "frozen workers over all visits, grams", ""},
            {"place_uncertainty_m", Real, "radius within which it lies, metres", ""}};
}

Row nest_row(const book::NestRow& row)
{
    const bool waits = row.state == CallState::Waiting;
    return {{{row.place}},
            {Cell{row.nest.id.text()}, Cell{std::int64_t{row.nest.season}}, words(row.nest.taxon),
             Cell{std::string{text(row.nest.kind)}}, maybe(row.nest.height), maybe(row.nest.width),
             maybe(row.nest.first_seen), Cell{row.nest.insecticide},
             row.state ? Cell{std::string{text(*row.state)}} : Cell{}, maybe(row.received),
             maybe(row.closed), maybe(row.caught), maybe(row.place_uncertainty)},
            point_style(row.nest.taxon, waits ? "C9A227" : "8D8779")};
}

std::vector<Domain> domains(app::LiveView& view)
{
    return {{"taxon", "Species by their codes", view.taxon_names()},
            {"nest_kind",
             "Where a nest sits",
             {{"unknown", "not known"},
              {"aerial", "hung free on a structure or plant"},
              {"ground", "in the ground"},
              {"void", "in a closed hollow: wall, roof, tree"}}},
            {"call_state",
             "What became of a call",
             {{"waiting", "still to be taken"},
              {"taken", "the nest was taken"},
              {"given_up", "will not be taken"}}}};
}

}  // namespace nestround::driver
