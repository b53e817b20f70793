#include "planner/sheets/density_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "planner/sheets/show.hpp"

namespace nestround::sheets {
namespace {

std::string smoothing_words(const density::DensityMap& map)
{
    const std::string length = fmt::format("{} m", number(map.surface.smoothing, 10));
    if (!map.chosen) {
        return fmt::format("smoothed over {}", length);
    }
    return map.chosen->choice == density::SmoothingChoice::LikelihoodLeftOut
               ? fmt::format("smoothed over {}, by which each nest is best foretold by the others",
                             length)
               : fmt::format("smoothed over {}, by the normal rule (few nests)", length);
}

nlohmann::ordered_json cell_json(const density::DensityMap& map, const density::CountedCell& cell)
{
    const auto middle = map.plane.earth(map.hexagons.middle(cell.key));
    const auto places = [](double degrees) { return std::round(degrees * 1e6) / 1e6; };
    return {
        {"cell", fmt::format("{},{}", cell.key.q, cell.key.r)},
        {"lon", places(middle.lon.value())},
        {"lat", places(middle.lat.value())},
        {"nests", cell.nests},
        {"known", cell.known},
        {"searched_km2", std::round(cell.searched_m2) / 1e6},
        {"per_km2",
         {{"low", cell.per_km2.low}, {"middle", cell.per_km2.middle}, {"high", cell.per_km2.high}}},
        {"share",
         {{"low", cell.share.low}, {"middle", cell.share.middle}, {"high", cell.share.high}}}};
}

}  // namespace

std::string density_caution()
{
    return "Calls are not a survey: nests nobody saw, minded or reported are missing, and land "
           "with "
           "more people reports more. The bounds are those of chance alone.";
}

std::string season_words(const density::DensityMap& map)
{
    return map.first_season == map.last_season
               ? fmt::format("{}", map.first_season)
               : fmt::format("{} to {}", map.first_season, map.last_season);
}

std::string per_km2_words(double value)
{
    if (!std::isfinite(value)) {
        return "not known";
    }
    if (!(value > 0)) {
        return "0";
    }
    const double step = std::pow(10, std::floor(std::log10(value)) - 1);
    if (step >= 1) {
        return number(value, step);
    }
    return fmt::format("{:.{}f}", value, static_cast<int>(std::lround(-std::log10(step))));
}

std::string density_text(const density::DensityMap& map, std::size_t cells)
{
    const auto total = density::count_bounds(static_cast<int>(map.nests));
    const double over = map.searched_km2 * map.season_count();
    std::string text = fmt::format("Nests of {}, {}\n", map.what, season_words(map));
    text += fmt::format("  {} nests on {} km2 searched: {} a km2 and season (80 %: {} to {})\n",
                        map.nests, number(map.searched_km2, map.searched_km2 < 20 ? 0.1 : 1),
                        per_km2_words(total.middle / over), per_km2_words(total.low / over),
                        per_km2_words(total.high / over));
    text += fmt::format("  searched: {}\n", map.land_words);
    text +=
        fmt::format("  how much was searched: {} nests of all kinds became known there", map.known);
    text += map.unnamed > 0 ? fmt::format(", {} of them without a species\n", map.unnamed) : "\n";
    if (map.beyond > 0) {
        text += fmt::format("  {} more lie outside that land and are not counted\n", map.beyond);
    }
    text += fmt::format("  surface: {}\n", smoothing_words(map));
    if (map.seasons.size() > 1) {
        for (const auto& season : map.seasons) {
            text += fmt::format("  {}: {} of {} nests known\n", season.season, season.nests,
                                season.known);
        }
    }
    auto densest = map.cells;
    std::ranges::stable_sort(
        densest, [](const auto& a, const auto& b) { return a.per_km2.middle > b.per_km2.middle; });
    std::erase_if(densest, [](const auto& cell) { return cell.nests == 0; });
    if (!densest.empty() && cells > 0) {
        text +=
            fmt::format("\nDensest cells of {} km2\n  {:>10}  {:>8}  {:>5} of {:>5}  {:>8}  {}\n",
                        per_km2_words(map.hexagons.square_metres() / 1e6), "cell", "searched",
                        "nests", "known", "a km2", "80 % bounds");
    }
    for (std::size_t i = 0; i < std::min(cells, densest.size()); ++i) {
        const auto& cell = densest[i];
        text += fmt::format("  {:>10}  {:>4} km2  {:>5} of {:>5}  {:>8}  {} to {}{}\n",
                            fmt::format("{},{}", cell.key.q, cell.key.r),
                            per_km2_words(cell.searched_m2 / 1e6), cell.nests, cell.known,
                            per_km2_words(cell.per_km2.middle), per_km2_words(cell.per_km2.low),
                            per_km2_words(cell.per_km2.high),
                            cell.per_km2.middle > density::kExtremePerKm2
                                ? "  more than any forest on record: doubled calls?"
                                : "");
    }
    return text + '\n' + density_caution() + '\n';
}

std::string density_json(const density::DensityMap& map)
{
    nlohmann::ordered_json out;
    out["what"] = map.what;
    out["species"] = map.codes;
    out["first_season"] = map.first_season;
    out["last_season"] = map.last_season;
    out["nests"] = map.nests;
    out["known"] = map.known;
    out["without_species"] = map.unnamed;
    out["outside"] = map.beyond;
    out["searched_km2"] = map.searched_km2;
    out["searched"] = map.land_words;
    out["cell_km2"] = map.hexagons.square_metres() / 1e6;
    out["smoothing_m"] = map.surface.smoothing;
    out["smoothing_chosen"] =
        !map.chosen
            ? "named"
            : (map.chosen->choice == density::SmoothingChoice::LikelihoodLeftOut ? "likelihood"
                                                                                 : "normal_rule");
    out["caution"] = density_caution();
    out["cells"] = nlohmann::ordered_json::array();
    for (const auto& cell : map.cells) {
        out["cells"].push_back(cell_json(map, cell));
    }
    out["seasons"] = nlohmann::ordered_json::array();
    for (const auto& season : map.seasons) {
        nlohmann::ordered_json one{
            {"season", season.season}, {"nests", season.nests}, {"known", season.known}};
        one["cells"] = nlohmann::ordered_json::array();
        for (const auto& cell : season.cells) {
            if (cell.known > 0) {
                one["cells"].push_back({{"cell", fmt::format("{},{}", cell.key.q, cell.key.r)},
                                        {"nests", cell.nests},
                                        {"known", cell.known}});
            }
        }
        out["seasons"].push_back(std::move(one));
    }
    return out.dump(2) + '\n';
}

}  // namespace nestround::sheets
