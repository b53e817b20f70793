-- Stations, their daily readings, and what the crew has set.

CREATE TABLE weather_station (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    geom POINT NOT NULL,
    id TEXT(36) NOT NULL UNIQUE,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    code TEXT NOT NULL UNIQUE,
    name TEXT,
    height_m DOUBLE,
    {point_check},
    CONSTRAINT "a weather station has a code" CHECK (length(code) > 0),
    CONSTRAINT "a weather station is between 500 m below and 9000 m above the sea"
        CHECK (height_m IS NULL OR height_m BETWEEN -500 AND 9000),
    {row_checks}
);

-- A day without a reading is a missing row. Readings have no UUID: station and day are the key.
CREATE TABLE weather_day (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    station_id TEXT(36) NOT NULL REFERENCES weather_station(id),
    day DATE NOT NULL,
    minimum_c DOUBLE NOT NULL,
    maximum_c DOUBLE NOT NULL,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    CONSTRAINT "a weather day is a date, as 2026-08-04" CHECK (day IS {day day}),
    CONSTRAINT "temperatures lie between -90 and 60 degrees Celsius, the minimum not above the maximum"
        CHECK (minimum_c >= -90 AND minimum_c <= maximum_c AND maximum_c <= 60),
    CONSTRAINT "a station has one reading a day" UNIQUE (station_id, day),
    CONSTRAINT "created and changed are instants in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (created_at IS {utc created_at} AND changed_at IS {utc changed_at})
);

CREATE TABLE setting (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    key TEXT NOT NULL UNIQUE,
    value TEXT NOT NULL,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    CONSTRAINT "a setting has a name and a value" CHECK (length(key) > 0 AND length(value) > 0),
    CONSTRAINT "created and changed are instants in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (created_at IS {utc created_at} AND changed_at IS {utc changed_at})
);
