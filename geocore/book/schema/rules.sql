-- What a row may not say, held by triggers, so that a program that writes the file with foreign
-- keys off is held to it too. The orphan rules ("site still has nests") are made from one list in
-- schema.cpp; here are the rules of lots. Triggers call SQLite's own functions only.
--
-- A lot has one species. Nothing from a nest that had insecticide enters a lot for venom. A sealed
-- lot, and what it was filled from, is never edited. What turns out later is never hidden either:
-- that a nest had insecticide can be written once each venom lot that rests on it is withdrawn, by
-- a further row that says who, when and why.

-- Lots ----------------------------------------------------------------------------------------

CREATE TRIGGER lot_is_filled_before_it_is_sealed BEFORE INSERT ON lot
WHEN NEW.sealed_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a lot is sealed after its parents are entered, not at once'); END;

-- INSERT OR REPLACE would delete the old row without a word.
CREATE TRIGGER lot_is_not_replaced BEFORE INSERT ON lot
WHEN EXISTS (SELECT 1 FROM lot WHERE code = NEW.code)
BEGIN SELECT RAISE(ABORT, 'a lot with this code is already there'); END;

CREATE TRIGGER lot_keeps_its_code_apart BEFORE UPDATE OF code ON lot
WHEN EXISTS (SELECT 1 FROM lot WHERE code = NEW.code AND id <> NEW.id)
BEGIN SELECT RAISE(ABORT, 'a lot with this code is already there'); END;

CREATE TRIGGER lot_once_sealed_is_not_edited BEFORE UPDATE ON lot
WHEN OLD.sealed_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a sealed lot is never edited: enter a correction'); END;

CREATE TRIGGER lot_once_sealed_is_not_deleted BEFORE DELETE ON lot
WHEN OLD.sealed_at IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'a sealed lot is never deleted: enter a correction that withdraws it'); END;

CREATE TRIGGER lot_with_parents_keeps_species_and_purpose BEFORE UPDATE OF taxon, purpose ON lot
WHEN (NEW.taxon IS NOT OLD.taxon OR NEW.purpose IS NOT OLD.purpose)
     AND EXISTS (SELECT 1 FROM lot_parent WHERE lot_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'a lot that holds something keeps its species and purpose: empty it first'); END;

-- Looked at once more when the bag is closed.
CREATE TRIGGER lot_is_sealed_with_parents BEFORE UPDATE OF sealed_at ON lot
WHEN OLD.sealed_at IS NULL AND NEW.sealed_at IS NOT NULL
     AND NOT EXISTS (SELECT 1 FROM lot_parent WHERE lot_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'an empty lot cannot be sealed: enter what went into it'); END;

CREATE TRIGGER lot_is_sealed_with_one_species BEFORE UPDATE OF sealed_at ON lot
WHEN OLD.sealed_at IS NULL AND NEW.sealed_at IS NOT NULL
     AND EXISTS (SELECT 1 FROM lot_ancestry WHERE lot_id = OLD.id AND taxon IS NOT NEW.taxon)
BEGIN SELECT RAISE(ABORT, 'a lot has one species: something in it is of another, or of an unnamed one'); END;

CREATE TRIGGER lot_for_venom_is_sealed_without_insecticide BEFORE UPDATE OF sealed_at ON lot
WHEN OLD.sealed_at IS NULL AND NEW.sealed_at IS NOT NULL AND NEW.purpose = 'venom'
     AND EXISTS (SELECT 1 FROM lot_ancestry WHERE lot_id = OLD.id AND insecticide <> 0)
BEGIN SELECT RAISE(ABORT, 'a lot for venom cannot hold anything from a nest that had insecticide'); END;

-- What goes into a lot ------------------------------------------------------------------------

CREATE TRIGGER lot_parent_enters_an_open_lot BEFORE INSERT ON lot_parent
WHEN (SELECT sealed_at FROM lot WHERE id = NEW.lot_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'the lot is sealed: nothing more can go into it'); END;

CREATE TRIGGER lot_parent_is_not_replaced BEFORE INSERT ON lot_parent
WHEN EXISTS (SELECT 1 FROM lot_parent WHERE lot_id = NEW.lot_id
             AND (catch_id = NEW.catch_id OR collection_id = NEW.collection_id))
BEGIN SELECT RAISE(ABORT, 'this catch or collection is already in the lot'); END;

CREATE TRIGGER lot_parent_catch_is_of_the_species BEFORE INSERT ON lot_parent
WHEN NEW.catch_id IS NOT NULL
     AND (SELECT taxon FROM catch WHERE id = NEW.catch_id)
         IS NOT (SELECT taxon FROM lot WHERE id = NEW.lot_id)
BEGIN SELECT RAISE(ABORT, 'a lot has one species: the catch is of another, or of an unnamed one'); END;

CREATE TRIGGER lot_parent_collection_is_of_the_species BEFORE INSERT ON lot_parent
WHEN NEW.collection_id IS NOT NULL
     AND (SELECT n.taxon FROM collection o JOIN comb_piece b ON b.id = o.comb_id
            JOIN visit v ON v.id = b.visit_id JOIN nest n ON n.id = v.nest_id
           WHERE o.id = NEW.collection_id)
         IS NOT (SELECT taxon FROM lot WHERE id = NEW.lot_id)
