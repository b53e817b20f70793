-- Schema 8: what two books need to become one: the versions that each row had before, what was
-- decided where both had changed it, and the chain of sealed lots that the other book had.

-- Past versions, written by triggers (history.cpp), so that programs of other makers write them too:
-- "name value name value ..." with values as quote() gives them. A row that is in here and no longer
-- in its table was removed.
CREATE TABLE row_version (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    row_table TEXT NOT NULL,
    row_id TEXT NOT NULL,
    changed_at DATETIME NOT NULL,
    content TEXT NOT NULL,
    CONSTRAINT "a version was written at an instant in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (changed_at IS {utc changed_at})
);
CREATE INDEX row_version_by_row ON row_version(row_table, row_id);

-- A field that was changed in two books. Neither value is ours or theirs here: the table reads the
-- same in both books.
CREATE TABLE merge_conflict (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    row_table TEXT NOT NULL,
    row_id TEXT NOT NULL,
    field TEXT,
    first TEXT NOT NULL,
    first_at DATETIME,
    second TEXT NOT NULL,
    second_at DATETIME,
    stands TEXT NOT NULL,
    grounds TEXT NOT NULL,
    who TEXT,
    CONSTRAINT "the first or the second value stands, or neither when it was entered anew"
        CHECK (stands IN ('first', 'second', 'neither')),
    CONSTRAINT "a conflict is decided by newer, rule, says more, sealed or hand"
        CHECK (grounds IN ('newer', 'rule', 'says more', 'sealed', 'hand')),
    CONSTRAINT "values of a conflict were written at instants in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK ((first_at IS NULL OR first_at IS {utc first_at})
               AND (second_at IS NULL OR second_at IS {utc second_at})),
    {row_checks}
);
CREATE INDEX merge_conflict_by_row ON merge_conflict(row_table, row_id);

-- Links of the chains of other books that were taken in: the hash on a certificate from there is
-- still found. Each record is in lot_chain too, in a link of this book.
CREATE TABLE lot_chain_branch (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    number INTEGER NOT NULL,
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
               AND length(previous) = 64 AND previous NOT GLOB '*[^0-9a-f]*')
);

CREATE TRIGGER lot_chain_branch_is_not_edited BEFORE UPDATE ON lot_chain_branch
BEGIN SELECT RAISE(ABORT, 'a link of the chain is never edited'); END;

CREATE TRIGGER lot_chain_branch_is_not_deleted BEFORE DELETE ON lot_chain_branch
BEGIN SELECT RAISE(ABORT, 'a link of the chain is never deleted'); END;

CREATE TRIGGER lot_chain_branch_is_not_replaced BEFORE INSERT ON lot_chain_branch
WHEN EXISTS (SELECT 1 FROM lot_chain_branch WHERE hash = NEW.hash OR fid = NEW.fid)
BEGIN SELECT RAISE(ABORT, 'this record is in the chain already'); END;

INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES
    ('row_version', 'attributes', 'Past versions', 'What rows said before; private', 0),
    ('merge_conflict', 'attributes', 'Conflicts', 'Fields that two books had changed, and what was decided; private', 0),
    ('lot_chain_branch', 'attributes', 'Chains taken in', 'Links of the chains of sealed lots of other books', 0);

INSERT INTO gpkg_data_column_constraints VALUES
    ('conflict_stands', 'enum', 'first', NULL, NULL, NULL, NULL, 'the first value'),
    ('conflict_stands', 'enum', 'second', NULL, NULL, NULL, NULL, 'the second value'),
    ('conflict_stands', 'enum', 'neither', NULL, NULL, NULL, NULL, 'another value was entered since'),
    ('conflict_grounds', 'enum', 'newer', NULL, NULL, NULL, NULL, 'its row was changed later'),
    ('conflict_grounds', 'enum', 'rule', NULL, NULL, NULL, NULL, 'one book was asked to prevail'),
    ('conflict_grounds', 'enum', 'says more', NULL, NULL, NULL, NULL, 'the other says nothing'),
    ('conflict_grounds', 'enum', 'sealed', NULL, NULL, NULL, NULL, 'something sealed rests on it'),
    ('conflict_grounds', 'enum', 'hand', NULL, NULL, NULL, NULL, 'a person decided');

INSERT INTO gpkg_data_columns
    (table_name, column_name, name, title, description, constraint_name) VALUES
    ('row_version', 'row_table', 'row_table', 'Table', 'Of the row', NULL),
    ('row_version', 'row_id', 'row_id', 'Row', 'UUID of the row', NULL),
    ('row_version', 'content', 'content', 'Content', 'Name and value of each column', NULL),
    ('merge_conflict', 'row_table', 'row_table', 'Table', 'Of the row', NULL),
    ('merge_conflict', 'row_id', 'row_id', 'Row', 'UUID of the row', NULL),
    ('merge_conflict', 'field', 'field', 'Field', 'The column; empty when it is of the row as a whole', NULL),
    ('merge_conflict', 'first', 'first', 'First', 'The value of the one book, as SQL writes it', NULL),
    ('merge_conflict', 'first_at', 'first_at', 'First at', 'When that row was written; instant in UTC', NULL),
    ('merge_conflict', 'second', 'second', 'Second', 'The value of the other book, as SQL writes it', NULL),
    ('merge_conflict', 'second_at', 'second_at', 'Second at', 'When that row was written; instant in UTC', NULL),
    ('merge_conflict', 'stands', 'stands', 'Stands', 'Which of the two', 'conflict_stands'),
    ('merge_conflict', 'grounds', 'grounds', 'Grounds', 'Why it stands', 'conflict_grounds'),
    ('merge_conflict', 'who', 'who', 'Who', 'Who decided by hand', NULL),
    ('lot_chain_branch', 'number', 'number', 'Number', 'Place in the chain it is of', NULL),
    ('lot_chain_branch', 'at', 'at', 'At', 'When it was added there; instant in UTC', NULL),
    ('lot_chain_branch', 'kind', 'kind', 'Kind', 'What the link is of', NULL),
    ('lot_chain_branch', 'row_id', 'row_id', 'Row', 'UUID of the row', NULL),
    ('lot_chain_branch', 'record', 'record', 'Record', 'What was written down', NULL),
    ('lot_chain_branch', 'previous', 'previous', 'Previous', 'Hash of the link before', NULL),
    ('lot_chain_branch', 'hash', 'hash', 'Hash', 'SHA-256 of the link', NULL);

INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description)
    SELECT t.table_name, c.name, c.name,
           CASE c.name WHEN 'fid' THEN 'Row' WHEN 'id' THEN 'Key'
                       WHEN 'created_at' THEN 'Created' ELSE 'Changed' END,
           CASE c.name WHEN 'fid' THEN 'Row number in this file; means nothing elsewhere'
                       WHEN 'id' THEN 'UUID; the key between books'
                       WHEN 'created_at' THEN 'When the row was first written; instant in UTC'
                       ELSE 'When the row was last written; instant in UTC' END
      FROM gpkg_contents t JOIN pragma_table_info(t.table_name) c
     WHERE t.table_name IN ('row_version', 'merge_conflict', 'lot_chain_branch')
       AND c.name IN ('fid', 'id', 'created_at', 'changed_at');
