#include "planner/app/access_nest.hpp"

#include <fmt/format.h>

#include "planner/access/reach.hpp"

namespace nestround::app {

NestAccesses access_nest(const book::Book& book, const access::AccessSettings& own,
                         const std::string& call, const std::string& crew)
{
    const auto sheet = book.call(book.find_call(call));
    if (!sheet) {
        throw Failure{ErrorCode::NotFound, fmt::format("no call '{}'", call)};
    }
    const auto visits = book.all_visits();
    const access::AccessSettings settings = access::learned_from(visits, own);
    NestAccesses result;
    result.times = access::method_times(visits, own);
    for (const auto& each : book.crews()) {
        if (crew.empty() || each.name == crew) {
            result.crews.push_back(
                {*sheet, each.name, access::reach(sheet->nest, sheet->call, each.gear, settings)});
        }
    }
    if (result.crews.empty()) {
        throw Failure{
            ErrorCode::NotFound,
            crew.empty()
                ? std::string{"no active crew; add one with: nestround crew import BOOK "
                              "crews.csv"}
                : fmt::format("no active crew named '{}'; see: nestround crew list", crew)};
    }
    return result;
}

}  // namespace nestround::app