BEGIN SELECT RAISE(ABORT, 'a lot has one species: the nest of the collection is of another, or of an unnamed one'); END;

CREATE TRIGGER lot_parent_had_no_insecticide BEFORE INSERT ON lot_parent
WHEN (SELECT purpose FROM lot WHERE id = NEW.lot_id) = 'venom'
     AND (EXISTS (SELECT 1 FROM catch c JOIN visit v ON v.id = c.visit_id
                    JOIN nest n ON n.id = v.nest_id
                   WHERE c.id = NEW.catch_id AND n.insecticide <> 0)
          OR EXISTS (SELECT 1 FROM collection o JOIN comb_piece b ON b.id = o.comb_id
                       JOIN visit v ON v.id = b.visit_id JOIN nest n ON n.id = v.nest_id
                      WHERE o.id = NEW.collection_id AND n.insecticide <> 0))
BEGIN SELECT RAISE(ABORT, 'a lot for venom cannot hold anything from a nest that had insecticide'); END;

CREATE TRIGGER lot_parent_keeps_what_it_names BEFORE UPDATE ON lot_parent
WHEN NEW.lot_id IS NOT OLD.lot_id OR NEW.catch_id IS NOT OLD.catch_id
     OR NEW.collection_id IS NOT OLD.collection_id
BEGIN SELECT RAISE(ABORT, 'what went into a lot is taken out and entered anew, not changed'); END;

CREATE TRIGGER lot_parent_once_sealed_is_not_edited BEFORE UPDATE ON lot_parent
WHEN (SELECT sealed_at FROM lot WHERE id = OLD.lot_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'what went into a sealed lot is never edited'); END;

CREATE TRIGGER lot_parent_once_sealed_is_not_deleted BEFORE DELETE ON lot_parent
WHEN (SELECT sealed_at FROM lot WHERE id = OLD.lot_id) IS NOT NULL
BEGIN SELECT RAISE(ABORT, 'nothing is taken out of a sealed lot'); END;

-- What a lot rests on -------------------------------------------------------------------------

CREATE TRIGGER catch_in_sealed_lot_is_not_edited BEFORE UPDATE ON catch
WHEN EXISTS (SELECT 1 FROM lot_parent p JOIN lot l ON l.id = p.lot_id
              WHERE p.catch_id = OLD.id AND l.sealed_at IS NOT NULL)
BEGIN SELECT RAISE(ABORT, 'a catch in a sealed lot is never edited'); END;

CREATE TRIGGER catch_in_lot_keeps_species_and_visit BEFORE UPDATE OF taxon, visit_id ON catch
WHEN (NEW.taxon IS NOT OLD.taxon OR NEW.visit_id IS NOT OLD.visit_id)
     AND EXISTS (SELECT 1 FROM lot_parent WHERE catch_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'a catch in a lot keeps its species and visit: take it out of the lot first'); END;

CREATE TRIGGER collection_in_sealed_lot_is_not_edited BEFORE UPDATE ON collection
WHEN EXISTS (SELECT 1 FROM lot_parent p JOIN lot l ON l.id = p.lot_id
              WHERE p.collection_id = OLD.id AND l.sealed_at IS NOT NULL)
BEGIN SELECT RAISE(ABORT, 'a collection in a sealed lot is never edited'); END;

CREATE TRIGGER collection_in_lot_keeps_its_comb BEFORE UPDATE OF comb_id ON collection
WHEN NEW.comb_id IS NOT OLD.comb_id
     AND EXISTS (SELECT 1 FROM lot_parent WHERE collection_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'a collection in a lot keeps its comb: take it out of the lot first'); END;

CREATE TRIGGER comb_piece_in_lot_keeps_its_visit BEFORE UPDATE OF visit_id ON comb_piece
WHEN NEW.visit_id IS NOT OLD.visit_id
     AND EXISTS (SELECT 1 FROM collection o JOIN lot_parent p ON p.collection_id = o.id
                  WHERE o.comb_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'comb whose collections are in a lot keeps its visit'); END;

CREATE TRIGGER visit_in_lot_keeps_its_nest BEFORE UPDATE OF nest_id ON visit
WHEN NEW.nest_id IS NOT OLD.nest_id
     AND (EXISTS (SELECT 1 FROM catch c JOIN lot_parent p ON p.catch_id = c.id
                   WHERE c.visit_id = OLD.id)
          OR EXISTS (SELECT 1 FROM comb_piece b JOIN collection o ON o.comb_id = b.id
                       JOIN lot_parent p ON p.collection_id = o.id WHERE b.visit_id = OLD.id))
BEGIN SELECT RAISE(ABORT, 'a visit that filled a lot keeps its nest'); END;

