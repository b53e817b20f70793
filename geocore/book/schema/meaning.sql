-- What each table and column means, for any GIS that reads the file: titles, meanings, units, and
-- the words or numbers a column may hold.

INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES
    ('site', 'features', 'Sites', 'Places where colonies live or lived', 4326),
    ('crew', 'features', 'Crews', 'Crews, drawn at the depot where their day begins and ends', 4326),
    ('weather_station', 'features', 'Weather stations', 'Stations whose daily readings are in the book', 4326),
    ('client', 'attributes', 'Clients', 'Who called; private, never leaves the book unless asked by name', 0),
    ('nest', 'attributes', 'Nests', 'One colony in one season at a site', 0),
    ('call', 'attributes', 'Calls', 'Requests that a nest be taken', 0),
    ('gear', 'attributes', 'Gear', 'What is on the trucks and in the store', 0),
    ('visit', 'attributes', 'Visits', 'What happened at a nest', 0),
    ('catch', 'attributes', 'Catches', 'What a visit brought frozen', 0),
    ('comb_piece', 'attributes', 'Comb', 'Comb that came home alive, its cells counted', 0),
    ('collection', 'attributes', 'Collections', 'What a piece of comb gave later', 0),
    ('lot', 'attributes', 'Lots', 'Bags of one species; never edited once sealed', 0),
    ('lot_parent', 'attributes', 'Parents of lots', 'The catches and collections a lot was filled from', 0),
    ('lot_correction', 'attributes', 'Corrections of lots', 'What was put right on a sealed lot, by whom, when and why', 0),
    ('lab_order', 'attributes', 'Orders', 'What laboratories want; private', 0),
    ('shipment', 'attributes', 'Shipments', 'What left', 0),
    ('shipment_lot', 'attributes', 'Lots in shipments', 'Which lot left in which shipment', 0),
    ('weather_day', 'attributes', 'Weather days', 'Daily lowest and highest air temperature; a missing day is a missing row', 0),
    ('setting', 'attributes', 'Settings', 'What the crew has set, by name', 0);

INSERT INTO gpkg_geometry_columns VALUES
    ('site', 'geom', 'POINT', 4326, 0, 0),
    ('crew', 'geom', 'POINT', 4326, 0, 0),
    ('weather_station', 'geom', 'POINT', 4326, 0, 0);

