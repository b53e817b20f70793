-- Schema 6: photos, the steps of a visit as a phone sends them, and who did what, so that the last
-- change of each person can be taken back.

-- A photo is private: it may show a house, a face or a number plate. It leaves the book only when it
-- is asked for by name.
CREATE TABLE photo (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    call_id TEXT(36) REFERENCES call(id),
    nest_id TEXT(36) REFERENCES nest(id),
    visit_id TEXT(36) REFERENCES visit(id),
    taken_at DATETIME,
    lon_deg DOUBLE,
    lat_deg DOUBLE,
    width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL,
    who TEXT,
    note TEXT,
    content_type TEXT NOT NULL,
    data BLOB NOT NULL,
    CONSTRAINT "a photo is a JPEG, PNG or WebP"
        CHECK (content_type IN ('image/jpeg', 'image/png', 'image/webp')),
    CONSTRAINT "a photo has between 1 byte and 12 MB"
        CHECK (typeof(data) = 'blob' AND length(data) BETWEEN 1 AND 12000000),
    CONSTRAINT "a photo is taken at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (taken_at IS NULL OR taken_at IS {utc taken_at}),
    CONSTRAINT "the place of a photo is a longitude and a latitude in degrees, or neither"
        CHECK ((lon_deg IS NULL AND lat_deg IS NULL)
               OR (lon_deg BETWEEN -180 AND 180 AND lat_deg BETWEEN -90 AND 90)),
    CONSTRAINT "a photo is between 1 and 65535 pixels wide and high"
        CHECK (typeof(width_px) = 'integer' AND width_px BETWEEN 1 AND 65535
               AND typeof(height_px) = 'integer' AND height_px BETWEEN 1 AND 65535),
    {row_checks}
);
CREATE INDEX photo_by_call ON photo(call_id);
CREATE INDEX photo_by_nest ON photo(nest_id);
CREATE INDEX photo_by_visit ON photo(visit_id);

-- One row a step, its key made where it was entered: sent twice it is there once.
CREATE TABLE visit_step (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    call_id TEXT(36) NOT NULL REFERENCES call(id),
    visit_id TEXT(36) NOT NULL REFERENCES visit(id),
    step TEXT NOT NULL,
    at DATETIME NOT NULL,
    who TEXT,
    figures TEXT,
    made_id TEXT(36),
    CONSTRAINT "a step is arrive, from_the_ground, ladder, catch, comb, clean_up or done"
        CHECK (step IN ('arrive', 'from_the_ground', 'ladder', 'catch', 'comb', 'clean_up', 'done')),
    CONSTRAINT "a step is made at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (at IS {utc at}),
    {row_checks}
);
CREATE INDEX visit_step_by_call ON visit_step(call_id, at);

-- What a person did in one change. Only the last of each person can be taken back, and only as long
-- as nobody has written to the same rows since; what stood before is forgotten with the next one.
CREATE TABLE deed (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    who TEXT NOT NULL,
    words TEXT NOT NULL,
    state TEXT NOT NULL,
    CONSTRAINT "a deed names who did it and what it was"
        CHECK (length(who) BETWEEN 1 AND 80 AND length(words) > 0),
    CONSTRAINT "a deed is open, final, followed or undone"
        CHECK (state IN ('open', 'final', 'followed', 'undone')),
    {row_checks}
);
CREATE INDEX deed_by_who ON deed(who, state);

CREATE TABLE deed_row (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    deed_id TEXT(36) NOT NULL REFERENCES deed(id),
    number INTEGER NOT NULL,
    row_table TEXT NOT NULL,
    row_id TEXT(36) NOT NULL,
    stood TEXT,
    stands TEXT,
    CONSTRAINT "the rows of a deed are numbered" UNIQUE (deed_id, number)
);
CREATE INDEX deed_row_by_row ON deed_row(row_id);

-- OGC 18-000: which photos belong to which call, nest and visit, by row numbers, for any GIS.
CREATE TABLE gpkgext_relations (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    base_table_name TEXT NOT NULL,
    base_primary_column TEXT NOT NULL DEFAULT 'id',
    related_table_name TEXT NOT NULL,
    related_primary_column TEXT NOT NULL DEFAULT 'id',
    relation_name TEXT NOT NULL,
    mapping_table_name TEXT NOT NULL UNIQUE
);
CREATE VIEW call_photo AS
    SELECT c.fid AS base_id, p.fid AS related_id FROM photo p JOIN call c ON c.id = p.call_id;
CREATE VIEW nest_photo AS
    SELECT n.fid AS base_id, p.fid AS related_id FROM photo p JOIN nest n ON n.id = p.nest_id;
CREATE VIEW visit_photo AS
    SELECT v.fid AS base_id, p.fid AS related_id FROM photo p JOIN visit v ON v.id = p.visit_id;
INSERT INTO gpkgext_relations (base_table_name, base_primary_column, related_table_name,
                               related_primary_column, relation_name, mapping_table_name) VALUES
    ('call', 'fid', 'photo', 'fid', 'media', 'call_photo'),
    ('nest', 'fid', 'photo', 'fid', 'media', 'nest_photo'),
    ('visit', 'fid', 'photo', 'fid', 'media', 'visit_photo');
INSERT INTO gpkg_extensions VALUES
    ('gpkgext_relations', NULL, 'gpkg_related_tables', 'http://www.geopackage.org/18-000.html', 'read-write'),
    ('call_photo', NULL, 'gpkg_related_tables', 'http://www.geopackage.org/18-000.html', 'read-write'),
    ('nest_photo', NULL, 'gpkg_related_tables', 'http://www.geopackage.org/18-000.html', 'read-write'),
    ('visit_photo', NULL, 'gpkg_related_tables', 'http://www.geopackage.org/18-000.html', 'read-write');

INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES
    ('photo', 'attributes', 'Photos', 'Pictures of nests; private, they leave the book only when asked for by name', 0),
    ('visit_step', 'attributes', 'Steps of visits', 'What was done at a nest, as it was entered there', 0),
    ('deed', 'attributes', 'Deeds', 'Who changed what; the last one of each person can be taken back', 0),
    ('deed_row', 'attributes', 'Rows of deeds', 'Which rows a deed wrote, and what stood there', 0);

INSERT INTO gpkg_data_column_constraints VALUES
    ('visit_step', 'enum', 'arrive', NULL, NULL, NULL, NULL, 'the crew is there'),
    ('visit_step', 'enum', 'from_the_ground', NULL, NULL, NULL, NULL, 'worked from the ground'),
    ('visit_step', 'enum', 'ladder', NULL, NULL, NULL, NULL, 'worked from a ladder'),
    ('visit_step', 'enum', 'catch', NULL, NULL, NULL, NULL, 'wasps were frozen'),
    ('visit_step', 'enum', 'comb', NULL, NULL, NULL, NULL, 'comb was taken alive'),
    ('visit_step', 'enum', 'clean_up', NULL, NULL, NULL, NULL, 'the place was cleaned'),
    ('visit_step', 'enum', 'done', NULL, NULL, NULL, NULL, 'the visit is over');

INSERT INTO gpkg_data_columns
    (table_name, column_name, name, title, description, mime_type, constraint_name) VALUES
    ('photo', 'call_id', 'call_id', 'Call', 'UUID of the call', NULL, NULL),
    ('photo', 'nest_id', 'nest_id', 'Nest', 'UUID of the nest', NULL, NULL),
    ('photo', 'visit_id', 'visit_id', 'Visit', 'UUID of the visit', NULL, NULL),
    ('photo', 'taken_at', 'taken_at', 'Taken', 'Instant in UTC, as the camera says', NULL, NULL),
    ('photo', 'lon_deg', 'lon_deg', 'Longitude', 'Of the camera, as it says; degrees on WGS 84', NULL, NULL),
    ('photo', 'lat_deg', 'lat_deg', 'Latitude', 'Of the camera, as it says; degrees on WGS 84', NULL, NULL),
    ('photo', 'width_px', 'width_px', 'Width', 'Pixels', NULL, NULL),
    ('photo', 'height_px', 'height_px', 'Height', 'Pixels', NULL, NULL),
    ('photo', 'who', 'who', 'Who', 'Who entered it', NULL, NULL),
    ('photo', 'note', 'note', 'Note', 'Free words', NULL, NULL),
    ('photo', 'content_type', 'content_type', 'Form', 'Media type of the picture', NULL, NULL),
    ('photo', 'data', 'data', 'Picture', 'The file as it came', NULL, NULL),
    ('visit_step', 'call_id', 'call_id', 'Call', 'UUID of the call', NULL, NULL),
    ('visit_step', 'visit_id', 'visit_id', 'Visit', 'UUID of the visit', NULL, NULL),
    ('visit_step', 'step', 'step', 'Step', 'What was done', NULL, 'visit_step'),
    ('visit_step', 'at', 'at', 'At', 'Instant in UTC', NULL, NULL),
    ('visit_step', 'who', 'who', 'Who', 'Who entered it', NULL, NULL),
    ('visit_step', 'figures', 'figures', 'Figures', 'What was entered with it, as JSON', NULL, NULL),
    ('visit_step', 'made_id', 'made_id', 'Made', 'UUID of the catch or comb that it made', NULL, NULL),
    ('deed', 'who', 'who', 'Who', 'Who did it', NULL, NULL),
    ('deed', 'words', 'words', 'Words', 'What it was', NULL, NULL),
    ('deed', 'state', 'state', 'State', 'open: can be taken back; final: cannot; followed: another came after; undone', NULL, NULL),
    ('deed_row', 'deed_id', 'deed_id', 'Deed', 'UUID of the deed', NULL, NULL),
    ('deed_row', 'number', 'number', 'Number', 'In the order of writing', NULL, NULL),
    ('deed_row', 'row_table', 'row_table', 'Table', 'That was written to', NULL, NULL),
    ('deed_row', 'row_id', 'row_id', 'Row', 'UUID of the row', NULL, NULL),
    ('deed_row', 'stood', 'stood', 'Stood', 'The row before; empty when there was none', NULL, NULL),
    ('deed_row', 'stands', 'stands', 'Stands', 'The row after', NULL, NULL);

INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description)
    SELECT t.table_name, c.name, c.name,
           CASE c.name WHEN 'fid' THEN 'Row' WHEN 'id' THEN 'Key'
                       WHEN 'created_at' THEN 'Created' ELSE 'Changed' END,
           CASE c.name WHEN 'fid' THEN 'Row number in this file; means nothing elsewhere'
                       WHEN 'id' THEN 'UUID; the key between books'
                       WHEN 'created_at' THEN 'When the row was first written; instant in UTC'
                       ELSE 'When the row was last written; instant in UTC' END
      FROM gpkg_contents t JOIN pragma_table_info(t.table_name) c
     WHERE t.table_name IN ('photo', 'visit_step', 'deed', 'deed_row')
       AND c.name IN ('fid', 'id', 'created_at', 'changed_at');
