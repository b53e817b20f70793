#include "geocore/book/check_rules.hpp"

#include <array>

namespace nestround::book {

namespace {

constexpr std::array<RowRule, 17> kRules{{
    {"lot_parent", "a lot has one species, and this catch or collection is of another",
     R"(SELECT p.fid FROM lot_parent p JOIN lot l ON l.id = p.lot_id
          JOIN lot_ancestry a ON a.parent_id = p.id
         WHERE a.taxon IS NOT l.taxon AND NOT EXISTS
               (SELECT 1 FROM lot_correction k WHERE k.lot_id = l.id AND k.field = 'withdrawn'))"},
    {"lot_parent", "a lot for venom holds something from a nest that had insecticide",
     R"(SELECT p.fid FROM lot_parent p JOIN lot l ON l.id = p.lot_id
          JOIN lot_ancestry a ON a.parent_id = p.id
         WHERE l.purpose = 'venom' AND a.insecticide <> 0 AND NOT EXISTS
               (SELECT 1 FROM lot_correction k WHERE k.lot_id = l.id AND k.field = 'withdrawn'))"},
    {"lot_parent", "from this parent no way leads back to a nest",
     "SELECT fid FROM lot_parent WHERE id NOT IN (SELECT parent_id FROM lot_ancestry)"},
    {"lot", "a sealed lot holds nothing",
     R"(SELECT fid FROM lot WHERE sealed_at IS NOT NULL
           AND id NOT IN (SELECT lot_id FROM lot_parent))"},
    {"lot", "a lot was sealed before something in it was frozen or collected",
     R"(SELECT fid FROM lot l WHERE EXISTS
               (SELECT 1 FROM lot_parent p LEFT JOIN catch c ON c.id = p.catch_id
                  LEFT JOIN collection o ON o.id = p.collection_id
                 WHERE p.lot_id = l.id AND coalesce(c.frozen_at, o.collected_at) > l.sealed_at))"},
    {"lot_correction", "a correction of a lot that is not sealed",
     R"(SELECT fid FROM lot_correction
         WHERE lot_id IN (SELECT id FROM lot WHERE sealed_at IS NULL))"},
    {"lot_correction", "a correction from before its lot was sealed",
     R"(SELECT k.fid FROM lot_correction k JOIN lot l ON l.id = k.lot_id
         WHERE k.corrected_at < l.sealed_at)"},
    {"shipment_lot", "a lot that is not sealed was shipped",
     "SELECT fid FROM shipment_lot WHERE lot_id IN (SELECT id FROM lot WHERE sealed_at IS NULL)"},
    {"shipment_lot", "a lot was shipped before it was sealed",
     R"(SELECT x.fid FROM shipment_lot x JOIN shipment s ON s.id = x.shipment_id
          JOIN lot l ON l.id = x.lot_id
         WHERE date(l.sealed_at) > date(s.shipped_on, '+1 day'))"},
    {"shipment_lot", "a lot was shipped after it had been withdrawn",
     R"(SELECT x.fid FROM shipment_lot x JOIN shipment s ON s.id = x.shipment_id
          JOIN lot_correction k ON k.lot_id = x.lot_id AND k.field = 'withdrawn'
         WHERE date(k.corrected_at) < date(s.shipped_on, '-1 day'))"},
    {"shipment_lot", "a lot is not what the order of its shipment asks for",
     R"(SELECT x.fid FROM shipment_lot x JOIN shipment s ON s.id = x.shipment_id
          JOIN lab_order r ON r.id = s.order_id JOIN lot l ON l.id = x.lot_id
         WHERE l.taxon <> r.taxon OR (r.purpose = 'venom' AND l.purpose <> 'venom'))"},
    {"shipment", "a shipment left before its order was placed",
     R"(SELECT s.fid FROM shipment s JOIN lab_order r ON r.id = s.order_id
         WHERE s.shipped_on < r.placed_on)"},
    {"visit", "a visit answers a call about another nest",
     R"(SELECT v.fid FROM visit v JOIN call c ON c.id = v.call_id
         WHERE c.nest_id <> v.nest_id)"},
    {"visit", "a visit is earlier than the call it answers",
     R"(SELECT v.fid FROM visit v JOIN call c ON c.id = v.call_id
         WHERE date(v.begun_at) < date(c.received_on, '-1 day'))"},
    {"catch", "a catch was frozen before its visit began",
     R"(SELECT c.fid FROM catch c JOIN visit v ON v.id = c.visit_id
         WHERE c.frozen_at < v.begun_at)"},
    {"collection", "a collection is earlier than the visit that brought its comb",
     R"(SELECT o.fid FROM collection o JOIN comb_piece b ON b.id = o.comb_id
          JOIN visit v ON v.id = b.visit_id WHERE o.collected_at < v.begun_at)"},
    {"nest", "a nest was first seen neither in its season nor in the year before",
     R"(SELECT fid FROM nest WHERE first_seen_on IS NOT NULL
           AND CAST(strftime('%Y', first_seen_on) AS INTEGER) NOT BETWEEN season - 1 AND season)"},
}};

}  // namespace

std::span<const RowRule> row_rules() { return kRules; }

}  // namespace nestround::book
