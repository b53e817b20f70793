#include "planner/access/parcel.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "planner/access/figures.hpp"

namespace nestround::access {

namespace {

std::string citation(const Figure& row)
{
    for (const auto& source : sources()) {
        if (source.key == row.source) {
            return source.citation;
        }
    }
    return row.source;
}

ParcelRule rule_of(const Figure& row, std::string words)
{
    return {std::move(words), citation(row), row.mark};
}

std::string kilograms(Grams mass)
{
    return fmt::format("{:.2f} kg ({:.1f} lb)", mass.value() / 1000, pounds(mass));
}

}  // namespace

std::string parcel_mark(Grams ice)
{
    return fmt::format("UN 1845  DRY ICE  net {:.1f} kg", ice.value() / 1000);
}

Result<std::vector<ParcelRule>> parcel_rules(Grams ice, int packages, Carriage by)
{
    if (!(ice.value() > 0 && ice.value() <= 1e6)) {
        return fail(ErrorCode::InvalidInput, "a package holds between 0 and 1000 kg of dry ice");
    }
    if (packages < 1 || packages > 1000) {
        return fail(ErrorCode::InvalidInput, "there are between 1 and 1000 packages");
    }
    std::vector<ParcelRule> rules;
    const char* way = by == Carriage::Air ? "air" : by == Carriage::Vessel ? "vessel" : "road";
    if (by == Carriage::Air) {
        const Figure& most = figure("parcel", "most_air");
        const bool over = ice.value() / 1000 > most.middle();
        rules.push_back(rule_of(
            most, over ? fmt::format("OVER THE LIMIT: {} a package; at most {:.0f} kg by air: "
                                     "pack it in more packages",
                                     kilograms(ice), most.middle())
                       : fmt::format("{} a package; at most {:.0f} kg by air", kilograms(ice),
                                     most.middle())));
        const Figure& relief = figure("parcel", "relief_air");
        if (ice.value() / 1000 <= relief.middle()) {
            rules.push_back(rule_of(
                relief, fmt::format("{:.1f} kg or less: {}", relief.middle(), relief.condition)));
        }
    }
    for (const auto& row : figures()) {
        if (row.subject == "parcel" && !row.words.empty() &&
            (row.condition == "any" || row.condition == way)) {
            rules.push_back(rule_of(row, row.words));
        }
    }
    return rules;
}

}  // namespace nestround::access
