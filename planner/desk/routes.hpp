/// \file routes.hpp
/// \brief Which handler answers which path.
///
/// Purpose:  tables of routes, one a room, and the one function from request to answer.
/// Units:    none.
/// Range:    a path's piece in braces, "/api/calls/{id}", stands for one piece that is not empty;
///           "{id}.pdf" and the like stand for a piece that ends so. A piece in letters goes before
///           one in braces.
/// Accuracy: not applicable.
/// Errors:   answer() never throws: what a handler throws becomes an answer. Refusal as it says;
///           Failure: InvalidInput 422, NotFound 404, Infeasible and RuleBroken 409, else 500,
///           where the book's path is not told.
/// Source:   own.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "planner/desk/desk.hpp"
#include "planner/desk/message.hpp"

namespace nestround::desk {

using Handler = Answer (*)(Desk&, const Request&);

struct Route {
    Method method;
    std::string_view path;  ///< "/api/calls/{id}"
    Handler handler;
};

using Tables = std::vector<std::span<const Route>>;

/// Every table there is: the server's own and those of the rooms.
[[nodiscard]] const Tables& all_tables();

[[nodiscard]] Answer answer(Desk& desk, const Request& request, const Tables& tables);
[[nodiscard]] Answer answer(Desk& desk, const Request& request);

/// Fills `parameters` when the path fits the pattern.
[[nodiscard]] bool fits(std::string_view pattern, std::string_view path,
                        std::map<std::string, std::string>& parameters);

}  // namespace nestround::desk
