#include "planner/access/figures.hpp"

#include "geocore/base/text_file.hpp"

namespace nestround::embedded {
std::span<const TextFile> access();
}  // namespace nestround::embedded

namespace nestround::access {

namespace {

struct Table {
    std::vector<SourceEntry> sources;
    std::vector<Figure> figures;
};

const Table& table()
{
    static const Table read = [] {
        const auto files = embedded::access();
        Table made;
        made.sources = value_or_throw(parse_sources(files[0].text, files[0].name));
        made.figures = value_or_throw(parse_figures(files[1].text, made.sources, files[1].name));
        return made;
    }();
    return read;
}

}  // namespace

std::span<const Figure> figures() { return table().figures; }

std::span<const SourceEntry> sources() { return table().sources; }

const Figure& figure(std::string_view subject, std::string_view parameter)
{
    for (const auto& row : table().figures) {
        if (row.subject == subject && row.parameter == parameter) {
            return row;
        }
    }
    throw Failure{ErrorCode::Internal, "the access table has no '" + std::string{parameter} +
                                           "' for '" + std::string{subject} + "'"};
}

}  // namespace nestround::access
