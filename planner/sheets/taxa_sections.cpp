// Which heading a figure stands below.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "geocore/nature/season.hpp"
#include "planner/sheets/taxa_text.hpp"

namespace nestround::sheets {

namespace {

struct Heading {
    std::string_view title;
    std::string_view beginnings;  ///< first parts of parameters, between spaces
};

constexpr std::array kHeadings{
    Heading{"Name and range", " name english genus region native_form standin "},
    Heading{"Nest",
            " habit site envelope paper underside nest height entrance comb cell takeover "
            "size_caution queen_nest "},
    Heading{"Colony",
            " cells combs workers queens queen males adults eggs founding colony "
            "productivity members_free_hanging "},
    Heading{"Season", " calendar observed perennial winter weather season "},
    Heading{"Counts at the entrance", " traffic loads "},
    Heading{"Brood and warmth", " brood emergence incubator cooling collect feed "},
    Heading{"Heat, cold and flight", " heat chill flight at_home metabolism "},
    Heading{"Bodies and lives", " mass length worker first_food sexuals "},
    Heading{"Venom and products", " venom antigen product "},
    Heading{"Lots and freezer", " lot freezer freezing_loss "},
    Heading{"Held alive", " captive hold "},
    Heading{"Taking them", " catch_share away collected_by stragglers "},
    Heading{"Stings", " caution sting first_aid "},
    Heading{"Nests in the land", " density parasite "},
    Heading{"Which wasp", " marks look_alike naming trait bin "},
    Heading{"Learning from own catches", " learn "},
    Heading{"Choices of the model", " model observe "},
};

std::size_t heading_of(const Figure& row)
{
    const auto first = " " + row.parameter.substr(0, row.parameter.find('.')) + " ";
    const auto found =
        std::find_if(kHeadings.begin(), kHeadings.end(), [&](const Heading& heading) {
            return heading.beginnings.find(first) != std::string_view::npos;
        });
    return static_cast<std::size_t>(found - kHeadings.begin());
}

/// "08-18" for a day of a northern year.
std::string short_date(double day)
{
    return format_day(nature::calendar_day(day, Latitude{45}, 2001)).substr(5);
}

}  // namespace

std::vector<TaxaSection> taxa_sections(const nature::TaxaTable& table, std::string_view subject)
{
    std::vector<TaxaSection> sections;
    for (const auto& heading : kHeadings) {
        sections.push_back({std::string{heading.title}, {}});
    }
    sections.push_back({"Other", {}});
    std::set<std::string> shown;
    for (const auto& level : table.chain(subject)) {
        std::set<std::string> here;
        for (const auto* row : table.own_rows(level)) {
            // Questions and bins are the same for all: the naming prints them.
            const bool question = level == "all" && (row->parameter.starts_with("trait.") ||
                                                     row->parameter.starts_with("bin."));
            const bool adds_up = row->parameter == "caution";
            if (row->parameter == "group" || question ||
                (shown.count(row->parameter) != 0 && !adds_up)) {
                continue;
            }
            here.insert(row->parameter);
            sections[heading_of(*row)].figures.push_back(row);
        }
        shown.insert(here.begin(), here.end());
    }
    std::erase_if(sections, [](const TaxaSection& one) { return one.figures.empty(); });
    return sections;
}

std::string figure_text(const Figure& row)
{
    if (!row.words.empty()) {
        return row.words;
    }
    const auto one = [&](const std::optional<double>& value) {
        if (!value) {
            return std::string{"-"};
        }
        return row.unit == "date" ? short_date(*value) : fmt::format("{:g}", *value);
    };
    std::string text;
    if (row.low || row.high) {
        text = fmt::format("{} / {} / {}", one(row.low), one(row.typical), one(row.high));
    } else {
        text = one(row.typical);
    }
    if (row.unit != "date") {
        text += " " + row.unit;
    }
    if (row.latitude) {
        text += fmt::format(" at {:g} deg", *row.latitude);
    }
    return text;
}

}  // namespace nestround::sheets
