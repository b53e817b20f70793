#include "planner/sheets/taxa_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

constexpr int kParameter = 30;

std::set<std::string> cited_in(const std::vector<TaxaSection>& sections)
{
    std::set<std::string> cited;
    for (const auto& section : sections) {
        for (const auto* row : section.figures) {
            std::string_view keys = row->source;
            while (!keys.empty()) {
                const auto space = keys.find(' ');
                cited.emplace(keys.substr(0, space));
                keys.remove_prefix(space == std::string_view::npos ? keys.size() : space + 1);
            }
        }
    }
    return cited;
}

std::string gutter(std::string_view text, int width)
{
    const auto used = columns(text);
    return std::string{text} +
           std::string(static_cast<std::size_t>(std::max(1, width - used)), ' ');
}

}  // namespace

std::string taxa_list_text(const nature::TaxaTable& table, const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    page.line_as_is(fmt::format("{:<6}{:<30}{:<26}{}", "code", "name", "English name",
                                "figures, of them read"));
    for (const auto& taxon : table.taxa()) {
        const auto rows = table.own_rows(taxon.code);
        const auto read = std::count_if(
            rows.begin(), rows.end(), [](const Figure* row) { return row->mark <= Mark::Derived; });
        page.line_as_is(fmt::format("{:<6}{:<30}{:<26}{:>4} {:>6}", taxon.code, taxon.name,
                                    taxon.english, rows.size(), read));
    }
    page.line(
        "A figure is read when it was published, relayed, or worked out from such; what a "
        "wasp lacks it takes from its group. See: nestround taxa show CODE",
        Ink::Faint);
    return page.take();
}

std::string taxa_text(const nature::TaxaTable& table, std::string_view subject,
                      const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    const auto* taxon = table.find(subject);
    page.line(taxon == nullptr
                  ? std::string{subject} + ", a group of the table"
                  : fmt::format("{}  {}  ({})", taxon->code, taxon->name, taxon->english),
              Ink::Strong);
    std::string groups;
    for (const auto& level : table.chain(subject)) {
        if (level != subject) {
            groups += (groups.empty() ? "" : ", ") + level;
        }
    }
    if (!groups.empty()) {
        page.line("what it lacks is taken from: " + groups);
    }
    page.line("values are low / typical / high; dates are month-day of a northern year");
    const auto sections = taxa_sections(table, subject);
    const std::string hanging(kParameter + 2, ' ');
    for (const auto& section : sections) {
        page.blank();
        page.heading(section.title, Ink::Strong);
        for (const auto* row : section.figures) {
            const auto from = row->subject == subject ? std::string{} : "; from " + row->subject;
            page.block(gutter("  " + row->parameter, kParameter + 2), hanging, Ink::Plain,
                       fmt::format("{}  [{}; {}{}]", clean(figure_text(*row)), text(row->mark),
                                   row->source, from));
            if (!row->condition.empty()) {
                page.block(hanging, hanging, Ink::Plain, clean(row->condition), Ink::Faint);
            }
        }
    }
    page.blank();
    page.heading("Sources", Ink::Strong);
    const auto cited = cited_in(sections);
    for (const auto& entry : table.sources()) {
        if (cited.count(entry.key) != 0) {
            page.block(gutter("  " + entry.key, 8), std::string(8, ' '), Ink::Plain,
                       clean(entry.citation));
        }
    }
    return page.take();
}

}  // namespace nestround::sheets
