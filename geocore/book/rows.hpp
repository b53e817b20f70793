/// \file rows.hpp
/// \brief Which column holds which field: each record's row, read and written. Private.
///
/// Purpose:  the one place where a record and its table meet; statements are made from the lists.
/// Units:    columns end in theirs; see schema/meaning.sql.
/// Range:    every record of geocore/records.
/// Accuracy: clock times are kept to the minute, instants to the second.
/// Errors:   reading a value that a CHECK would refuse gives RuleBroken.
/// Source:   own.
#pragma once

#include <string>
#include <string_view>

#include "geocore/book/book.hpp"
#include "geocore/book/connection.hpp"

namespace nestround::book {

/// For each record: its table, the columns besides id and the two instants, and in the same order
/// how they are bound and read.
template <class Record>
struct Row;

#define NESTROUND_ROW(Record, kTableName, kColumnList)                     \
    template <>                                                            \
    struct Row<Record> {                                                   \
        static constexpr std::string_view kTable = kTableName;             \
        static constexpr std::string_view kColumns = kColumnList;          \
        static void bind(Query& query, const Record& row);                 \
        static Record read(Query& query); /* id first, then the columns */ \
    }

NESTROUND_ROW(Site, "site", "geom, uncertainty_m, label, address, note");
NESTROUND_ROW(Client, "client", "name, phone, email, note");
NESTROUND_ROW(Nest, "nest",
              "site_id, season, taxon, kind, height_m, width_m, length_m, first_seen_on, entrance, "
              "insecticide, note, set_back_m, step_m, slope_degrees, structure, power_lines, "
              "power_line_m");
NESTROUND_ROW(
    Call, "call",
    "nest_id, client_id, received_on, state, closed_on, allowed_hours, not_before_on, "
    "not_after_on, ladder, near_door, allergic, must_take, source_key, note, second_after_min, "
    "second_min, second_due_at");
NESTROUND_ROW(Crew, "crew", "geom, name, shift_begins, shift_ends, people, active, note");
NESTROUND_ROW(Gear, "gear",
              "crew_id, kind, label, length_m, load_rating_g, mass_g, count, note, ladder_type");
NESTROUND_ROW(Visit, "visit",
              "nest_id, call_id, crew_id, begun_at, ended_at, method, outcome, note");
NESTROUND_ROW(CatchRecord, "catch", "visit_id, taxon, mass_g, count, frozen_at, container, note");
NESTROUND_ROW(
    CombPiece, "comb_piece",
    "visit_id, eggs, larvae, sealed_small, sealed_large, empty, habitat, note, counted, doubt, "
    "area_cm2, stands_from, stands_to, sealed_least_days, sealed_most_days, nurses");
NESTROUND_ROW(Collection, "collection",
              "comb_id, collected_at, workers, reproductives, mass_g, note");
NESTROUND_ROW(Habitat, "habitat",
              "name, place, trip_min, passing_min, combs, cells, set_point_c, active, note");
NESTROUND_ROW(Lot, "lot",
              "code, taxon, purpose, frozen_at, mass_g, count, container, sealed_at, note, "
              "method, sealed_by");
NESTROUND_ROW(LotMove, "lot_move", "lot_id, moved_at, who, freezer, shelf, box, note");
NESTROUND_ROW(Excursion, "excursion",
              "freezer, shelf, box, began_at, ended_at, limit_c, warmest_c, readings, who, note");
NESTROUND_ROW(LotParent, "lot_parent", "lot_id, catch_id, collection_id, mass_g");
NESTROUND_ROW(LotCorrection, "lot_correction",
              "lot_id, corrected_at, who, field, was, becomes, why");
NESTROUND_ROW(Order, "lab_order",
              "laboratory, taxon, purpose, wanted_g, placed_on, due_on, state, note, "
              "price_minor, promised_g");
NESTROUND_ROW(Shipment, "shipment",
              "order_id, shipped_on, carrier, tracking, note, ice_g, packed_by");
NESTROUND_ROW(Photo, "photo",
              "call_id, nest_id, visit_id, taken_at, lon_deg, lat_deg, width_px, height_px, who, "
              "note, content_type");
NESTROUND_ROW(VisitStep, "visit_step", "call_id, visit_id, step, at, who, figures, made_id");
NESTROUND_ROW(PartnerImport, "partner_import",
              "partner, file, sha256, layer, crs, read_on, rows_read, rows_refused");
NESTROUND_ROW(PartnerNest, "partner_nest",
              "geom, import_id, place_form, uncertainty_m, row_number, source_key, taxon, "
              "taxon_as_sent, date_as_sent, first_on, last_on, season, count, note, decision, "
              "nest_id, decided_by, decided_at");
NESTROUND_ROW(WeatherStation, "weather_station", "geom, code, name, height_m");

/// Columns at, temperature_c, humidity, wind_m_s, gust_m_s, thunder.
[[nodiscard]] WeatherHour read_hour(Query& query, StationId station);

#undef NESTROUND_ROW

/// "a.x, a.y" for "x, y".
[[nodiscard]] std::string qualified(std::string_view alias, std::string_view columns);
/// "INSERT INTO t (id, created_at, changed_at, ...) VALUES (?, ...)".
[[nodiscard]] std::string insert_statement(std::string_view table, std::string_view columns);
/// "UPDATE t SET changed_at = ?, ... WHERE id = ?"; the id comes last.
[[nodiscard]] std::string update_statement(std::string_view table, std::string_view columns);

/// "SELECT id, ... FROM t" and what follows.
template <class Record>
[[nodiscard]] std::string select_statement(std::string_view rest)
{
    std::string sql = "SELECT id, ";
    sql += Row<Record>::kColumns;
    sql += " FROM ";
    sql += Row<Record>::kTable;
    sql += ' ';
    sql += rest;
    return sql;
}

}  // namespace nestround::book
