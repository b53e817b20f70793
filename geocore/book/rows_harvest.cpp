// The rows of what was taken and what became of it.
#include "geocore/book/rows.hpp"

namespace nestround::book {

void Row<Visit>::bind(Query& query, const Visit& row)
{
    query.bind(row.nest)
        .bind(row.call)
        .bind(row.crew)
        .bind(row.begun)
        .bind(row.ended)
        .bind(text(row.method))
        .bind(Words{row.outcome})
        .bind(Words{row.note});
}

Visit Row<Visit>::read(Query& query)
{
    Visit row;
    row.id = query.key<VisitId>();
    row.nest = query.key<NestId>();
    row.call = query.maybe_key<CallId>();
    row.crew = query.maybe_key<CrewId>();
    row.begun = query.instant();
    row.ended = query.maybe_instant();
    row.method = query.word(work_method);
    row.outcome = query.text();
    row.note = query.text();
    return row;
}

void Row<CatchRecord>::bind(Query& query, const CatchRecord& row)
{
    query.bind(row.visit)
        .bind(Words{row.taxon})
        .bind(row.mass)
        .bind(row.count)
        .bind(row.frozen_at)
        .bind(Words{row.container})
        .bind(Words{row.note});
}

CatchRecord Row<CatchRecord>::read(Query& query)
{
    CatchRecord row;
    row.id = query.key<CatchId>();
    row.visit = query.key<VisitId>();
    row.taxon = query.text();
    row.mass = query.maybe<GramTag>();
    row.count = query.maybe_integer();
    row.frozen_at = query.instant();
    row.container = query.text();
    row.note = query.text();
    return row;
}

void Row<CombPiece>::bind(Query& query, const CombPiece& row)
{
    query.bind(row.visit)
        .bind(row.eggs)
        .bind(row.larvae)
        .bind(row.sealed_small)
        .bind(row.sealed_large)
        .bind(row.empty)
        .bind(Words{row.habitat})
        .bind(Words{row.note})
        .bind(text(row.counted))
        .bind(row.doubt)
        .bind(row.area_cm2)
        .bind(row.stands_from)
        .bind(row.stands_to)
        .bind(row.sealed_least_days)
        .bind(row.sealed_most_days)
        .bind(row.nurses);
}

CombPiece Row<CombPiece>::read(Query& query)
{
    CombPiece row;
    row.id = query.key<CombId>();
    row.visit = query.key<VisitId>();
    row.eggs = query.maybe_integer();
    row.larvae = query.maybe_integer();
    row.sealed_small = query.maybe_integer();
    row.sealed_large = query.maybe_integer();
    row.empty = query.maybe_integer();
    row.habitat = query.text();
    row.note = query.text();
    row.counted = query.word(cell_count);
    row.doubt = query.real();
    row.area_cm2 = query.maybe_real();
    row.stands_from = query.maybe_instant();
    row.stands_to = query.maybe_instant();
    row.sealed_least_days = query.maybe_real();
    row.sealed_most_days = query.maybe_real();
    if (const auto nurses = query.maybe_integer()) {
        row.nurses = *nurses != 0;
    }
    return row;
}

void Row<Habitat>::bind(Query& query, const Habitat& row)
{
    query.bind(row.name)
        .bind(row.place)
        .bind(row.trip_min)
        .bind(row.passing_min)
        .bind(row.combs)
        .bind(row.cells)
        .bind(row.set_point)
        .bind(row.active)
        .bind(Words{row.note});
}

Habitat Row<Habitat>::read(Query& query)
{
    Habitat row;
    row.id = query.key<HabitatId>();
    row.name = query.text();
    row.place = query.text();
    row.trip_min = query.real();
    row.passing_min = query.maybe_real();
    row.combs = query.maybe_integer();
    row.cells = query.maybe_integer();
    if (const auto celsius = query.maybe_real()) {
        row.set_point = Celsius{*celsius};
    }
    row.active = query.flag();
    row.note = query.text();
    return row;
}

void Row<Collection>::bind(Query& query, const Collection& row)
{
    query.bind(row.comb)
        .bind(row.collected_at)
        .bind(row.workers)
        .bind(row.reproductives)
        .bind(row.mass)
        .bind(Words{row.note});
}

Collection Row<Collection>::read(Query& query)
{
    Collection row;
    row.id = query.key<CollectionId>();
    row.comb = query.key<CombId>();
    row.collected_at = query.instant();
    row.workers = query.maybe_integer();
    row.reproductives = query.maybe_integer();
    row.mass = query.maybe<GramTag>();
    row.note = query.text();
    return row;
}

void Row<Lot>::bind(Query& query, const Lot& row)
{
    query.bind(row.code)
        .bind(row.taxon)
        .bind(text(row.purpose))
        .bind(row.frozen_at)
        .bind(row.mass)
        .bind(row.count)
        .bind(Words{row.container})
        .bind(row.sealed_at)
        .bind(Words{row.note})
        .bind(text(row.method))
        .bind(Words{row.sealed_by});
}

Lot Row<Lot>::read(Query& query)
{
    Lot row;
    row.id = query.key<LotId>();
    row.code = query.text();
    row.taxon = query.text();
    row.purpose = query.word(lot_purpose);
    row.frozen_at = query.instant();
    row.mass = query.maybe<GramTag>();
    row.count = query.maybe_integer();
    row.container = query.text();
    row.sealed_at = query.maybe_instant();
    row.note = query.text();
    row.method = query.word(freezing_method);
    row.sealed_by = query.text();
    return row;
}

void Row<LotMove>::bind(Query& query, const LotMove& row)
{
    query.bind(row.lot)
        .bind(row.at)
        .bind(row.who)
        .bind(row.place.freezer)
        .bind(Words{row.place.shelf})
        .bind(Words{row.place.box})
        .bind(Words{row.note});
}

LotMove Row<LotMove>::read(Query& query)
{
    LotMove row;
    row.id = query.key<LotMoveId>();
    row.lot = query.key<LotId>();
    row.at = query.instant();
    row.who = query.text();
    row.place.freezer = query.text();
    row.place.shelf = query.text();
    row.place.box = query.text();
    row.note = query.text();
    return row;
}

void Row<Excursion>::bind(Query& query, const Excursion& row)
{
    query.bind(row.place.freezer)
        .bind(Words{row.place.shelf})
        .bind(Words{row.place.box})
        .bind(row.began)
        .bind(row.ended)
        .bind(row.limit)
        .bind(row.warmest)
        .bind(row.readings)
        .bind(row.who)
        .bind(Words{row.note});
}

Excursion Row<Excursion>::read(Query& query)
{
    Excursion row;
    row.id = query.key<ExcursionId>();
    row.place.freezer = query.text();
    row.place.shelf = query.text();
    row.place.box = query.text();
    row.began = query.instant();
    row.ended = query.instant();
    row.limit = Celsius{query.real()};
    row.warmest = Celsius{query.real()};
    row.readings = static_cast<int>(query.integer());
    row.who = query.text();
    row.note = query.text();
    return row;
}

void Row<LotParent>::bind(Query& query, const LotParent& row)
{
    query.bind(row.lot).bind(row.catch_id).bind(row.collection).bind(row.mass);
}

LotParent Row<LotParent>::read(Query& query)
{
    LotParent row;
    row.id = query.key<LotParentId>();
    row.lot = query.key<LotId>();
    row.catch_id = query.maybe_key<CatchId>();
    row.collection = query.maybe_key<CollectionId>();
    row.mass = query.maybe<GramTag>();
    return row;
}

void Row<LotCorrection>::bind(Query& query, const LotCorrection& row)
{
    query.bind(row.lot)
        .bind(row.at)
        .bind(row.who)
        .bind(row.field)
        .bind(Words{row.was})
        .bind(Words{row.becomes})
        .bind(row.why);
}

LotCorrection Row<LotCorrection>::read(Query& query)
{
    LotCorrection row;
    row.id = query.key<LotCorrectionId>();
    row.lot = query.key<LotId>();
    row.at = query.instant();
    row.who = query.text();
    row.field = query.text();
    row.was = query.text();
    row.becomes = query.text();
    row.why = query.text();
    return row;
}

void Row<Order>::bind(Query& query, const Order& row)
{
    query.bind(row.laboratory)
        .bind(row.taxon)
        .bind(text(row.purpose))
        .bind(row.wanted)
        .bind(row.placed)
        .bind(row.due)
        .bind(text(row.state))
        .bind(Words{row.note})
        .bind(row.price_minor)
        .bind(row.promised);
}

Order Row<Order>::read(Query& query)
{
    Order row;
    row.id = query.key<OrderId>();
    row.laboratory = query.text();
    row.taxon = query.text();
    row.purpose = query.word(lot_purpose);
    row.wanted = Grams{query.real()};
    row.placed = query.day();
    row.due = query.maybe_day();
    row.state = query.word(order_state);
    row.note = query.text();
    row.price_minor = query.maybe_whole();
    row.promised = query.maybe<GramTag>();
    return row;
}

void Row<Shipment>::bind(Query& query, const Shipment& row)
{
    query.bind(row.order)
        .bind(row.shipped)
        .bind(Words{row.carrier})
        .bind(Words{row.tracking})
        .bind(Words{row.note})
        .bind(row.ice)
        .bind(Words{row.packed_by});
}

Shipment Row<Shipment>::read(Query& query)
{
    Shipment row;
    row.id = query.key<ShipmentId>();
    row.order = query.maybe_key<OrderId>();
    row.shipped = query.day();
    row.carrier = query.text();
    row.tracking = query.text();
    row.note = query.text();
    row.ice = query.maybe<GramTag>();
    row.packed_by = query.text();
    return row;
}

}  // namespace nestround::book
