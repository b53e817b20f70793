// Streets of towns: quarters of their own age and pattern between the main roads.
#include <algorithm>
#include <numbers>

#include "demo-region/county.hpp"
#include "demo-region/growth.hpp"
#include "demo-region/noise.hpp"

namespace nestround::demo {
namespace {

Road street()
{
    Road road;
    road.road_class = RoadClass::Residential;
    road.mph = 25;
    road.surface = "asphalt";
    road.in_town = true;
    return road;
}

struct Range {
    double least;
    double most;
};

class TownBuilder {
public:
    TownBuilder(County& county, const Place& town)
        : county_{county},
          network_{county.network},
          random_{county.random},
          town_{town},
          bend_{county.seed ^ 0x746fU, 900}
    {
    }

    void build()
    {
        const Line outline = outline_of_town();
        std::vector<Line> quarters = cut_into_quarters(outline);
        // Some outer quarters were never built: towns have ragged edges.
        std::erase_if(quarters, [&](const Line& quarter) {
            return distance(middle_of(quarter), town_.at) > 0.55 * town_.radius &&
                   random_.chance(0.3);
        });
        for (const Line& quarter : quarters) {
            lay_border(quarter, outline);
        }
        for (const Line& quarter : quarters) {
            fill(quarter);
        }
    }

private:
    [[nodiscard]] Vec bent(Vec p) const { return p + bend_.at(p) * 28; }

    [[nodiscard]] Line outline_of_town()
    {
        // An ellipse, a little longer one way.
        const double turn = random_.uniform(0, std::numbers::pi);
        const double stretch = random_.uniform(0.62, 0.95);
        Line outline;
        constexpr int kCorners = 28;
        for (int k = 0; k < kCorners; ++k) {
            const double angle = 2 * std::numbers::pi * k / kCorners;
            outline.push_back(town_.at + turned({town_.radius * std::cos(angle),
                                                 town_.radius * stretch * std::sin(angle)},
                                                turn));
        }
        return outline;
    }

    static Vec middle_of(const Line& quarter)
    {
        Vec middle{};
        for (const Vec p : quarter) {
            middle = middle + p * (1.0 / static_cast<double>(quarter.size()));
        }
        return middle;
    }

    /// Voronoi cells of a few middles; the first is the old core.
    [[nodiscard]] std::vector<Line> cut_into_quarters(const Line& outline)
    {
        std::vector<Vec> middles{town_.at};
        const int wanted = std::max(5, static_cast<int>(town_.radius * town_.radius * 3 / 1.0e6));
        const double apart = town_.radius * 1.15 / std::sqrt(static_cast<double>(wanted));
        for (int i = 0; i < 4000 && static_cast<int>(middles.size()) < wanted; ++i) {
            const Vec at =
                town_.at + Vec{random_.uniform(-1, 1), random_.uniform(-1, 1)} * town_.radius;
            if (is_inside(at, outline) && std::all_of(middles.begin(), middles.end(), [&](Vec m) {
                    return distance(m, at) > apart;
                })) {
                middles.push_back(at);
            }
        }
        std::vector<Line> quarters;
        for (const Vec m : middles) {
            Line cell = outline;
            for (const Vec other : middles) {
                if (!(other == m) && !cell.empty()) {
                    cell = clipped(cell, between(m, other, 0.5), unit(m - other));
                }
            }
            if (cell.size() >= 3) {
                quarters.push_back(cell);
            }
        }
        return quarters;
    }

    /// Lays a straight piece of street unless it would run beside another; bent, cut, joined.
    void lay_piece(Vec a, Vec b, int road, double reach)
    {
        // Looked at away from the ends, where streets are meant to meet.
        const double reach_in = std::min(0.375, 32 / std::max(1.0, distance(a, b)));
        int beside = 0;
        for (const double t : {reach_in, 0.5, 1 - reach_in}) {
            beside += network_.nearest(bent(between(a, b, t)), 21).edge >= 0 ? 1 : 0;
        }
        if (beside >= 2) {
            return;
        }
        Line line = densified({a, b}, 60);
        for (Vec& p : line) {
            p = bent(p);
        }
        network_.lay(line, road, reach);
    }

