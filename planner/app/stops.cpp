#include "planner/app/stops.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/roads/cut_off_roads.hpp"

namespace nestround::app {

std::vector<Crew> chosen_crews(const book::Book& book, const std::vector<std::string>& names)
{
    auto crews = book.crews();
    if (crews.empty()) {
        throw Failure{ErrorCode::NotFound,
                      "no active crew; add one with: nestround crew import BOOK crews.csv",
                      book.path().filename().string()};
    }
    if (names.empty()) {
        return crews;
    }
    std::vector<Crew> chosen;
    for (const auto& name : names) {
        const auto at = std::find_if(crews.begin(), crews.end(),
                                     [&](const Crew& crew) { return crew.name == name; });
        if (at == crews.end()) {
            std::string known;
            for (const auto& crew : crews) {
                known += (known.empty() ? "'" : ", '") + crew.name + "'";
            }
            throw Failure{ErrorCode::NotFound,
                          fmt::format("no active crew named '{}'; there are {}", name, known)};
        }
        chosen.push_back(*at);
    }
    return chosen;
}

Stops find_stops(const roads::Snapper& snapper, const std::vector<Crew>& crews,
                 const std::vector<rank::RankedCall>& calls)
{
    Stops stops;
    const roads::CutOffRoads cut_off{snapper.network()};
    const auto warn = [&](LonLat place, const roads::RoadStop& stop, const std::string& what) {
        if (auto words = cut_off.warning(place, stop, what)) {
            stops.notes.push_back(std::move(*words));
        }
    };
    for (const auto& crew : crews) {
        const auto what = "the depot of crew " + crew.name;
        stops.at.push_back(value_or_throw(snapper.snap(crew.depot, what)));
        warn(crew.depot, *stops.at.back(), what);
    }
    for (const auto& call : calls) {
        const auto stop = snapper.snap(call.sheet.site.place, call.sheet.site.label);
        stops.at.push_back(stop ? std::optional{*stop} : std::nullopt);
        stops.no_road.push_back(stop ? std::string{} : stop.error().message);
        if (stop) {
            warn(call.sheet.site.place, *stop, fmt::format("call '{}'", call.sheet.site.label));
        }
    }
    return stops;
}

roads::TravelMatrix travel_between(const roads::TravelEngine& engine, const Stops& stops)
{
    std::vector<roads::RoadStop> present;
    std::vector<std::size_t> index;
    for (std::size_t i = 0; i < stops.at.size(); ++i) {
        if (stops.at[i]) {
            present.push_back(*stops.at[i]);
            index.push_back(i);
        }
    }
    const auto part = engine.matrix(present, present);
    const std::size_t n = stops.at.size();
    roads::TravelMatrix whole{n, n, std::vector<std::uint32_t>(n * n, roads::kUnreachable),
                              std::vector<std::uint32_t>(n * n, roads::kUnreachable)};
    for (std::size_t i = 0; i < n; ++i) {
        whole.duration_s[i * n + i] = whole.length_m[i * n + i] = 0;
    }
    for (std::size_t row = 0; row < index.size(); ++row) {
        for (std::size_t column = 0; column < index.size(); ++column) {
            whole.duration_s[index[row] * n + index[column]] = part.seconds_between(row, column);
            whole.length_m[index[row] * n + index[column]] = part.metres_between(row, column);
        }
    }
    return whole;
}

}  // namespace nestround::app
