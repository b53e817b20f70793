-- Schema 9: a call may want a second visit, for the foragers that were away at the first.

ALTER TABLE call ADD COLUMN second_after_min INTEGER
    CONSTRAINT "a second visit begins 0 to 1440 minutes after the first has ended"
    CHECK (second_after_min IS NULL OR (typeof(second_after_min) = 'integer'
                                        AND second_after_min BETWEEN 0 AND 1440));
ALTER TABLE call ADD COLUMN second_min INTEGER
    CONSTRAINT "the work of a second visit takes 1 to 720 minutes"
    CHECK (second_min IS NULL OR (typeof(second_min) = 'integer' AND second_min BETWEEN 1 AND 720));
ALTER TABLE call ADD COLUMN second_due_at DATETIME
    CONSTRAINT "a second visit is due from an instant in UTC, as 2026-08-04T06:30:00.000Z"
    CHECK (second_due_at IS NULL OR second_due_at IS {utc second_due_at});

INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description) VALUES
    ('call', 'second_after_min', 'second_after_min', 'Second visit after', 'Minutes from the end of the first visit to the second, on the same day; empty: none is asked for'),
    ('call', 'second_min', 'second_min', 'Second visit takes', 'Minutes of work; empty: as the settings say'),
    ('call', 'second_due_at', 'second_due_at', 'Second visit due', 'The first visit was made, and the second may begin from then; instant in UTC');
