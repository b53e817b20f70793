#include "planner/app/check_book.hpp"

#include <fmt/format.h>

#include "geocore/base/error.hpp"
#include "geocore/book/check.hpp"

namespace nestround::app {

BookHealth check_book(const std::filesystem::path& path, const std::string& link)
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
    if (!link.empty()) {
        const int number = book::link_with_hash(path, link);
        if (number == 0) {
            throw Failure{ErrorCode::RuleBroken,
                          "no link has this hash: the paper is of another book, or the records of "
                          "this one were written anew",
                          path.string()};
        }
        health.chain += fmt::format("; link {} has the hash asked for", number);
    }
    return health;
}

}  // namespace nestround::app
