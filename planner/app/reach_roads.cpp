#include "planner/app/reach_roads.hpp"
#include "planner/app/drive.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geocore/intake/road_file.hpp"
#include "geocore/roads/cut_off_roads.hpp"
#include "geocore/roads/reached_roads.hpp"
#include "planner/app/cut_roads.hpp"
#include "planner/sheets/chart.hpp"
#include "planner/sheets/road_picture.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::app {
namespace {

std::vector<int> in_order(std::vector<int> minutes)
{
    std::sort(minutes.begin(), minutes.end());
    minutes.erase(std::unique(minutes.begin(), minutes.end()), minutes.end());
    if (minutes.empty() || minutes.front() < 1 || minutes.back() > 24 * 60 ||
        minutes.size() > kMostBands) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("name 1 to {} numbers of minutes, each 1 to 1440, as 15,30,45",
                                  kMostBands)};
    }
    return minutes;
}

/// What of `now` was not in `before`, edge by edge: a part that grew comes whole.
std::vector<roads::ReachedSpan> gained(const std::vector<roads::ReachedSpan>& before,
                                       const std::vector<roads::ReachedSpan>& now)
{
    std::vector<roads::ReachedSpan> out;
    auto old = before.begin();
    for (const auto& span : now) {
        while (old != before.end() && old->edge < span.edge) {
            ++old;
        }
        auto same = old;
        while (same != before.end() && same->edge == span.edge && !(*same == span)) {
            ++same;
        }
        if (same == before.end() || same->edge != span.edge) {
            out.push_back(span);
        }
    }
    return out;
}

void draw(const sheets::RoadPicture& picture, const roads::RoadNetwork& network,
          const std::string& path)
{
    sheets::MapOptions options;
    options.format = sheets::picture_format(path);
    const auto cut = cut_roads(network, sheets::picture_window(picture, options));
    sheets::write_file(path, sheets::draw_road_picture(picture, cut, options));
}

}  // namespace

ReachAnswer reach_roads(const ReachWish& wish)
{
    const auto minutes = in_order(wish.minutes);
    ReachAnswer answer;
    answer.network = roads_for(intake::load_roads(wish.roads), wish.travel.drive).network;
    answer.typed = wish.start;
    answer.area = wish.area;
    const auto& network = *answer.network;
    answer.start = value_or_throw(roads::Snapper{answer.network}.snap(
        wish.from, fmt::format("start '{}'", wish.start), wish.travel.snap_limit));
    answer.warning = roads::CutOffRoads{answer.network}
                         .warning(wish.from, answer.start, fmt::format("start '{}'", wish.start))
                         .value_or("");
    const auto ms = [](int m) { return static_cast<std::uint64_t>(m) * 60'000; };
    const roads::ReachedRoads reached{network, answer.start, ms(minutes.back()),
                                      wish.travel.engine};
    place::LineArea area{answer.start.on_road, wish.area};
    std::vector<roads::ReachedSpan> before;
    for (const int band : minutes) {
        auto spans = reached.within(ms(band));
        std::vector<std::vector<LonLat>> lines;
        for (const auto& span : gained(before, spans)) {
            lines.push_back(line_of(network, span));
        }
        double metres = 0;
        for (const auto& span : spans) {
            metres += (span.end - span.begin) * network.edge(span.edge).length_mm / 1000;
        }
        answer.reached.areas.push_back({band, metres / 1000, value_or_throw(area.grow(lines))});
        before = std::move(spans);
    }
    answer.reached.width_m = wish.area.width.value();
    answer.reached.attribution = network.attribution();
    return answer;
}

void draw_reach(const ReachAnswer& answer, const std::string& path)
{
    sheets::RoadPicture picture;
    picture.title = "Reach by road";
    picture.subtitle = fmt::format("from {}", answer.typed);
    for (const auto& band : answer.reached.areas) {
        picture.bands.push_back({fmt::format("{} minutes", band.minutes),
                                 fmt::format("{:.0f} km\u00b2, {:.0f} km of road",
                                             band.area.square_metres / 1e6, band.road_km),
                                 band.area});
    }
    picture.marks.push_back({answer.start.on_road, "S", "where the drive begins"});
    picture.facts.push_back(fmt::format(
        "An area is what lies within {:.0f} m of a road that is reached in that time; holes "
        "smaller than {:.2g} km\u00b2 are filled.",
        answer.reached.width_m, answer.area.hole_m2 / 1e6));
    picture.attribution = answer.reached.attribution;
    draw(picture, *answer.network, path);
}

void draw_path(const PathAnswer& answer, const std::string& roads, const std::string& path)
{
    sheets::RoadPicture picture;
    const auto minutes = (answer.route.duration.count() + 30) / 60;
    picture.title = minutes < 60 ? fmt::format("{} min", minutes)
                                 : fmt::format("{} h {:02} min", minutes / 60, minutes % 60);
    picture.subtitle = fmt::format("{:.1f} km by road", answer.route.length.value() / 1000);
    picture.way = answer.route.line;
    picture.marks = {{answer.from.on_road, "A", "start"}, {answer.to.on_road, "B", "end"}};
    picture.attribution = answer.attribution;
    draw(picture, *intake::load_roads(roads), path);
}

}  // namespace nestround::app
