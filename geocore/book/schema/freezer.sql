-- Sealed bags, what went into them, who wants them and what left. rules.sql says what may not be.

CREATE TABLE lot (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    code TEXT NOT NULL UNIQUE,
    taxon TEXT NOT NULL,
    purpose TEXT NOT NULL,
    frozen_at DATETIME NOT NULL,
    mass_g DOUBLE,
    count INTEGER,
    container TEXT,
    sealed_at DATETIME,
    note TEXT,
    CONSTRAINT "a lot has a code" CHECK (length(code) BETWEEN 1 AND 60),
    CONSTRAINT "a lot is of one species, named by a code of the taxa table"
        CHECK (typeof(taxon) = 'text' AND length(taxon) BETWEEN 1 AND 60),
    CONSTRAINT "the purpose of a lot is venom or other" CHECK (purpose IN ('venom', 'other')),
    CONSTRAINT "a lot is frozen at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (frozen_at IS {utc frozen_at}),
    CONSTRAINT "the mass of a lot is above 0 and at most 100 kg"
        CHECK (mass_g IS NULL OR (mass_g > 0 AND mass_g <= 100000)),
    CONSTRAINT "the count of a lot is a whole number, not negative"
        CHECK (count IS NULL OR (typeof(count) = 'integer' AND count >= 0)),
    CONSTRAINT "a lot is sealed at an instant in UTC, as 2026-08-04T06:30:00.000Z, after it was frozen, and with its mass"
        CHECK (sealed_at IS NULL OR (sealed_at IS {utc sealed_at} AND sealed_at >= frozen_at
               AND mass_g IS NOT NULL)),
    {row_checks}
);

CREATE TABLE lot_parent (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    lot_id TEXT(36) NOT NULL REFERENCES lot(id),
    catch_id TEXT(36) REFERENCES catch(id),
    collection_id TEXT(36) REFERENCES collection(id),
    mass_g DOUBLE,
    CONSTRAINT "a parent of a lot is either a catch or a collection"
        CHECK ((catch_id IS NULL) <> (collection_id IS NULL)),
    CONSTRAINT "the mass that went into a lot is above 0 and at most 100 kg"
        CHECK (mass_g IS NULL OR (mass_g > 0 AND mass_g <= 100000)),
    CONSTRAINT "a catch is in a lot once" UNIQUE (lot_id, catch_id),
    CONSTRAINT "a collection is in a lot once" UNIQUE (lot_id, collection_id),
    {row_checks}
);
CREATE INDEX lot_parent_by_catch ON lot_parent(catch_id);
CREATE INDEX lot_parent_by_collection ON lot_parent(collection_id);

CREATE TABLE lot_correction (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    lot_id TEXT(36) NOT NULL REFERENCES lot(id),
    corrected_at DATETIME NOT NULL,
    who TEXT NOT NULL,
    field TEXT NOT NULL,
    was TEXT,
    becomes TEXT,
    why TEXT NOT NULL,
    CONSTRAINT "a correction is made at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (corrected_at IS {utc corrected_at}),
    CONSTRAINT "a correction names who and why" CHECK (length(who) > 0 AND length(why) > 0),
    CONSTRAINT "a correction is of mass, count, frozen_at, container or note, or says withdrawn"
        CHECK (field IN ('mass', 'count', 'frozen_at', 'container', 'note', 'withdrawn')),
    CONSTRAINT "a correction says what becomes of the field, and withdrawn has nothing to say"
        CHECK ((field = 'withdrawn') = (becomes IS NULL)),
    {row_checks}
);
CREATE INDEX lot_correction_by_lot ON lot_correction(lot_id);
CREATE UNIQUE INDEX lot_withdrawn ON lot_correction(lot_id) WHERE field = 'withdrawn';

-- "order" is a word of SQL.
CREATE TABLE lab_order (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    laboratory TEXT NOT NULL,
    taxon TEXT NOT NULL,
    purpose TEXT NOT NULL,
    wanted_g DOUBLE NOT NULL,
    placed_on DATE NOT NULL,
    due_on DATE,
    state TEXT NOT NULL DEFAULT 'open',
    note TEXT,
    CONSTRAINT "an order names the laboratory" CHECK (length(laboratory) > 0),
    CONSTRAINT "an order is for one species, named by a code of the taxa table"
        CHECK (typeof(taxon) = 'text' AND length(taxon) BETWEEN 1 AND 60),
    CONSTRAINT "the purpose of an order is venom or other" CHECK (purpose IN ('venom', 'other')),
    CONSTRAINT "the mass wanted is above 0 and at most 1000 kg"
        CHECK (wanted_g > 0 AND wanted_g <= 1000000),
    CONSTRAINT "an order is placed on a date, as 2026-08-04" CHECK (placed_on IS {day placed_on}),
    CONSTRAINT "an order is due on a date, as 2026-08-04, not before it is placed"
        CHECK (due_on IS NULL OR (due_on IS {day due_on} AND due_on >= placed_on)),
    CONSTRAINT "the state of an order is open, filled or cancelled"
        CHECK (state IN ('open', 'filled', 'cancelled')),
    {row_checks}
);

CREATE TABLE shipment (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    order_id TEXT(36) REFERENCES lab_order(id),
    shipped_on DATE NOT NULL,
    carrier TEXT,
    tracking TEXT,
    note TEXT,
    CONSTRAINT "a shipment leaves on a date, as 2026-08-04" CHECK (shipped_on IS {day shipped_on}),
    {row_checks}
);
CREATE INDEX shipment_by_order ON shipment(order_id);

-- Which lot left in which shipment; a row beside the lot, because a sealed lot is never edited.
CREATE TABLE shipment_lot (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    shipment_id TEXT(36) NOT NULL REFERENCES shipment(id),
    lot_id TEXT(36) NOT NULL UNIQUE REFERENCES lot(id)
);
CREATE INDEX shipment_lot_by_shipment ON shipment_lot(shipment_id);

-- From every lot to where it came from, and back: one row a parent. A catch is what the hand named
-- it; a collection is of the species of the nest its comb came from.
CREATE VIEW lot_ancestry AS
    SELECT p.lot_id, p.id AS parent_id, c.id AS catch_id, NULL AS collection_id,
           NULL AS comb_id, v.id AS visit_id, n.id AS nest_id, c.taxon AS taxon, n.insecticide
      FROM lot_parent p
      JOIN catch c ON c.id = p.catch_id
      JOIN visit v ON v.id = c.visit_id
      JOIN nest n ON n.id = v.nest_id
    UNION ALL
    SELECT p.lot_id, p.id, NULL, o.id, b.id, v.id, n.id, n.taxon, n.insecticide
      FROM lot_parent p
      JOIN collection o ON o.id = p.collection_id
      JOIN comb_piece b ON b.id = o.comb_id
      JOIN visit v ON v.id = b.visit_id
      JOIN nest n ON n.id = v.nest_id;
