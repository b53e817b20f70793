#include "geocore/book/contents.hpp"

#include <fmt/format.h>

#include "geocore/book/schema.hpp"

namespace nestround::book {

void write_extent(Connection& connection, std::string_view table)
{
    connection
        .query(fmt::format(
            "UPDATE gpkg_contents SET (min_x, min_y, max_x, max_y) = (SELECT "
            "min(ST_MinX(geom)), min(ST_MinY(geom)), max(ST_MaxX(geom)), max(ST_MaxY(geom)) "
            "FROM {0}) WHERE table_name = '{0}'",
            table))
        .run();
}

void write_contents(Connection& connection, const std::set<std::string>& tables,
                    const std::string& now)
{
    for (const auto table : kFeatureTables) {
        if (tables.contains(std::string{table})) {
            write_extent(connection, table);
        }
    }
    for (const auto& table : tables) {
        connection.query("UPDATE gpkg_contents SET last_change = ?1 WHERE table_name = ?2")
            .bind(now)
            .bind(table)
            .run();
    }
}

}  // namespace nestround::book
