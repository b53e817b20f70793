-- Schema 5: where comb stands and how warm it is there; how its cells were counted.

CREATE TABLE habitat (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    name TEXT NOT NULL UNIQUE,
    place TEXT NOT NULL DEFAULT 'home',
    trip_min DOUBLE NOT NULL DEFAULT 0,
    passing_min DOUBLE,
    combs INTEGER,
    cells INTEGER,
    set_point_c DOUBLE,
    active BOOLEAN NOT NULL DEFAULT 1,
    note TEXT,
    CONSTRAINT "a habitat has a name and stands at a place"
        CHECK (length(name) BETWEEN 1 AND 80 AND length(place) BETWEEN 1 AND 80),
    CONSTRAINT "a trip to a habitat takes between 0 and 1440 minutes"
        CHECK (trip_min BETWEEN 0 AND 1440 AND (passing_min IS NULL OR passing_min BETWEEN 0 AND 1440)),
    CONSTRAINT "a habitat has room for 1 to 10000 combs"
        CHECK (combs IS NULL OR (typeof(combs) = 'integer' AND combs BETWEEN 1 AND 10000)),
    CONSTRAINT "a habitat has room for 1 to 10000000 cells"
        CHECK (cells IS NULL OR (typeof(cells) = 'integer' AND cells BETWEEN 1 AND 10000000)),
    CONSTRAINT "the set point of a habitat lies between -10 and 60 degrees Celsius"
        CHECK (set_point_c IS NULL OR set_point_c BETWEEN -10 AND 60),
    CONSTRAINT "active is 0 or 1" CHECK (typeof(active) = 'integer' AND active IN (0, 1)),
    {row_checks}
);

-- A gap in a log is missing rows, never a made-up reading.
CREATE TABLE habitat_reading (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    habitat_id TEXT(36) NOT NULL REFERENCES habitat(id),
    at DATETIME NOT NULL,
    temperature_c DOUBLE NOT NULL,
    humidity DOUBLE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    CONSTRAINT "a reading is an instant in UTC, as 2026-08-04T06:30:00.000Z" CHECK (at IS {utc at}),
    CONSTRAINT "the temperature of a reading lies between -60 and 90 degrees Celsius"
        CHECK (temperature_c BETWEEN -60 AND 90),
    CONSTRAINT "humidity is a share between 0 and 1"
        CHECK (humidity IS NULL OR humidity BETWEEN 0 AND 1),
    CONSTRAINT "a habitat has one reading an instant" UNIQUE (habitat_id, at),
    CONSTRAINT "created and changed are instants in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (created_at IS {utc created_at} AND changed_at IS {utc changed_at})
);

ALTER TABLE comb_piece ADD COLUMN counted TEXT NOT NULL DEFAULT 'counted'
    CONSTRAINT "cells are counted, estimated, taken from an area or from a photograph"
    CHECK (counted IN ('counted', 'estimated', 'area', 'photograph'));
ALTER TABLE comb_piece ADD COLUMN doubt DOUBLE NOT NULL DEFAULT 0
    CONSTRAINT "the doubt of a count is between 0 and 3"
    CHECK (doubt BETWEEN 0 AND 3);
ALTER TABLE comb_piece ADD COLUMN area_cm2 DOUBLE
    CONSTRAINT "the area of comb is above 0 and at most 100000 square centimetres"
    CHECK (area_cm2 IS NULL OR (area_cm2 > 0 AND area_cm2 <= 100000));
ALTER TABLE comb_piece ADD COLUMN stands_from DATETIME
    CONSTRAINT "comb stands from an instant in UTC, as 2026-08-04T06:30:00.000Z"
    CHECK (stands_from IS NULL OR stands_from IS {utc stands_from});
ALTER TABLE comb_piece ADD COLUMN stands_to DATETIME
    CONSTRAINT "comb stands to an instant in UTC, as 2026-08-04T06:30:00.000Z, no sooner than from"
    CHECK (stands_to IS NULL OR (stands_to IS {utc stands_to}
                                 AND (stands_from IS NULL OR stands_to >= stands_from)));
ALTER TABLE comb_piece ADD COLUMN sealed_least_days DOUBLE
    CONSTRAINT "the least age of sealed brood is between 0 and 60 days"
    CHECK (sealed_least_days IS NULL OR sealed_least_days BETWEEN 0 AND 60);
ALTER TABLE comb_piece ADD COLUMN sealed_most_days DOUBLE
    CONSTRAINT "the greatest age of sealed brood is at most 60 days and not below the least"
    CHECK (sealed_most_days IS NULL OR (sealed_most_days BETWEEN 0 AND 60
           AND sealed_most_days >= coalesce(sealed_least_days, 0)));
