#include "planner/app/check_book.hpp"

#include <fmt/format.h>

#include "geocore/book/check.hpp"

namespace nestround::app {

BookHealth check_book(const std::filesystem::path& path)
{
    const auto report = book::check(path);
    BookHealth health;
    for (const auto& rule : report.broken) {
        health.broken.push_back(rule.text());
    }
    health.summary = fmt::format("{} rows in {} tables, {} rules asked", report.rows, report.tables,
                                 report.rules);
    if (report.links > 0) {
        health.chain =
            fmt::format("chain of sealed lots: {} links, the last {}", report.links, report.head);
    }
    return health;
}

}  // namespace nestround::app