INSERT INTO gpkg_data_column_constraints VALUES
    ('nest_kind', 'enum', 'unknown', NULL, NULL, NULL, NULL, 'not known'),
    ('nest_kind', 'enum', 'aerial', NULL, NULL, NULL, NULL, 'hung free on a structure or plant'),
    ('nest_kind', 'enum', 'ground', NULL, NULL, NULL, NULL, 'in the ground'),
    ('nest_kind', 'enum', 'void', NULL, NULL, NULL, NULL, 'in a closed hollow: wall, roof, tree'),
    ('call_state', 'enum', 'waiting', NULL, NULL, NULL, NULL, 'still to be taken'),
    ('call_state', 'enum', 'taken', NULL, NULL, NULL, NULL, 'the nest was taken'),
    ('call_state', 'enum', 'given_up', NULL, NULL, NULL, NULL, 'will not be taken'),
    ('ladder_permission', 'enum', 'unknown', NULL, NULL, NULL, NULL, 'not asked'),
    ('ladder_permission', 'enum', 'given', NULL, NULL, NULL, NULL, 'a ladder may be used'),
    ('ladder_permission', 'enum', 'refused', NULL, NULL, NULL, NULL, 'no ladder may be used'),
    ('gear_kind', 'enum', 'pole', NULL, NULL, NULL, NULL, 'pole for the vacuum'),
    ('gear_kind', 'enum', 'ladder', NULL, NULL, NULL, NULL, 'ladder'),
    ('gear_kind', 'enum', 'vacuum', NULL, NULL, NULL, NULL, 'vacuum'),
    ('gear_kind', 'enum', 'cold_box', NULL, NULL, NULL, NULL, 'box for dry ice'),
    ('gear_kind', 'enum', 'comb_box', NULL, NULL, NULL, NULL, 'box for living comb'),
    ('gear_kind', 'enum', 'suit', NULL, NULL, NULL, NULL, 'sting-proof suit'),
    ('gear_kind', 'enum', 'other', NULL, NULL, NULL, NULL, 'anything else'),
    ('work_method', 'enum', 'hand', NULL, NULL, NULL, NULL, 'by hand from the ground'),
    ('work_method', 'enum', 'ground_pole', NULL, NULL, NULL, NULL, 'with a pole from the ground'),
    ('work_method', 'enum', 'ladder', NULL, NULL, NULL, NULL, 'from a ladder'),
    ('work_method', 'enum', 'pole_then_ladder', NULL, NULL, NULL, NULL, 'with a pole first, then from a ladder'),
    ('work_method', 'enum', 'not_reached', NULL, NULL, NULL, NULL, 'the nest was not reached'),
    ('lot_purpose', 'enum', 'venom', NULL, NULL, NULL, NULL, 'for venom: no nest that had insecticide'),
    ('lot_purpose', 'enum', 'other', NULL, NULL, NULL, NULL, 'for anything else'),
    ('correction_field', 'enum', 'mass', NULL, NULL, NULL, NULL, 'the mass of the lot, in grams'),
    ('correction_field', 'enum', 'count', NULL, NULL, NULL, NULL, 'the count of wasps'),
    ('correction_field', 'enum', 'frozen_at', NULL, NULL, NULL, NULL, 'when the first of it was frozen'),
    ('correction_field', 'enum', 'container', NULL, NULL, NULL, NULL, 'the bag or box, and where it lies'),
    ('correction_field', 'enum', 'note', NULL, NULL, NULL, NULL, 'the note'),
    ('correction_field', 'enum', 'withdrawn', NULL, NULL, NULL, NULL, 'the lot must not be used or shipped'),
    ('order_state', 'enum', 'open', NULL, NULL, NULL, NULL, 'not yet filled'),
    ('order_state', 'enum', 'filled', NULL, NULL, NULL, NULL, 'all that was wanted has left'),
    ('order_state', 'enum', 'cancelled', NULL, NULL, NULL, NULL, 'no longer wanted');

INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description, constraint_name) VALUES
    ('client', 'name', 'name', 'Name', 'Name of the person or firm; private', NULL),
    ('client', 'phone', 'phone', 'Telephone', 'Telephone number as given; private', NULL),
    ('client', 'email', 'email', 'E-mail', 'E-mail address as given; private', NULL),
    ('client', 'note', 'note', 'Note', 'Free words', NULL),

    ('site', 'geom', 'geom', 'Place', 'Longitude and latitude in degrees, WGS 84', NULL),
    ('site', 'uncertainty_m', 'uncertainty_m', 'Uncertainty', 'Radius in metres within which the place lies; empty when unknown', NULL),
    ('site', 'label', 'label', 'Label', 'How the crew names the place', NULL),
    ('site', 'address', 'address', 'Address', 'Postal address; private', NULL),
    ('site', 'note', 'note', 'Note', 'Free words', NULL),

    ('nest', 'site_id', 'site_id', 'Site', 'UUID of the site', NULL),
    ('nest', 'season', 'season', 'Season', 'Year in which the colony peaks; in the southern hemisphere the later of the two', NULL),
    ('nest', 'taxon', 'taxon', 'Species', 'Code of the taxa table; empty when unknown', NULL),
    ('nest', 'kind', 'kind', 'Kind', 'Where the nest sits', 'nest_kind'),
    ('nest', 'height_m', 'height_m', 'Height', 'Metres above where one stands; negative below the ground', NULL),
    ('nest', 'width_m', 'width_m', 'Width', 'Metres across', NULL),
    ('nest', 'length_m', 'length_m', 'Length', 'Metres from top to bottom', NULL),
    ('nest', 'first_seen_on', 'first_seen_on', 'First seen', 'Day on which somebody first saw it', NULL),
    ('nest', 'entrance', 'entrance', 'Entrance', 'Where the wasps fly in, in words', NULL),
    ('nest', 'insecticide', 'insecticide', 'Insecticide', '1 when poison was used on it: nothing of it may enter a lot for venom', NULL),
    ('nest', 'note', 'note', 'Note', 'Free words', NULL),

    ('call', 'nest_id', 'nest_id', 'Nest', 'UUID of the nest', NULL),
    ('call', 'client_id', 'client_id', 'Client', 'UUID of the client; empty when unknown', NULL),
    ('call', 'received_on', 'received_on', 'Received', 'Day of the call', NULL),
    ('call', 'state', 'state', 'State', 'What became of it', 'call_state'),
    ('call', 'closed_on', 'closed_on', 'Closed', 'Day on which it was taken or given up', NULL),
    ('call', 'allowed_hours', 'allowed_hours', 'Allowed hours', 'Local clock times the client allows, as 08:00-12:00,14:00-18:00; empty means any', NULL),
    ('call', 'not_before_on', 'not_before_on', 'Not before', 'First day allowed', NULL),
    ('call', 'not_after_on', 'not_after_on', 'Not after', 'Last day allowed', NULL),
    ('call', 'ladder', 'ladder', 'Ladder', 'Whether a ladder may be used', 'ladder_permission'),
    ('call', 'near_door', 'near_door', 'Near a door', '1 when near a door or window in use', NULL),
    ('call', 'allergic', 'allergic', 'Allergic', '1 when somebody allergic to stings lives or works there', NULL),
    ('call', 'must_take', 'must_take', 'Promised', '1 when promised: on its day it is taken', NULL),
    ('call', 'source_key', 'source_key', 'Source key', 'Key in the file it came from, so that importing it twice adds it once', NULL),
    ('call', 'note', 'note', 'Note', 'Free words', NULL),

    ('crew', 'geom', 'geom', 'Depot', 'Where the day begins and ends: longitude and latitude in degrees, WGS 84', NULL),
    ('crew', 'name', 'name', 'Name', 'Name of the crew', NULL),
    ('crew', 'shift_begins', 'shift_begins', 'Shift begins', 'Local clock time, hours:minutes', NULL),
    ('crew', 'shift_ends', 'shift_ends', 'Shift ends', 'Local clock time, hours:minutes; above 24:00 after midnight', NULL),
    ('crew', 'people', 'people', 'People', 'How many people', NULL),
    ('crew', 'active', 'active', 'Active', '1 when it is planned for', NULL),
    ('crew', 'note', 'note', 'Note', 'Free words', NULL),

    ('gear', 'crew_id', 'crew_id', 'Crew', 'UUID of the crew whose truck it is on; empty: in the store', NULL),
    ('gear', 'kind', 'kind', 'Kind', 'What it is', 'gear_kind'),
    ('gear', 'label', 'label', 'Label', 'How the crew names it', NULL),
    ('gear', 'length_m', 'length_m', 'Length', 'Metres; of a pole the longest, of a ladder its nominal size', NULL),
    ('gear', 'load_rating_g', 'load_rating_g', 'Load rating', 'Grams; the most a ladder may carry', NULL),
    ('gear', 'mass_g', 'mass_g', 'Mass', 'Grams', NULL),
    ('gear', 'count', 'count', 'Count', 'How many', NULL),
    ('gear', 'note', 'note', 'Note', 'Free words', NULL),

    ('visit', 'nest_id', 'nest_id', 'Nest', 'UUID of the nest', NULL),
    ('visit', 'call_id', 'call_id', 'Call', 'UUID of the call it answered; may be empty', NULL),
    ('visit', 'crew_id', 'crew_id', 'Crew', 'UUID of the crew; may be empty', NULL),
    ('visit', 'begun_at', 'begun_at', 'Begun', 'Instant in UTC', NULL),
    ('visit', 'ended_at', 'ended_at', 'Ended', 'Instant in UTC', NULL),
    ('visit', 'method', 'method', 'Method', 'How the nest was worked', 'work_method'),
    ('visit', 'outcome', 'outcome', 'Outcome', 'What came of it, in words', NULL),
    ('visit', 'note', 'note', 'Note', 'Free words', NULL),

    ('catch', 'visit_id', 'visit_id', 'Visit', 'UUID of the visit', NULL),
    ('catch', 'taxon', 'taxon', 'Species', 'Code of the taxa table, as named in the hand; empty when unknown', NULL),
    ('catch', 'mass_g', 'mass_g', 'Mass', 'Grams of frozen wasps; empty when not weighed', NULL),
    ('catch', 'count', 'count', 'Count', 'Wasps counted; empty when not counted', NULL),
    ('catch', 'frozen_at', 'frozen_at', 'Frozen', 'Instant in UTC', NULL),
    ('catch', 'container', 'container', 'Container', 'Where it is', NULL),
    ('catch', 'note', 'note', 'Note', 'Free words', NULL),

    ('comb_piece', 'visit_id', 'visit_id', 'Visit', 'UUID of the visit', NULL),
    ('comb_piece', 'eggs', 'eggs', 'Eggs', 'Cells with an egg; empty when not counted', NULL),
    ('comb_piece', 'larvae', 'larvae', 'Larvae', 'Cells with a larva; empty when not counted', NULL),
    ('comb_piece', 'sealed_small', 'sealed_small', 'Sealed, small', 'Sealed worker-sized cells; empty when not counted', NULL),
    ('comb_piece', 'sealed_large', 'sealed_large', 'Sealed, large', 'Sealed queen-sized cells; empty when not counted', NULL),
    ('comb_piece', 'empty', 'empty', 'Empty', 'Empty cells; empty when not counted', NULL),
    ('comb_piece', 'habitat', 'habitat', 'Habitat', 'Where it is kept', NULL),
    ('comb_piece', 'note', 'note', 'Note', 'Free words', NULL),

    ('collection', 'comb_id', 'comb_id', 'Comb', 'UUID of the piece of comb', NULL),
    ('collection', 'collected_at', 'collected_at', 'Collected', 'Instant in UTC', NULL),
    ('collection', 'workers', 'workers', 'Workers', 'Workers counted; empty when not counted', NULL),
    ('collection', 'reproductives', 'reproductives', 'Queens and males', 'Queens and males counted; empty when not counted', NULL),
    ('collection', 'mass_g', 'mass_g', 'Mass', 'Grams of frozen wasps; empty when not weighed', NULL),
    ('collection', 'note', 'note', 'Note', 'Free words', NULL),

    ('lot', 'code', 'code', 'Code', 'As printed on the label', NULL),
    ('lot', 'taxon', 'taxon', 'Species', 'Code of the taxa table', NULL),
    ('lot', 'purpose', 'purpose', 'Purpose', 'What it may be sold for', 'lot_purpose'),
    ('lot', 'frozen_at', 'frozen_at', 'Frozen', 'When the first of it was frozen; instant in UTC', NULL),
    ('lot', 'mass_g', 'mass_g', 'Mass', 'Net grams', NULL),
    ('lot', 'count', 'count', 'Count', 'Wasps counted; empty when not counted', NULL),
    ('lot', 'container', 'container', 'Container', 'Bag or box, and where it lies', NULL),
    ('lot', 'sealed_at', 'sealed_at', 'Sealed', 'Instant in UTC from which the row is never edited; empty while open', NULL),
    ('lot', 'note', 'note', 'Note', 'Free words', NULL),

    ('lot_parent', 'lot_id', 'lot_id', 'Lot', 'UUID of the lot', NULL),
    ('lot_parent', 'catch_id', 'catch_id', 'Catch', 'UUID of the catch, or empty', NULL),
    ('lot_parent', 'collection_id', 'collection_id', 'Collection', 'UUID of the collection, or empty', NULL),
    ('lot_parent', 'mass_g', 'mass_g', 'Mass', 'Grams of it that went into the lot; empty when not weighed apart', NULL),

    ('lot_correction', 'lot_id', 'lot_id', 'Lot', 'UUID of the lot', NULL),
    ('lot_correction', 'corrected_at', 'corrected_at', 'When', 'Instant in UTC', NULL),
    ('lot_correction', 'who', 'who', 'Who', 'Who put it right', NULL),
    ('lot_correction', 'field', 'field', 'Field', 'What is put right', 'correction_field'),
    ('lot_correction', 'was', 'was', 'Was', 'As it stood', NULL),
    ('lot_correction', 'becomes', 'becomes', 'Becomes', 'As it is', NULL),
    ('lot_correction', 'why', 'why', 'Why', 'The reason', NULL),

    ('lab_order', 'laboratory', 'laboratory', 'Laboratory', 'Who wants it; private', NULL),
    ('lab_order', 'taxon', 'taxon', 'Species', 'Code of the taxa table', NULL),
    ('lab_order', 'purpose', 'purpose', 'Purpose', 'What it is for', 'lot_purpose'),
    ('lab_order', 'wanted_g', 'wanted_g', 'Wanted', 'Grams', NULL),
    ('lab_order', 'placed_on', 'placed_on', 'Placed', 'Day of the order', NULL),
    ('lab_order', 'due_on', 'due_on', 'Due', 'Day by which it is wanted', NULL),
    ('lab_order', 'state', 'state', 'State', 'What became of it', 'order_state'),
    ('lab_order', 'note', 'note', 'Note', 'Free words', NULL),

    ('shipment', 'order_id', 'order_id', 'Order', 'UUID of the order; may be empty', NULL),
    ('shipment', 'shipped_on', 'shipped_on', 'Shipped', 'Day on which it left', NULL),
    ('shipment', 'carrier', 'carrier', 'Carrier', 'Who took it', NULL),
    ('shipment', 'tracking', 'tracking', 'Tracking', 'The carrier''s number', NULL),
    ('shipment', 'note', 'note', 'Note', 'Free words', NULL),

    ('shipment_lot', 'shipment_id', 'shipment_id', 'Shipment', 'UUID of the shipment', NULL),
    ('shipment_lot', 'lot_id', 'lot_id', 'Lot', 'UUID of the lot', NULL),

    ('weather_station', 'geom', 'geom', 'Place', 'Longitude and latitude in degrees, WGS 84', NULL),
    ('weather_station', 'code', 'code', 'Code', 'The archive''s own code, or a name', NULL),
    ('weather_station', 'name', 'name', 'Name', 'Name of the station', NULL),
    ('weather_station', 'height_m', 'height_m', 'Height', 'Metres above the sea', NULL),

    ('weather_day', 'station_id', 'station_id', 'Station', 'UUID of the station', NULL),
    ('weather_day', 'day', 'day', 'Day', 'Local day', NULL),
    ('weather_day', 'minimum_c', 'minimum_c', 'Minimum', 'Lowest air temperature, degrees Celsius', NULL),
    ('weather_day', 'maximum_c', 'maximum_c', 'Maximum', 'Highest air temperature, degrees Celsius', NULL),

    ('setting', 'key', 'key', 'Name', 'Name of the setting', NULL),
    ('setting', 'value', 'value', 'Value', 'Its value, as words', NULL);

-- What all tables share.
INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description)
    SELECT m.name, c.name, c.name,
           CASE c.name WHEN 'fid' THEN 'Row' WHEN 'id' THEN 'Id'
                       WHEN 'created_at' THEN 'Created' ELSE 'Changed' END,
           CASE c.name WHEN 'fid' THEN 'Row number in this file; means nothing elsewhere'
                       WHEN 'id' THEN 'UUID of the row, the same in every book'
                       WHEN 'created_at' THEN 'When the row was first written; instant in UTC'
                       ELSE 'When the row was last changed; instant in UTC' END
      FROM gpkg_contents t JOIN sqlite_master m ON m.type = 'table' AND m.name = t.table_name
      JOIN pragma_table_info(m.name) c
     WHERE c.name IN ('fid', 'id', 'created_at', 'changed_at');