ALTER TABLE comb_piece ADD COLUMN nurses BOOLEAN
    CONSTRAINT "nurses is 0 or 1" CHECK (nurses IS NULL OR nurses IN (0, 1));

INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES
    ('habitat', 'attributes', 'Habitats', 'Where comb stands warm until its brood has emerged', 0),
    ('habitat_reading', 'attributes', 'Habitat readings', 'Temperature log of a habitat', 0);

INSERT INTO gpkg_data_column_constraints VALUES
    ('cells_counted', 'enum', 'counted', NULL, NULL, NULL, NULL, 'cell by cell'),
    ('cells_counted', 'enum', 'estimated', NULL, NULL, NULL, NULL, 'by eye'),
    ('cells_counted', 'enum', 'area', NULL, NULL, NULL, NULL, 'from the size of the comb'),
    ('cells_counted', 'enum', 'photograph', NULL, NULL, NULL, NULL, 'from an outline on a photograph');

INSERT INTO gpkg_data_columns
    (table_name, column_name, name, title, description, constraint_name) VALUES
    ('habitat', 'fid', 'fid', 'Row', 'Row number in this file; means nothing elsewhere', NULL),
    ('habitat', 'id', 'id', 'Key', 'UUID, version 7', NULL),
    ('habitat', 'created_at', 'created_at', 'Created', 'When the row was first written; instant in UTC', NULL),
    ('habitat', 'changed_at', 'changed_at', 'Changed', 'When the row was last written; instant in UTC', NULL),
    ('habitat', 'name', 'name', 'Name', 'By which combs name it', NULL),
    ('habitat', 'place', 'place', 'Place', 'Habitats at one place are served in one round', NULL),
    ('habitat', 'trip_min', 'trip_min', 'Trip', 'Minutes there and back for its own sake', NULL),
    ('habitat', 'passing_min', 'passing_min', 'In passing', 'Minutes there on a day when a crew drives anyway', NULL),
    ('habitat', 'combs', 'combs', 'Combs', 'How many it has room for', NULL),
    ('habitat', 'cells', 'cells', 'Cells', 'How many it has room for', NULL),
    ('habitat', 'set_point_c', 'set_point_c', 'Set point', 'Degrees Celsius that it is held at', NULL),
    ('habitat', 'active', 'active', 'Active', 'Whether it is in use', NULL),
    ('habitat', 'note', 'note', 'Note', 'Anything else', NULL),
    ('habitat_reading', 'fid', 'fid', 'Row', 'Row number in this file; means nothing elsewhere', NULL),
    ('habitat_reading', 'habitat_id', 'habitat_id', 'Habitat', 'UUID of the habitat', NULL),
    ('habitat_reading', 'at', 'at', 'At', 'Instant of the reading, in UTC', NULL),
    ('habitat_reading', 'temperature_c', 'temperature_c', 'Temperature', 'Degrees Celsius', NULL),
    ('habitat_reading', 'humidity', 'humidity', 'Humidity', 'Relative humidity, a share from 0 to 1', NULL),
    ('habitat_reading', 'created_at', 'created_at', 'Created', 'When the row was first written; instant in UTC', NULL),
    ('habitat_reading', 'changed_at', 'changed_at', 'Changed', 'When the row was last written; instant in UTC', NULL),
    ('comb_piece', 'counted', 'counted', 'Counted', 'How the cells were counted', 'cells_counted'),
    ('comb_piece', 'doubt', 'doubt', 'Doubt', 'Standard deviation of the logarithm of the counts', NULL),
    ('comb_piece', 'area_cm2', 'area_cm2', 'Area', 'Square centimetres of comb', NULL),
    ('comb_piece', 'stands_from', 'stands_from', 'Stands from', 'When it was put into its habitat; instant in UTC', NULL),
    ('comb_piece', 'stands_to', 'stands_to', 'Stands to', 'When it was taken out and the habitat cleaned; instant in UTC', NULL),
    ('comb_piece', 'sealed_least_days', 'sealed_least_days', 'Sealed at least', 'Days since the last cell was sealed, when known', NULL),
    ('comb_piece', 'sealed_most_days', 'sealed_most_days', 'Sealed at most', 'Days since the first cell was sealed, when known', NULL),
    ('comb_piece', 'nurses', 'nurses', 'Nurses', 'Whether workers were left on the comb', NULL);
