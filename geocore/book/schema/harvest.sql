-- Crews and their gear; what happened at a nest, and what came of it.

CREATE TABLE crew (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    geom POINT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    name TEXT NOT NULL UNIQUE,
    shift_begins TEXT NOT NULL,
    shift_ends TEXT NOT NULL,
    people INTEGER NOT NULL DEFAULT 1,
    active BOOLEAN NOT NULL DEFAULT 1,
    note TEXT,
    {point_check},
    CONSTRAINT "a crew has a name" CHECK (length(name) > 0),
    CONSTRAINT "a shift begins and ends at clock times as 07:30, up to 48:00, and ends after it begins"
        CHECK (shift_begins GLOB '[0-4][0-9]:[0-5][0-9]' AND shift_ends GLOB '[0-4][0-9]:[0-5][0-9]'
               AND shift_begins < shift_ends AND shift_ends <= '48:00'),
    CONSTRAINT "a crew has 1 to 20 people"
        CHECK (typeof(people) = 'integer' AND people BETWEEN 1 AND 20),
    CONSTRAINT "active is 0 or 1" CHECK (typeof(active) = 'integer' AND active IN (0, 1)),
    {row_checks}
);

CREATE TABLE gear (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    crew_id TEXT(36) REFERENCES crew(id),
    kind TEXT NOT NULL DEFAULT 'other',
    label TEXT,
    length_m DOUBLE,
    load_rating_g DOUBLE,
    mass_g DOUBLE,
    count INTEGER NOT NULL DEFAULT 1,
    note TEXT,
    CONSTRAINT "gear is a pole, ladder, vacuum, cold_box, comb_box, suit or other"
        CHECK (kind IN ('pole', 'ladder', 'vacuum', 'cold_box', 'comb_box', 'suit', 'other')),
    CONSTRAINT "the length of gear is above 0 and at most 100 m"
        CHECK (length_m IS NULL OR (length_m > 0 AND length_m <= 100)),
    CONSTRAINT "the load rating of gear is above 0 and at most 1000 kg"
        CHECK (load_rating_g IS NULL OR (load_rating_g > 0 AND load_rating_g <= 1000000)),
    CONSTRAINT "the mass of gear is above 0 and at most 1000 kg"
        CHECK (mass_g IS NULL OR (mass_g > 0 AND mass_g <= 1000000)),
    CONSTRAINT "the count of gear is a whole number, not negative"
        CHECK (typeof(count) = 'integer' AND count >= 0),
    {row_checks}
);
CREATE INDEX gear_by_crew ON gear(crew_id);

CREATE TABLE visit (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    nest_id TEXT(36) NOT NULL REFERENCES nest(id),
    call_id TEXT(36) REFERENCES call(id),
    crew_id TEXT(36) REFERENCES crew(id),
    begun_at DATETIME NOT NULL,
    ended_at DATETIME,
    method TEXT NOT NULL,
    outcome TEXT,
    note TEXT,
    CONSTRAINT "a visit begins at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (begun_at IS {utc begun_at}),
    CONSTRAINT "a visit ends at an instant in UTC, as 2026-08-04T06:30:00.000Z, after it begins"
        CHECK (ended_at IS NULL OR (ended_at IS {utc ended_at} AND ended_at >= begun_at)),
    CONSTRAINT "the method of a visit is hand, ground_pole, ladder, pole_then_ladder or not_reached"
        CHECK (method IN ('hand', 'ground_pole', 'ladder', 'pole_then_ladder', 'not_reached')),
    {row_checks}
);
CREATE INDEX visit_by_nest ON visit(nest_id);
CREATE INDEX visit_by_call ON visit(call_id);
CREATE INDEX visit_by_crew ON visit(crew_id);

-- "catch" is what a visit brought frozen.
CREATE TABLE catch (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    visit_id TEXT(36) NOT NULL REFERENCES visit(id),
    taxon TEXT,
    mass_g DOUBLE,
    count INTEGER,
    frozen_at DATETIME NOT NULL,
    container TEXT,
    note TEXT,
    CONSTRAINT "a taxon is a code of the taxa table, or empty when unknown"
        CHECK (taxon IS NULL OR (typeof(taxon) = 'text' AND length(taxon) BETWEEN 1 AND 60)),
    CONSTRAINT "the mass of a catch is not negative and at most 100 kg"
        CHECK (mass_g IS NULL OR mass_g BETWEEN 0 AND 100000),
    CONSTRAINT "the count of a catch is a whole number, not negative"
        CHECK (count IS NULL OR (typeof(count) = 'integer' AND count >= 0)),
    CONSTRAINT "a catch is frozen at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (frozen_at IS {utc frozen_at}),
    {row_checks}
);
CREATE INDEX catch_by_visit ON catch(visit_id);

CREATE TABLE comb_piece (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    visit_id TEXT(36) NOT NULL REFERENCES visit(id),
    eggs INTEGER,
    larvae INTEGER,
    sealed_small INTEGER,
    sealed_large INTEGER,
    empty INTEGER,
    habitat TEXT,
    note TEXT,
    CONSTRAINT "cells are counted in whole numbers, not negative"
        CHECK ((eggs IS NULL OR (typeof(eggs) = 'integer' AND eggs >= 0))
           AND (larvae IS NULL OR (typeof(larvae) = 'integer' AND larvae >= 0))
           AND (sealed_small IS NULL OR (typeof(sealed_small) = 'integer' AND sealed_small >= 0))
           AND (sealed_large IS NULL OR (typeof(sealed_large) = 'integer' AND sealed_large >= 0))
           AND (empty IS NULL OR (typeof(empty) = 'integer' AND empty >= 0))),
    {row_checks}
);
CREATE INDEX comb_piece_by_visit ON comb_piece(visit_id);

CREATE TABLE collection (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    comb_id TEXT(36) NOT NULL REFERENCES comb_piece(id),
    collected_at DATETIME NOT NULL,
    workers INTEGER,
    reproductives INTEGER,
    mass_g DOUBLE,
    note TEXT,
    CONSTRAINT "a collection is made at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (collected_at IS {utc collected_at}),
    CONSTRAINT "wasps are counted in whole numbers, not negative"
        CHECK ((workers IS NULL OR (typeof(workers) = 'integer' AND workers >= 0))
           AND (reproductives IS NULL
                OR (typeof(reproductives) = 'integer' AND reproductives >= 0))),
    CONSTRAINT "the mass of a collection is not negative and at most 100 kg"
        CHECK (mass_g IS NULL OR mass_g BETWEEN 0 AND 100000),
    {row_checks}
);
CREATE INDEX collection_by_comb ON collection(comb_id);
