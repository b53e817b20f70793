#include "planner/day/load_list.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geocore/base/figure.hpp"
#include "geocore/base/text_file.hpp"

namespace nestround::embedded {
std::span<const TextFile> load();
}  // namespace nestround::embedded

namespace nestround::day {

namespace {

const std::vector<Figure>& figures()
{
    static const auto read = [] {
        const auto files = embedded::load();
        const auto sources = value_or_throw(parse_sources(files[0].text, files[0].name));
        return value_or_throw(parse_figures(files[1].text, sources, files[1].name));
    }();
    return read;
}

const Figure& figure(std::string_view subject, std::string_view parameter)
{
    for (const auto& row : figures()) {
        if (row.subject == subject && row.parameter == parameter) {
            return row;
        }
    }
    throw Failure{ErrorCode::Internal,
                  fmt::format("the load table has no '{}' for '{}'", parameter, subject)};
}

void add_once(std::vector<std::string>& list, const std::string& item)
{
    if (std::find(list.begin(), list.end(), item) == list.end()) {
        list.push_back(item);
    }
}

[[nodiscard]] bool is_named(const std::vector<std::string>& list, const std::string& word)
{
    return std::any_of(list.begin(), list.end(), [&](const std::string& item) {
        return item.find(word) != std::string::npos;
    });
}

}  // namespace

double dry_ice_kilograms(Grams grams, seconds out)
{
    const double freezing =
        grams.value() / 1000 * figure("dry_ice", "for_a_kilogram_caught").middle();
    const double days = static_cast<double>(out.count()) / 86400;
    const double loss = days * figure("dry_ice", "box_loss_a_day").highest();
    const double whole = (freezing + loss) * (1 + figure("dry_ice", "reserve").middle());
    return std::ceil(whole * 2) / 2;  // half kilograms, rounded up
}

std::string dry_ice_caution()
{
    const Figure& row = figure("dry_ice", "caution");
    return fmt::format("{} ({})", row.words, text(row.mark));
}

std::vector<std::string> load_list(const CrewDay& crew)
{
    std::vector<std::string> list;
    if (crew.stops.empty()) {
        return list;
    }
    for (const auto& stop : crew.stops) {
        for (const auto& item : stop.access.gear) {
            add_once(list, item);
        }
    }
    for (const auto& row : figures()) {
        if (row.subject == "always" && !is_named(list, row.parameter)) {
            list.push_back(row.words);
        }
    }
    const std::size_t nests = crew.stops.size();
    list.push_back(
        fmt::format("{} vacuum container{}, one a nest, and boxes for the comb of {} nest{}", nests,
                    nests == 1 ? "" : "s", nests, nests == 1 ? "" : "s"));
    const double ice = dry_ice_kilograms(crew.grams.high, crew.home - crew.depart);
    list.push_back(fmt::format(
        "dry ice, about {:.1f} kg ({:.0f} lb): an estimate from {} and {} figures with a reserve "
        "({})",
        ice, std::ceil(pounds(Grams{ice * 1000})),
        text(figure("dry_ice", "for_a_kilogram_caught").mark),
        text(figure("dry_ice", "box_loss_a_day").mark), text(figure("dry_ice", "reserve").mark)));
    return list;
}

}  // namespace nestround::day
