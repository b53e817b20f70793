#include "planner/partners/partner_figures.hpp"

#include <fmt/format.h>

#include "geocore/base/text_file.hpp"

namespace nestround::embedded {
std::span<const TextFile> partners();
}  // namespace nestround::embedded

namespace nestround::partners {

const std::vector<Figure>& partner_figures()
{
    static const auto read = [] {
        const auto files = embedded::partners();
        const auto sources = value_or_throw(parse_sources(files[0].text, files[0].name));
        return value_or_throw(parse_figures(files[1].text, sources, files[1].name));
    }();
    return read;
}

double partner_figure(std::string_view subject, std::string_view parameter)
{
    for (const auto& row : partner_figures()) {
        if (row.subject == subject && row.parameter == parameter) {
            return row.middle();
        }
    }
    throw Failure{ErrorCode::Internal,
                  fmt::format("the table of partners has no '{}' for '{}'", parameter, subject)};
}

}  // namespace nestround::partners
