-- Schema 7: what partners sent. It stays apart from the crew's own nests: nothing here is a call, and
-- nothing of it is ever shared further.

-- One layer of one file. Its id is made from partner, bytes and layer, so that two books that read the
-- same file hold the same row.
CREATE TABLE partner_import (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    partner TEXT NOT NULL,
    file TEXT NOT NULL,
    sha256 TEXT(64) NOT NULL,
    layer TEXT NOT NULL,
    crs TEXT NOT NULL,
    read_on DATE NOT NULL,
    rows_read INTEGER NOT NULL,
    rows_refused INTEGER NOT NULL,
    CONSTRAINT "an import names its partner and file"
        CHECK (length(partner) BETWEEN 1 AND 80 AND length(file) BETWEEN 1 AND 255),
    CONSTRAINT "a digest is 64 hexadecimal digits in lower case"
        CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*'),
    CONSTRAINT "an import is of a day, as 2026-08-04" CHECK (read_on IS {day read_on}),
    CONSTRAINT "rows are counted from 0"
        CHECK (typeof(rows_read) = 'integer' AND rows_read >= 0
               AND typeof(rows_refused) = 'integer' AND rows_refused >= 0),
    {row_checks}
);

-- The id is made from partner and the sender's own key, so that a newer file finds its rows again.
CREATE TABLE partner_nest (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    geom POINT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    import_id TEXT(36) NOT NULL REFERENCES partner_import(id),
    place_form TEXT NOT NULL DEFAULT 'point',
    uncertainty_m DOUBLE,
    row_number INTEGER NOT NULL,
    source_key TEXT,
    taxon TEXT,
    taxon_as_sent TEXT,
    date_as_sent TEXT,
    first_on DATE,
    last_on DATE,
    season INTEGER,
    count INTEGER,
    note TEXT,
    decision TEXT NOT NULL DEFAULT 'open',
    nest_id TEXT(36) REFERENCES nest(id),
    decided_by TEXT,
    decided_at DATETIME,
    {point_check},
    CONSTRAINT "a place is a point or the middle of a cell" CHECK (place_form IN ('point', 'cell')),
    CONSTRAINT "the uncertainty of a place is above 0 m and at most 1000 km; leave it empty when unknown"
        CHECK (uncertainty_m IS NULL OR (uncertainty_m > 0 AND uncertainty_m <= 1000000)),
    CONSTRAINT "rows of a file are numbered from 1"
        CHECK (typeof(row_number) = 'integer' AND row_number >= 1),
    CONSTRAINT "a partner's date means days from one to another, as 2026-08-01 to 2026-08-31"
        CHECK ((first_on IS NULL AND last_on IS NULL)
               OR (first_on IS NOT NULL AND last_on IS NOT NULL AND first_on IS {day first_on}
                   AND last_on IS {day last_on} AND first_on <= last_on)),
    CONSTRAINT "a season is a year between 1800 and 2200"
        CHECK (season IS NULL OR (typeof(season) = 'integer' AND season BETWEEN 1800 AND 2200)),
    CONSTRAINT "a count of nests is between 1 and 1000000"
        CHECK (count IS NULL OR (typeof(count) = 'integer' AND count BETWEEN 1 AND 1000000)),
    CONSTRAINT "a decision is open, same, other or refused"
        CHECK (decision IN ('open', 'same', 'other', 'refused')),
    CONSTRAINT "a nest is named with the decision same, and only then"
        CHECK ((decision = 'same') = (nest_id IS NOT NULL)),
    CONSTRAINT "a decision has its instant in UTC, as 2026-08-04T06:30:00.000Z; an open one has none"
        CHECK ((decision = 'open' AND decided_at IS NULL)
               OR (decision <> 'open' AND decided_at IS NOT NULL AND decided_at IS {utc decided_at})),
    {row_checks}
);
CREATE INDEX partner_nest_by_import ON partner_nest(import_id);
CREATE INDEX partner_nest_by_nest ON partner_nest(nest_id);
CREATE INDEX partner_nest_by_decision ON partner_nest(decision);

INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES
    ('partner_import', 'attributes', 'Files of partners', 'Which layers of which files were read', 0),
    ('partner_nest', 'features', 'Nests of partners', 'Nests as partners sent them; not ours, and never shared further', 4326);
INSERT INTO gpkg_geometry_columns VALUES ('partner_nest', 'geom', 'POINT', 4326, 0, 0);

