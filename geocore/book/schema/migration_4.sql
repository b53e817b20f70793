-- Schema 4: where each bag lies, how it was frozen, what it went through, what laboratories pay and
-- were promised, and the chain of hashes that shows whether what was sealed was altered since.

ALTER TABLE lot ADD COLUMN method TEXT NOT NULL DEFAULT 'unknown'
    CONSTRAINT "the freezing method of a lot is unknown, dry_ice, freezer or other"
    CHECK (method IN ('unknown', 'dry_ice', 'freezer', 'other'));
ALTER TABLE lot ADD COLUMN sealed_by TEXT
    CONSTRAINT "who sealed a lot is a name, or empty"
    CHECK (sealed_by IS NULL OR length(sealed_by) > 0);
ALTER TABLE lab_order ADD COLUMN price_minor INTEGER
    CONSTRAINT "the price of a gram is a whole number of the currency's smallest unit, not negative"
    CHECK (price_minor IS NULL OR (typeof(price_minor) = 'integer' AND price_minor >= 0));
ALTER TABLE lab_order ADD COLUMN promised_g DOUBLE
    CONSTRAINT "the mass promised is not negative and at most what is wanted"
    CHECK (promised_g IS NULL OR (promised_g >= 0 AND promised_g <= wanted_g));
ALTER TABLE shipment ADD COLUMN ice_g DOUBLE
    CONSTRAINT "the dry ice in a shipment is not negative and at most 1000 kg"
    CHECK (ice_g IS NULL OR ice_g BETWEEN 0 AND 1000000);
ALTER TABLE shipment ADD COLUMN packed_by TEXT
    CONSTRAINT "who packed a shipment is a name, or empty"
    CHECK (packed_by IS NULL OR length(packed_by) > 0);

-- Where a lot lies: the last row counts. A row beside the lot, because a sealed lot is never edited.
CREATE TABLE lot_move (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    lot_id TEXT(36) NOT NULL REFERENCES lot(id),
    moved_at DATETIME NOT NULL,
    who TEXT NOT NULL,
    freezer TEXT NOT NULL,
    shelf TEXT,
    box TEXT,
    note TEXT,
    CONSTRAINT "a lot is moved at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (moved_at IS {utc moved_at}),
    CONSTRAINT "a move names who moved it and the freezer it went to"
        CHECK (length(who) > 0 AND length(freezer) > 0),
    {row_checks}
);
CREATE INDEX lot_move_by_lot ON lot_move(lot_id, moved_at);
CREATE INDEX lot_move_by_place ON lot_move(freezer, box);

-- A time in which a freezer, or one box of it, was warmer than it should be.
CREATE TABLE excursion (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    freezer TEXT NOT NULL,
    shelf TEXT,
    box TEXT,
    began_at DATETIME NOT NULL,
    ended_at DATETIME NOT NULL,
    limit_c DOUBLE NOT NULL,
    warmest_c DOUBLE NOT NULL,
    readings INTEGER NOT NULL,
    who TEXT NOT NULL,
    note TEXT,
    CONSTRAINT "an excursion begins and ends at instants in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (began_at IS {utc began_at} AND ended_at IS {utc ended_at} AND began_at <= ended_at),
    CONSTRAINT "an excursion was warmer than its limit, between -200 and 100 degrees Celsius"
        CHECK (limit_c >= -200 AND limit_c < warmest_c AND warmest_c <= 100),
    CONSTRAINT "an excursion rests on at least one reading"
        CHECK (typeof(readings) = 'integer' AND readings > 0),
    CONSTRAINT "an excursion names the freezer and who entered it"
        CHECK (length(freezer) > 0 AND length(who) > 0),
    {row_checks}
);
CREATE UNIQUE INDEX excursion_is_entered_once
    ON excursion(freezer, coalesce(shelf, ''), coalesce(box, ''), began_at, ended_at, limit_c);

-- Which lots lay there then.
CREATE TABLE excursion_lot (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    excursion_id TEXT(36) NOT NULL REFERENCES excursion(id),
    lot_id TEXT(36) NOT NULL REFERENCES lot(id),
    CONSTRAINT "a lot is in an excursion once" UNIQUE (excursion_id, lot_id)
);
CREATE INDEX excursion_lot_by_lot ON excursion_lot(lot_id);