    void lay_border(const Line& quarter, const Line& outline)
    {
        for (std::size_t i = 0; i < quarter.size(); ++i) {
            const Vec a = quarter[i];
            const Vec b = quarter[(i + 1) % quarter.size()];
            const Vec middle = between(a, b, 0.5);
            // The outline itself is no street; neither is a border that was laid by the neighbour.
            bool outer = false;
            for (std::size_t k = 0; k < outline.size(); ++k) {
                outer =
                    outer || distance_to(middle, outline[k], outline[(k + 1) % outline.size()]) < 2;
            }
            if (outer || distance(a, b) < 60) {
                continue;
            }
            Road road = street();
            if (distance(a, b) > 350 && random_.chance(0.5)) {
                road.road_class = RoadClass::Tertiary;
                road.mph = 30;
            }
            const int id = network_.add_road(road);
            const int pieces = std::max(1, static_cast<int>(distance(a, b) / 150));
            for (int k = 0; k < pieces; ++k) {
                lay_piece(between(a, b, static_cast<double>(k) / pieces),
                          between(a, b, static_cast<double>(k + 1) / pieces), id, 16);
            }
        }
    }

    void fill(const Line& quarter)
    {
        const double out = distance(middle_of(quarter), town_.at) / town_.radius;
        const double kind = random_.uniform();
        if (out < 0.2) {
            lay_grid(quarter, {75, 90}, {90, 125}, 0.14, 9, true);
            grow(quarter, 70, 30, 70, 22, 0.25, "alley");
        } else if (kind < 0.75 - 0.4 * out) {
            lay_grid(quarter, {78, 100}, {120, 190}, 0.07, 0, random_.chance(0.35));
            grow(quarter, 60, 25, 60, 22, 0.3, "alley");
        } else {
            const double thin = out > 0.7 ? 0.45 : 1;
            lay_grid(quarter, {260, 340}, {300, 460}, 0.12, 30);
            grow(quarter, 170 * thin, 150, 420, 62, 0.85, "");
            grow(quarter, 240 * thin, 60, 170, 48, 0.12, "");
            grow(quarter, 60 * thin, 18, 45, 18, 0.0, "driveway");
        }
    }

    void lay_grid(const Line& quarter, Range width, Range depth, double gaps, double jitter,
                  bool one_ways = false)
    {
        const double wide = random_.uniform(width.least, width.most);
        const double deep = random_.uniform(depth.least, depth.most);
        const double turn = random_.uniform(0, std::numbers::pi / 2);
        const Vec along = turned({1, 0}, turn);
        const Vec up = left_of(along);
        double low_u = 1e9;
        double high_u = -1e9;
        double low_v = 1e9;
        double high_v = -1e9;
        for (const Vec p : quarter) {
            low_u = std::min(low_u, dot(p, along));
            high_u = std::max(high_u, dot(p, along));
            low_v = std::min(low_v, dot(p, up));
            high_v = std::max(high_v, dot(p, up));
        }
        const int columns = static_cast<int>((high_u - low_u) / wide) + 1;
        const int rows = static_cast<int>((high_v - low_v) / deep) + 1;
        std::vector<Vec> knots;
        for (int i = 0; i <= columns; ++i) {
            for (int j = 0; j <= rows; ++j) {
                knots.push_back(
                    along * (low_u + i * wide) + up * (low_v + j * deep) +
                    Vec{random_.uniform(-jitter, jitter), random_.uniform(-jitter, jitter)});
            }
        }
        const auto knot = [&](int i, int j) { return knots[i * (rows + 1) + j]; };
        for (int i = 0; i <= columns; ++i) {
            // Of each four columns a pair is one-way; the second is drawn against its traffic.
            Road column = street();
            column.oneway = !one_ways || i % 4 == 0 || i % 4 == 3 ? 0 : i % 4 == 1 ? 1 : -1;
            const int road = network_.add_road(column);
            for (int j = 0; j < rows; ++j) {
                lay_within(quarter, knot(i, j), knot(i, j + 1), road, gaps * 0.6);
            }
        }
        for (int j = 0; j <= rows; ++j) {
            const int road = network_.add_road(street());
            for (int i = 0; i < columns; ++i) {
                lay_within(quarter, knot(i, j), knot(i + 1, j), road, gaps);
            }
        }
    }

