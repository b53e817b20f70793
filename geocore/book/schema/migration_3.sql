-- Schema 3: readings by the hour, for the days on which crews work.

-- An hour without a reading is a missing row, and a value not measured is NULL, never a guess.
CREATE TABLE weather_hour (
    fid INTEGER PRIMARY KEY AUTOINCREMENT NOT NULL,
    station_id TEXT(36) NOT NULL REFERENCES weather_station(id),
    at DATETIME NOT NULL,
    temperature_c DOUBLE,
    humidity DOUBLE,
    wind_m_s DOUBLE,
    gust_m_s DOUBLE,
    thunder BOOLEAN,
    created_at DATETIME NOT NULL,
    changed_at DATETIME NOT NULL,
    CONSTRAINT "a weather hour is an instant in UTC, as 2026-08-04T06:30:00.000Z" CHECK (at IS {utc at}),
    CONSTRAINT "temperatures lie between -90 and 60 degrees Celsius"
        CHECK (temperature_c IS NULL OR temperature_c BETWEEN -90 AND 60),
    CONSTRAINT "humidity is a share between 0 and 1"
        CHECK (humidity IS NULL OR humidity BETWEEN 0 AND 1),
    CONSTRAINT "wind and gusts lie between 0 and 120 m/s"
        CHECK ((wind_m_s IS NULL OR wind_m_s BETWEEN 0 AND 120)
               AND (gust_m_s IS NULL OR gust_m_s BETWEEN 0 AND 120)),
    CONSTRAINT "thunder is 0 or 1" CHECK (thunder IS NULL OR thunder IN (0, 1)),
    CONSTRAINT "a weather hour says something" CHECK (coalesce(temperature_c, humidity, wind_m_s,
                                                               gust_m_s, thunder) IS NOT NULL),
    CONSTRAINT "a station has one reading an instant" UNIQUE (station_id, at),
    CONSTRAINT "created and changed are instants in UTC, as 2026-08-04T06:30:00.000Z"
        CHECK (created_at IS {utc created_at} AND changed_at IS {utc changed_at})
);

INSERT INTO gpkg_contents (table_name, data_type, identifier, description, srs_id) VALUES
    ('weather_hour', 'attributes', 'Weather hours', 'Readings by the hour; what was not measured is empty', 0);

INSERT INTO gpkg_data_columns (table_name, column_name, name, title, description) VALUES
    ('weather_hour', 'station_id', 'station_id', 'Station', 'UUID of the station'),
    ('weather_hour', 'at', 'at', 'At', 'Instant of the reading, in UTC; it stands until the next'),
    ('weather_hour', 'temperature_c', 'temperature_c', 'Temperature', 'Air temperature, degrees Celsius'),
    ('weather_hour', 'humidity', 'humidity', 'Humidity', 'Relative humidity, a share from 0 to 1'),
    ('weather_hour', 'wind_m_s', 'wind_m_s', 'Wind', 'Mean wind, metres a second'),
    ('weather_hour', 'gust_m_s', 'gust_m_s', 'Gust', 'Strongest gust, metres a second'),
    ('weather_hour', 'thunder', 'thunder', 'Thunder', 'Whether thunder was heard or is forecast'),
    ('weather_hour', 'fid', 'fid', 'Row', 'Row number in this file; means nothing elsewhere'),
    ('weather_hour', 'created_at', 'created_at', 'Created', 'When the row was first written; instant in UTC'),
    ('weather_hour', 'changed_at', 'changed_at', 'Changed', 'When the row was last written; instant in UTC');