-- One link a record of a sealed lot; docs/reference/lots.md says what is hashed.
CREATE TABLE lot_chain (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    number INTEGER NOT NULL UNIQUE,
    at DATETIME NOT NULL,
    kind TEXT NOT NULL,
    row_id TEXT(36) NOT NULL,
    record TEXT NOT NULL,
    previous TEXT(64) NOT NULL,
    hash TEXT(64) NOT NULL UNIQUE,
    CONSTRAINT "a link is made at an instant in UTC, as 2026-08-04T06:30:00.000Z" CHECK (at IS {utc at}),
    CONSTRAINT "links are numbered from 1" CHECK (typeof(number) = 'integer' AND number >= 1),
    CONSTRAINT "a link is of a seal, correction, move, shipment or excursion"
        CHECK (kind IN ('seal', 'correction', 'move', 'shipment', 'excursion')),
    CONSTRAINT "hashes are 64 hexadecimal digits in lower case"
        CHECK (length(hash) = 64 AND hash NOT GLOB '*[^0-9a-f]*'
               AND length(previous) = 64 AND previous NOT GLOB '*[^0-9a-f]*'),
    CONSTRAINT "a record is in the chain once" UNIQUE (kind, row_id)
);

CREATE TRIGGER lot_chain_grows_at_its_end BEFORE INSERT ON lot_chain
WHEN NEW.number IS NOT (SELECT coalesce(max(number), 0) + 1 FROM lot_chain)
     OR NEW.previous IS NOT coalesce((SELECT hash FROM lot_chain ORDER BY number DESC LIMIT 1),
                                     '0000000000000000000000000000000000000000000000000000000000000000')
BEGIN SELECT RAISE(ABORT, 'a link is added at the end of the chain, with the hash of the last'); END;

CREATE TRIGGER lot_chain_is_not_edited BEFORE UPDATE ON lot_chain
BEGIN SELECT RAISE(ABORT, 'a link of the chain is never edited'); END;

CREATE TRIGGER lot_chain_is_not_deleted BEFORE DELETE ON lot_chain
BEGIN SELECT RAISE(ABORT, 'a link of the chain is never deleted'); END;

CREATE TRIGGER lot_chain_is_not_replaced BEFORE INSERT ON lot_chain
WHEN EXISTS (SELECT 1 FROM lot_chain WHERE (kind = NEW.kind AND row_id = NEW.row_id) OR hash = NEW.hash OR fid = NEW.fid)
BEGIN SELECT RAISE(ABORT, 'this record is in the chain already'); END;

CREATE TRIGGER lot_move_is_of_a_sealed_lot BEFORE INSERT ON lot_move
WHEN (SELECT sealed_at FROM lot WHERE id = NEW.lot_id) IS NULL
BEGIN SELECT RAISE(ABORT, 'only a sealed lot is moved'); END;

CREATE TRIGGER lot_move_is_not_edited BEFORE UPDATE ON lot_move
BEGIN SELECT RAISE(ABORT, 'a move is never edited: enter a further one'); END;

CREATE TRIGGER lot_move_is_not_deleted BEFORE DELETE ON lot_move
BEGIN SELECT RAISE(ABORT, 'a move is never deleted: enter a further one'); END;

CREATE TRIGGER excursion_is_not_edited BEFORE UPDATE ON excursion
BEGIN SELECT RAISE(ABORT, 'an excursion is never edited'); END;

CREATE TRIGGER excursion_is_not_deleted BEFORE DELETE ON excursion
BEGIN SELECT RAISE(ABORT, 'an excursion is never deleted'); END;

CREATE TRIGGER excursion_lot_is_not_edited BEFORE UPDATE ON excursion_lot
BEGIN SELECT RAISE(ABORT, 'an excursion is never edited'); END;

CREATE TRIGGER excursion_lot_is_not_deleted BEFORE DELETE ON excursion_lot
BEGIN SELECT RAISE(ABORT, 'an excursion is never deleted'); END;

CREATE TRIGGER excursion_lot_is_sealed BEFORE INSERT ON excursion_lot
WHEN (SELECT sealed_at FROM lot WHERE id = NEW.lot_id) IS NULL
BEGIN SELECT RAISE(ABORT, 'only a sealed lot is marked by an excursion'); END;

CREATE TRIGGER excursion_lot_is_not_replaced BEFORE INSERT ON excursion_lot
WHEN EXISTS (SELECT 1 FROM excursion_lot
              WHERE fid = NEW.fid OR (excursion_id = NEW.excursion_id AND lot_id = NEW.lot_id))
BEGIN SELECT RAISE(ABORT, 'the lot is already in this excursion'); END;

