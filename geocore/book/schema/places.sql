-- Where colonies live, who called, and what is asked.
--
-- Every table of ours has fid, which GIS programs need; id, the UUID by which rows refer to each
-- other and by which two books merge; and the instants at which the row was made and last changed.
-- Constraints are named in plain words because SQLite shows the name when it refuses a row.
-- Columns end in their unit: _m metres, _g grams, _c degrees Celsius, _on a day, _at an instant.
-- What stands in braces is written out by schema.cpp: the checks that every row or point shares, and
-- the date or the instant that a column must equal to be a good one.

CREATE TABLE client (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    name TEXT,
    phone TEXT,
    email TEXT,
    note TEXT,
    {row_checks}
);

CREATE TABLE site (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    geom POINT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    uncertainty_m DOUBLE,
    label TEXT,
    address TEXT,
    note TEXT,
    {point_check},
    CONSTRAINT "the uncertainty of a place is above 0 m and at most 100 km; leave it empty when unknown"
        CHECK (uncertainty_m IS NULL OR (uncertainty_m > 0 AND uncertainty_m <= 100000)),
    {row_checks}
);

CREATE TABLE nest (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    site_id TEXT(36) NOT NULL REFERENCES site(id),
    season INTEGER NOT NULL,
    taxon TEXT,
    kind TEXT NOT NULL DEFAULT 'unknown',
    height_m DOUBLE,
    width_m DOUBLE,
    length_m DOUBLE,
    first_seen_on DATE,
    entrance TEXT,
    insecticide BOOLEAN NOT NULL DEFAULT 0,
    note TEXT,
    CONSTRAINT "the season of a nest is a year from 1900 to 2999"
        CHECK (typeof(season) = 'integer' AND season BETWEEN 1900 AND 2999),
    CONSTRAINT "a taxon is a code of the taxa table, or empty when unknown"
        CHECK (taxon IS NULL OR (typeof(taxon) = 'text' AND length(taxon) BETWEEN 1 AND 60)),
    CONSTRAINT "the kind of a nest is unknown, aerial, ground or void"
        CHECK (kind IN ('unknown', 'aerial', 'ground', 'void')),
    CONSTRAINT "the height of a nest is between 10 m below and 150 m above where one stands"
        CHECK (height_m IS NULL OR height_m BETWEEN -10 AND 150),
    CONSTRAINT "the width of a nest is above 0 and at most 10 m"
        CHECK (width_m IS NULL OR (width_m > 0 AND width_m <= 10)),
    CONSTRAINT "the length of a nest is above 0 and at most 10 m"
        CHECK (length_m IS NULL OR (length_m > 0 AND length_m <= 10)),
    CONSTRAINT "the day a nest was first seen is a date, as 2026-08-04"
        CHECK (first_seen_on IS NULL OR first_seen_on IS {day first_seen_on}),
    CONSTRAINT "insecticide is 0 or 1"
        CHECK (typeof(insecticide) = 'integer' AND insecticide IN (0, 1)),
    {row_checks}
);
CREATE INDEX nest_by_site ON nest(site_id);

CREATE TABLE call (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    nest_id TEXT(36) NOT NULL REFERENCES nest(id),
    client_id TEXT(36) REFERENCES client(id),
    received_on DATE NOT NULL,
    state TEXT NOT NULL DEFAULT 'waiting',
    closed_on DATE,
    allowed_hours TEXT,
    not_before_on DATE,
    not_after_on DATE,
    ladder TEXT NOT NULL DEFAULT 'unknown',
    near_door BOOLEAN NOT NULL DEFAULT 0,
    allergic BOOLEAN NOT NULL DEFAULT 0,
    must_take BOOLEAN NOT NULL DEFAULT 0,
    source_key TEXT UNIQUE,
    note TEXT,
    CONSTRAINT "the day a call was received is a date, as 2026-08-04"
        CHECK (received_on IS {day received_on}),
    CONSTRAINT "the state of a call is waiting, taken or given_up"
        CHECK (state IN ('waiting', 'taken', 'given_up')),
    CONSTRAINT "a waiting call is not closed, and a closed one has its day, not before it was received"
        CHECK (CASE WHEN state = 'waiting' THEN closed_on IS NULL
                    ELSE closed_on IS NOT NULL AND closed_on IS {day closed_on}
                         AND closed_on >= received_on END),
    CONSTRAINT "a call is not to be taken before a date, as 2026-08-04"
        CHECK (not_before_on IS NULL OR not_before_on IS {day not_before_on}),
    CONSTRAINT "a call is not to be taken after a date, and that is not before the earliest day"
        CHECK (not_after_on IS NULL OR (not_after_on IS {day not_after_on}
               AND (not_before_on IS NULL OR not_before_on <= not_after_on))),
    CONSTRAINT "the permission for a ladder is unknown, given or refused"
        CHECK (ladder IN ('unknown', 'given', 'refused')),
    CONSTRAINT "near_door, allergic and must_take are 0 or 1"
        CHECK (near_door IN (0, 1) AND allergic IN (0, 1) AND must_take IN (0, 1)),
    CONSTRAINT "allowed hours are spans as 08:00-12:00, split by commas"
        CHECK (allowed_hours IS NULL
               OR (allowed_hours GLOB '[0-9][0-9]:[0-9][0-9]-[0-9][0-9]:[0-9][0-9]*'
                   AND (length(allowed_hours) + 1) % 12 = 0
                   AND allowed_hours NOT GLOB '*[^0-9:,-]*')),
    {row_checks}
);
CREATE INDEX call_by_nest ON call(nest_id);
CREATE INDEX call_by_client ON call(client_id);
CREATE INDEX call_waiting ON call(received_on, id) WHERE state = 'waiting';
