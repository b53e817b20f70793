// The five functions that the standard's R-tree triggers call. A blob that is no geometry makes
// ST_IsEmpty fail, so that a damaged one cannot enter; the others give NULL, so that one damaged
// row does not keep the rest from being read.
#include "geocore/book/connection.hpp"
#include "geocore/place/gpb_geometry.hpp"

namespace nestround::book {

namespace {

Result<place::GpbGeometry> argument(sqlite3_value* value)
{
    const auto* data = static_cast<const std::uint8_t*>(sqlite3_value_blob(value));
    return place::read_gpb({data, static_cast<std::size_t>(sqlite3_value_bytes(value))});
}

void is_empty(sqlite3_context* context, int /*count*/, sqlite3_value** values)
{
    if (sqlite3_value_type(values[0]) == SQLITE_NULL) {
        return;
    }
    if (const auto geometry = argument(values[0])) {
        sqlite3_result_int(context, geometry->empty ? 1 : 0);
    } else {
        sqlite3_result_error(context, geometry.error().message.c_str(), -1);
    }
}

template <double place::Box::*Side>
void side(sqlite3_context* context, int /*count*/, sqlite3_value** values)
{
    if (sqlite3_value_type(values[0]) == SQLITE_NULL) {
        return;
    }
    const auto geometry = argument(values[0]);
    if (geometry && geometry->box) {
        sqlite3_result_double(context, (*geometry->box).*Side);
    }
}

}  // namespace

void register_geometry_functions(sqlite3* handle)
{
    const auto add = [&](const char* name,
                         void (*function)(sqlite3_context*, int, sqlite3_value**)) {
        sqlite3_create_function_v2(handle, name, 1,
                                   SQLITE_UTF8 | SQLITE_DETERMINISTIC | SQLITE_INNOCUOUS, nullptr,
                                   function, nullptr, nullptr, nullptr);
    };
    add("ST_IsEmpty", is_empty);
    add("ST_MinX", side<&place::Box::min_x>);
    add("ST_MaxX", side<&place::Box::max_x>);
    add("ST_MinY", side<&place::Box::min_y>);
    add("ST_MaxY", side<&place::Box::max_y>);
}

}  // namespace nestround::book