CREATE TRIGGER shipment_in_the_chain_stays BEFORE UPDATE OF order_id, shipped_on, ice_g, packed_by ON shipment
WHEN EXISTS (SELECT 1 FROM lot_chain WHERE kind = 'shipment' AND row_id = OLD.id)
     AND (NEW.order_id IS NOT OLD.order_id OR NEW.shipped_on IS NOT OLD.shipped_on
          OR NEW.ice_g IS NOT OLD.ice_g OR NEW.packed_by IS NOT OLD.packed_by)
BEGIN SELECT RAISE(ABORT, 'what left is never edited; only carrier, tracking and note may be added'); END;

CREATE TRIGGER shipment_lot_in_the_chain_stays BEFORE DELETE ON shipment_lot
WHEN EXISTS (SELECT 1 FROM lot_chain WHERE kind = 'shipment' AND row_id = OLD.shipment_id)
BEGIN SELECT RAISE(ABORT, 'what left is never edited'); END;

CREATE TRIGGER shipment_in_the_chain_takes_no_more BEFORE INSERT ON shipment_lot
WHEN EXISTS (SELECT 1 FROM lot_chain WHERE kind = 'shipment' AND row_id = NEW.shipment_id)
BEGIN SELECT RAISE(ABORT, 'the shipment has left: make another'); END;

-- A catch or collection is in one bag, unless that bag is withdrawn; a large one is shared among
-- bags when each part is weighed and the parts are not more than the whole.
CREATE TRIGGER lot_parent_is_in_one_bag BEFORE INSERT ON lot_parent
WHEN EXISTS (SELECT 1 FROM lot_parent p
              WHERE (p.catch_id = NEW.catch_id OR p.collection_id = NEW.collection_id)
                AND (p.mass_g IS NULL OR NEW.mass_g IS NULL)
                AND p.lot_id <> NEW.lot_id
                AND NOT EXISTS (SELECT 1 FROM lot_correction k
                                 WHERE k.lot_id = p.lot_id AND k.field = 'withdrawn'))
BEGIN SELECT RAISE(ABORT, 'this catch or collection is in another lot already; a shared one is weighed in parts'); END;

CREATE TRIGGER lot_parent_parts_are_not_more_than_the_whole BEFORE INSERT ON lot_parent
WHEN NEW.mass_g IS NOT NULL
     AND NEW.mass_g + coalesce((SELECT sum(p.mass_g) FROM lot_parent p
              WHERE (p.catch_id = NEW.catch_id OR p.collection_id = NEW.collection_id)
                AND NOT EXISTS (SELECT 1 FROM lot_correction k
                                 WHERE k.lot_id = p.lot_id AND k.field = 'withdrawn')), 0)
         > 0.0005 + coalesce((SELECT mass_g FROM catch WHERE id = NEW.catch_id),
                             (SELECT mass_g FROM collection WHERE id = NEW.collection_id), 1e9)
BEGIN SELECT RAISE(ABORT, 'the parts of this catch or collection would weigh more than the whole'); END;

INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES
    ('lot_move', 'attributes', 'Moves of lots', 'Where each bag lies; the last row counts', 0),
    ('excursion', 'attributes', 'Excursions', 'Times in which a freezer or box was warmer than its limit', 0),
    ('excursion_lot', 'attributes', 'Lots in excursions', 'Which lots lay there then', 0),
    ('lot_chain', 'attributes', 'Chain of lots', 'One hash a record of a sealed lot, each resting on the one before', 0);

INSERT INTO gpkg_data_column_constraints VALUES
    ('freezing_method', 'enum', 'unknown', NULL, NULL, NULL, NULL, 'not written down'),
    ('freezing_method', 'enum', 'dry_ice', NULL, NULL, NULL, NULL, 'alive onto dry ice'),
    ('freezing_method', 'enum', 'freezer', NULL, NULL, NULL, NULL, 'in a freezer'),
    ('freezing_method', 'enum', 'other', NULL, NULL, NULL, NULL, 'in another way'),
    ('chain_kind', 'enum', 'seal', NULL, NULL, NULL, NULL, 'a lot was sealed'),
    ('chain_kind', 'enum', 'correction', NULL, NULL, NULL, NULL, 'a sealed lot was put right'),
    ('chain_kind', 'enum', 'move', NULL, NULL, NULL, NULL, 'a lot was put elsewhere'),
    ('chain_kind', 'enum', 'shipment', NULL, NULL, NULL, NULL, 'lots left'),
    ('chain_kind', 'enum', 'excursion', NULL, NULL, NULL, NULL, 'lots were too warm');

