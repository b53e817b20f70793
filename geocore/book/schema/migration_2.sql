-- Schema 2: what decides how a nest is reached: the ground before it, what it hangs on, power lines,
-- and what kind of ladder a ladder is.

ALTER TABLE nest ADD COLUMN set_back_m DOUBLE
    CONSTRAINT "the set-back of a nest is between 0 and 20 m"
    CHECK (set_back_m IS NULL OR set_back_m BETWEEN 0 AND 20);
ALTER TABLE nest ADD COLUMN step_m DOUBLE
    CONSTRAINT "the step in the ground before a nest is between -10 and 10 m"
    CHECK (step_m IS NULL OR step_m BETWEEN -10 AND 10);
ALTER TABLE nest ADD COLUMN slope_degrees DOUBLE
    CONSTRAINT "the ground before a nest falls by between -60 and 60 degrees"
    CHECK (slope_degrees IS NULL OR slope_degrees BETWEEN -60 AND 60);
ALTER TABLE nest ADD COLUMN structure TEXT NOT NULL DEFAULT 'unknown'
    CONSTRAINT "the structure is unknown, gable, soffit, wall, tree, ground, void or other"
    CHECK (structure IN ('unknown', 'gable', 'soffit', 'wall', 'tree', 'ground', 'void', 'other'));
ALTER TABLE nest ADD COLUMN power_lines TEXT NOT NULL DEFAULT 'unknown'
    CONSTRAINT "power lines are unknown, none_seen or near"
    CHECK (power_lines IN ('unknown', 'none_seen', 'near'));
ALTER TABLE nest ADD COLUMN power_line_m DOUBLE
    CONSTRAINT "the distance of a power line is between 0 and 200 m"
    CHECK (power_line_m IS NULL OR power_line_m BETWEEN 0 AND 200);
ALTER TABLE gear ADD COLUMN ladder_type TEXT NOT NULL DEFAULT 'unknown'
    CONSTRAINT "the type of a ladder is unknown, single, extension or step"
    CHECK (ladder_type IN ('unknown', 'single', 'extension', 'step'));

INSERT INTO gpkg_data_column_constraints VALUES
    ('structure', 'enum', 'unknown', NULL, NULL, NULL, NULL, 'not known'),
    ('structure', 'enum', 'gable', NULL, NULL, NULL, NULL, 'under the peak of a gable'),
    ('structure', 'enum', 'soffit', NULL, NULL, NULL, NULL, 'under the eaves'),
    ('structure', 'enum', 'wall', NULL, NULL, NULL, NULL, 'on or in a wall'),
    ('structure', 'enum', 'tree', NULL, NULL, NULL, NULL, 'in a tree or shrub'),
    ('structure', 'enum', 'ground', NULL, NULL, NULL, NULL, 'in the ground'),
    ('structure', 'enum', 'void', NULL, NULL, NULL, NULL, 'in a closed hollow'),
    ('structure', 'enum', 'other', NULL, NULL, NULL, NULL, 'something else'),
    ('power_lines', 'enum', 'unknown', NULL, NULL, NULL, NULL, 'nobody has looked'),
    ('power_lines', 'enum', 'none_seen', NULL, NULL, NULL, NULL, 'somebody looked and saw none'),
    ('power_lines', 'enum', 'near', NULL, NULL, NULL, NULL, 'there is one'),
    ('ladder_type', 'enum', 'unknown', NULL, NULL, NULL, NULL, 'not known'),
    ('ladder_type', 'enum', 'single', NULL, NULL, NULL, NULL, 'one section, leaned'),
    ('ladder_type', 'enum', 'extension', NULL, NULL, NULL, NULL, 'two or more sections, leaned'),
    ('ladder_type', 'enum', 'step', NULL, NULL, NULL, NULL, 'stands by itself');

INSERT INTO gpkg_data_columns
    (table_name, column_name, name, title, description, constraint_name) VALUES
    ('nest', 'set_back_m', 'set_back_m', 'Set-back', 'Metres from below the nest to where a foot can stand: bed, wall, shrubs', NULL),
    ('nest', 'step_m', 'step_m', 'Step', 'Metres by which the ground inside the set-back lies above where one stands', NULL),
    ('nest', 'slope_degrees', 'slope_degrees', 'Slope', 'Degrees by which the ground falls away from the wall; negative: rises', NULL),
    ('nest', 'structure', 'structure', 'Structure', 'What the nest hangs on', 'structure'),
    ('nest', 'power_lines', 'power_lines', 'Power lines', 'Whether lines are near', 'power_lines'),
    ('nest', 'power_line_m', 'power_line_m', 'Power line at', 'Metres from the nest to the nearest line', NULL),
    ('gear', 'ladder_type', 'ladder_type', 'Type of ladder', 'How a ladder stands', 'ladder_type');