INSERT INTO gpkg_data_column_constraints VALUES
    ('place_form', 'enum', 'point', NULL, NULL, NULL, NULL, 'somewhere around the point'),
    ('place_form', 'enum', 'cell', NULL, NULL, NULL, NULL, 'anywhere in an area of which this is the middle'),
    ('partner_decision', 'enum', 'open', NULL, NULL, NULL, NULL, 'nobody has decided'),
    ('partner_decision', 'enum', 'same', NULL, NULL, NULL, NULL, 'the same colony as a nest of ours'),
    ('partner_decision', 'enum', 'other', NULL, NULL, NULL, NULL, 'a nest that is not ours'),
    ('partner_decision', 'enum', 'refused', NULL, NULL, NULL, NULL, 'not a nest, or not worth keeping');

INSERT INTO gpkg_data_columns
    (table_name, column_name, name, title, description, mime_type, constraint_name) VALUES
    ('partner_import', 'partner', 'partner', 'Partner', 'Who sent it, as the crew calls them', NULL, NULL),
    ('partner_import', 'file', 'file', 'File', 'Its name, without folders', NULL, NULL),
    ('partner_import', 'sha256', 'sha256', 'Digest', 'SHA-256 of its bytes', NULL, NULL),
    ('partner_import', 'layer', 'layer', 'Layer', 'That was read', NULL, NULL),
    ('partner_import', 'crs', 'crs', 'System', 'Of its coordinates; they were turned into WGS 84', NULL, NULL),
    ('partner_import', 'read_on', 'read_on', 'Read', 'Day', NULL, NULL),
    ('partner_import', 'rows_read', 'rows_read', 'Rows', 'That were taken or already there', NULL, NULL),
    ('partner_import', 'rows_refused', 'rows_refused', 'Refused', 'Rows that could not be taken', NULL, NULL),
    ('partner_nest', 'geom', 'geom', 'Place', 'Longitude and latitude in degrees, WGS 84', NULL, NULL),
    ('partner_nest', 'import_id', 'import_id', 'Import', 'UUID of the import that last wrote it', NULL, NULL),
    ('partner_nest', 'place_form', 'place_form', 'Place is', 'A point, or the middle of a cell', NULL, 'place_form'),
    ('partner_nest', 'uncertainty_m', 'uncertainty_m', 'Uncertainty', 'Radius in metres within which the nest lies; empty when not sent', NULL, NULL),
    ('partner_nest', 'row_number', 'row_number', 'Row in the file', 'From 1', NULL, NULL),
    ('partner_nest', 'source_key', 'source_key', 'Sender''s key', 'The sender''s own id of it', NULL, NULL),
    ('partner_nest', 'taxon', 'taxon', 'Taxon', 'Code of the wasp; empty when not known here', NULL, NULL),
    ('partner_nest', 'taxon_as_sent', 'taxon_as_sent', 'Taxon as sent', 'As the sender spelled it', NULL, NULL),
    ('partner_nest', 'date_as_sent', 'date_as_sent', 'Date as sent', 'As the sender wrote it', NULL, NULL),
    ('partner_nest', 'first_on', 'first_on', 'From', 'First of the days that the date may mean', NULL, NULL),
    ('partner_nest', 'last_on', 'last_on', 'To', 'Last of the days that the date may mean', NULL, NULL),
    ('partner_nest', 'season', 'season', 'Season', 'Year in which the colony peaks, where it was sent', NULL, NULL),
    ('partner_nest', 'count', 'count', 'Nests', 'How many it stands for; empty when not sent', NULL, NULL),
    ('partner_nest', 'note', 'note', 'Note', 'What was left out or understood otherwise', NULL, NULL),
    ('partner_nest', 'decision', 'decision', 'Decision', 'What the crew thinks of it', NULL, 'partner_decision'),
    ('partner_nest', 'nest_id', 'nest_id', 'Nest', 'UUID of the nest of ours that it is', NULL, NULL),
    ('partner_nest', 'decided_by', 'decided_by', 'Decided by', 'Who', NULL, NULL),
    ('partner_nest', 'decided_at', 'decided_at', 'Decided', 'Instant in UTC', NULL, NULL);

INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description)
    SELECT t.table_name, c.name, c.name,
           CASE c.name WHEN 'fid' THEN 'Row' WHEN 'id' THEN 'Key'
                       WHEN 'created_at' THEN 'Created' ELSE 'Changed' END,
           CASE c.name WHEN 'fid' THEN 'Row number in this file; means nothing elsewhere'
                       WHEN 'id' THEN 'UUID; the key between books'
                       WHEN 'created_at' THEN 'When the row was first written; instant in UTC'
                       ELSE 'When the row was last written; instant in UTC' END
      FROM gpkg_contents t JOIN pragma_table_info(t.table_name) c
     WHERE t.table_name IN ('partner_import', 'partner_nest')
       AND c.name IN ('fid', 'id', 'created_at', 'changed_at');