-- A withdrawn lot no longer binds: a wrong name that comes to light can be put right.
CREATE TRIGGER nest_in_lot_keeps_its_species BEFORE UPDATE OF taxon ON nest
WHEN NEW.taxon IS NOT OLD.taxon
     AND EXISTS (SELECT 1 FROM visit v JOIN comb_piece b ON b.visit_id = v.id
                   JOIN collection o ON o.comb_id = b.id
                   JOIN lot_parent p ON p.collection_id = o.id
                  WHERE v.nest_id = OLD.id
                    AND NOT EXISTS (SELECT 1 FROM lot_correction k
                                     WHERE k.lot_id = p.lot_id AND k.field = 'withdrawn'))
BEGIN SELECT RAISE(ABORT, 'a lot rests on the species of this nest: empty or withdraw the lot first'); END;

CREATE TRIGGER nest_in_venom_lot_had_no_insecticide BEFORE UPDATE OF insecticide ON nest
WHEN NEW.insecticide <> 0 AND OLD.insecticide = 0
     AND EXISTS (SELECT 1 FROM lot_parent p JOIN lot l ON l.id = p.lot_id
                  WHERE l.purpose = 'venom'
                    AND NOT EXISTS (SELECT 1 FROM lot_correction k
                                     WHERE k.lot_id = l.id AND k.field = 'withdrawn')
                    AND (p.catch_id IN (SELECT c.id FROM visit v JOIN catch c ON c.visit_id = v.id
                                         WHERE v.nest_id = OLD.id)
                         OR p.collection_id IN
                            (SELECT o.id FROM visit v JOIN comb_piece b ON b.visit_id = v.id
                               JOIN collection o ON o.comb_id = b.id WHERE v.nest_id = OLD.id)))
BEGIN SELECT RAISE(ABORT, 'a lot for venom rests on this nest: empty or withdraw the lot, then enter the insecticide'); END;

-- Corrections ---------------------------------------------------------------------------------

CREATE TRIGGER lot_correction_is_of_a_sealed_lot BEFORE INSERT ON lot_correction
WHEN (SELECT sealed_at FROM lot WHERE id = NEW.lot_id) IS NULL
BEGIN SELECT RAISE(ABORT, 'only a sealed lot is corrected: edit the open one'); END;

CREATE TRIGGER lot_correction_withdraws_once BEFORE INSERT ON lot_correction
WHEN NEW.field = 'withdrawn' AND EXISTS (SELECT 1 FROM lot_correction
                                          WHERE lot_id = NEW.lot_id AND field = 'withdrawn')
BEGIN SELECT RAISE(ABORT, 'the lot is already withdrawn'); END;

CREATE TRIGGER lot_correction_is_not_edited BEFORE UPDATE ON lot_correction
BEGIN SELECT RAISE(ABORT, 'a correction is never edited: enter a further one'); END;

CREATE TRIGGER lot_correction_is_not_deleted BEFORE DELETE ON lot_correction
BEGIN SELECT RAISE(ABORT, 'a correction is never deleted: enter a further one'); END;

-- What leaves ---------------------------------------------------------------------------------

CREATE TRIGGER shipment_lot_is_sealed BEFORE INSERT ON shipment_lot
WHEN (SELECT sealed_at FROM lot WHERE id = NEW.lot_id) IS NULL
     OR EXISTS (SELECT 1 FROM lot_correction WHERE lot_id = NEW.lot_id AND field = 'withdrawn')
BEGIN SELECT RAISE(ABORT, 'only a sealed lot that is not withdrawn can be shipped'); END;

CREATE TRIGGER shipment_lot_is_not_replaced BEFORE INSERT ON shipment_lot
WHEN EXISTS (SELECT 1 FROM shipment_lot WHERE lot_id = NEW.lot_id OR fid = NEW.fid)
BEGIN SELECT RAISE(ABORT, 'the lot is already in a shipment'); END;

CREATE TRIGGER shipment_lot_is_what_was_ordered BEFORE INSERT ON shipment_lot
WHEN EXISTS (SELECT 1 FROM shipment s JOIN lab_order r ON r.id = s.order_id
               JOIN lot l ON l.id = NEW.lot_id
              WHERE s.id = NEW.shipment_id AND (l.taxon <> r.taxon OR
                    (r.purpose = 'venom' AND l.purpose <> 'venom')))
BEGIN SELECT RAISE(ABORT, 'the lot is not what the order of this shipment asks for'); END;

CREATE TRIGGER shipment_lot_is_not_edited BEFORE UPDATE ON shipment_lot
BEGIN SELECT RAISE(ABORT, 'a lot in a shipment is taken out and entered anew, not changed'); END;

CREATE TRIGGER shipment_with_lots_keeps_its_order BEFORE UPDATE OF order_id ON shipment
WHEN NEW.order_id IS NOT OLD.order_id
     AND EXISTS (SELECT 1 FROM shipment_lot WHERE shipment_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'a shipment with lots keeps its order: take the lots out first'); END;

CREATE TRIGGER lab_order_once_shipped_keeps_what_it_asks BEFORE UPDATE OF taxon, purpose ON lab_order
WHEN (NEW.taxon IS NOT OLD.taxon OR NEW.purpose IS NOT OLD.purpose)
     AND EXISTS (SELECT 1 FROM shipment WHERE order_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'an order that was shipped keeps its species and purpose'); END;