INSERT INTO gpkg_data_columns
    (table_name, column_name, name, title, description, constraint_name) VALUES
    ('lot', 'method', 'method', 'Frozen by', 'How it was frozen', 'freezing_method'),
    ('lot', 'sealed_by', 'sealed_by', 'Sealed by', 'Who closed the bag', NULL),
    ('lab_order', 'price_minor', 'price_minor', 'Price', 'Of one gram, in the smallest unit of the currency of the settings', NULL),
    ('lab_order', 'promised_g', 'promised_g', 'Promised', 'Grams that were promised; empty when nothing was', NULL),
    ('shipment', 'ice_g', 'ice_g', 'Dry ice', 'Grams of dry ice packed with it', NULL),
    ('shipment', 'packed_by', 'packed_by', 'Packed by', 'Who packed it', NULL),
    ('lot_move', 'lot_id', 'lot_id', 'Lot', 'UUID of the lot', NULL),
    ('lot_move', 'moved_at', 'moved_at', 'When', 'Instant in UTC', NULL),
    ('lot_move', 'who', 'who', 'Who', 'Who moved it', NULL),
    ('lot_move', 'freezer', 'freezer', 'Freezer', 'Name of the freezer', NULL),
    ('lot_move', 'shelf', 'shelf', 'Shelf', 'Name of the shelf in it', NULL),
    ('lot_move', 'box', 'box', 'Box', 'Name of the box on it', NULL),
    ('lot_move', 'note', 'note', 'Note', 'Free words', NULL),
    ('excursion', 'freezer', 'freezer', 'Freezer', 'Name of the freezer', NULL),
    ('excursion', 'shelf', 'shelf', 'Shelf', 'Name of the shelf; empty: all of them', NULL),
    ('excursion', 'box', 'box', 'Box', 'Name of the box; empty: all of them', NULL),
    ('excursion', 'began_at', 'began_at', 'Began', 'First reading above the limit; instant in UTC', NULL),
    ('excursion', 'ended_at', 'ended_at', 'Ended', 'First reading at or below the limit again, or the last reading; instant in UTC', NULL),
    ('excursion', 'limit_c', 'limit_c', 'Limit', 'Degrees Celsius', NULL),
    ('excursion', 'warmest_c', 'warmest_c', 'Warmest', 'Degrees Celsius', NULL),
    ('excursion', 'readings', 'readings', 'Readings', 'How many lay above the limit', NULL),
    ('excursion', 'who', 'who', 'Who', 'Who entered it', NULL),
    ('excursion', 'note', 'note', 'Note', 'Free words', NULL),
    ('excursion_lot', 'excursion_id', 'excursion_id', 'Excursion', 'UUID of the excursion', NULL),
    ('excursion_lot', 'lot_id', 'lot_id', 'Lot', 'UUID of the lot', NULL),
    ('lot_chain', 'number', 'number', 'Number', 'From 1, without gaps', NULL),
    ('lot_chain', 'at', 'at', 'At', 'When the link was made; instant in UTC', NULL),
    ('lot_chain', 'kind', 'kind', 'Kind', 'What it is of', 'chain_kind'),
    ('lot_chain', 'row_id', 'row_id', 'Row', 'UUID of the row it is of', NULL),
    ('lot_chain', 'record', 'record', 'Record', 'What was written down, as hashed', NULL),
    ('lot_chain', 'previous', 'previous', 'Previous', 'Hash of the link before; zeros in the first', NULL),
    ('lot_chain', 'hash', 'hash', 'Hash', 'SHA-256 of this link, hexadecimal', NULL);

INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description)
    SELECT t.table_name, c.name, c.name,
           CASE c.name WHEN 'fid' THEN 'Row' WHEN 'id' THEN 'Id'
                       WHEN 'created_at' THEN 'Created' ELSE 'Changed' END,
           CASE c.name WHEN 'fid' THEN 'Row number in this file; means nothing elsewhere'
                       WHEN 'id' THEN 'UUID, ordered by time; the key between books'
                       WHEN 'created_at' THEN 'When the row was first written; instant in UTC'
                       ELSE 'When the row was last written; instant in UTC' END
      FROM gpkg_contents t JOIN pragma_table_info(t.table_name) c
     WHERE t.table_name IN ('lot_move', 'excursion', 'excursion_lot', 'lot_chain')
       AND c.name IN ('fid', 'id', 'created_at', 'changed_at');