    /// The part of a-b inside the quarter.
    void lay_within(const Line& quarter, Vec a, Vec b, int road, double gaps)
    {
        double from = 0;
        double to = 1;
        for (std::size_t i = 0; i < quarter.size(); ++i) {
            const Vec p = quarter[i];
            const Vec normal = left_of(quarter[(i + 1) % quarter.size()] - p);
            const double da = dot(a - p, normal);
            const double db = dot(b - p, normal);
            if (da < 0 && db < 0) {
                return;
            }
            if (da < 0) {
                from = std::max(from, da / (da - db));
            } else if (db < 0) {
                to = std::min(to, da / (da - db));
            }
        }
        if ((to - from) * distance(a, b) < 18 || random_.chance(gaps)) {
            return;
        }
        lay_piece(between(a, b, from), between(a, b, to), road, 13);
    }

    void grow(const Line& quarter, double tries_a_km2, double shortest, double longest, double gap,
              double joining, const char* service)
    {
        double area = 0;
        for (std::size_t i = 0; i < quarter.size(); ++i) {
            area += cross(quarter[i], quarter[(i + 1) % quarter.size()]) / 2;
        }
        const int tries = static_cast<int>(tries_a_km2 * std::abs(area) / 1e6);
        Road road = street();
        Growth growth;
        growth.shortest = shortest;
        growth.longest = longest;
        growth.gap = gap;
        growth.joining = joining;
        growth.turning_circle = *service == '\0';
        growth.step = *service == '\0' ? 26 : 20;
        if (*service != '\0') {
            road.road_class = RoadClass::Service;
            road.service = service;
            road.mph = 0;
            growth.bending = 0.05;
        }
        const auto inside = [&](Vec p) { return is_inside(p, quarter); };
        Vec low = quarter[0];
        Vec high = quarter[0];
        for (const Vec p : quarter) {
            low = {std::min(low.x, p.x), std::min(low.y, p.y)};
            high = {std::max(high.x, p.x), std::max(high.y, p.y)};
        }
        for (int i = 0; i < tries; ++i) {
            const Vec at{random_.uniform(low.x, high.x), random_.uniform(low.y, high.y)};
            if (!inside(at)) {
                continue;
            }
            const Near near = network_.nearest(at, 160, [&](const Edge& e) {
                const RoadClass c = network_.road_of(e).road_class;
                return c == RoadClass::Residential || c == RoadClass::Tertiary;
            });
            if (near.edge < 0) {
                continue;
            }
            const Edge edge = network_.edges()[near.edge];
            const Vec a = network_.nodes()[edge.from];
            const Vec b = network_.nodes()[edge.to];
            grow_branch(network_, random_, near.edge, near.share, cross(b - a, at - a) > 0, growth,
                        road, inside);
        }
    }

    County& county_;
    Network& network_;
    Random& random_;
    Place town_;
    ShiftField bend_;
};

}  // namespace

void lay_town_streets(County& county)
{
    for (const Place& place : std::vector<Place>{county.places}) {
        if (place.kind == PlaceKind::Town) {
            TownBuilder{county, place}.build();
        }
    }
}

}  // namespace nestround::demo
