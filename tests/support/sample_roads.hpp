/// \file sample_roads.hpp
/// \brief An invented road web in the open sea, with its own quickest ways.
///
/// Purpose:  maps and lines to draw in tests, without a road engine.
#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <queue>
#include <stdexcept>
#include <utility>
#include <vector>

#include "geocore/base/random.hpp"
#include "planner/sheets/map.hpp"

namespace nestround::testing {

class SampleWeb {
public:
    struct Way {
        std::vector<LonLat> line;
        double metres = 0;
        double seconds = 0;
    };

    explicit SampleWeb(std::uint64_t seed = 11) : random_{seed}
    {
        open_country();
        town(7, 6, 8);
        town(22, 14, 10);
        town(27, 4, 6);
        town(12, 19, 6);
    }

    [[nodiscard]] LonLat place(std::size_t node) const { return nodes_[node]; }
    [[nodiscard]] static constexpr std::size_t at(std::size_t column, std::size_t row)
    {
        return row * kColumns + column;
    }

    [[nodiscard]] sheets::MapRoads roads() const
    {
        sheets::MapRoads roads;
        for (const Edge& edge : edges_) {
            roads.roads.push_back({edge.rank, edge.line});
        }
        return roads;
    }

    [[nodiscard]] Way way(std::size_t from, std::size_t to) const
    {
        std::vector<std::vector<std::size_t>> around(nodes_.size());
        for (std::size_t e = 0; e < edges_.size(); ++e) {
            around[edges_[e].from].push_back(e);
            around[edges_[e].to].push_back(e);
        }
        std::vector<double> best(nodes_.size(), 1e18);
        std::vector<std::size_t> by(nodes_.size(), edges_.size());
        using Item = std::pair<double, std::size_t>;
        std::priority_queue<Item, std::vector<Item>, std::greater<>> open;
        best[from] = 0;
        open.emplace(0, from);
        while (!open.empty()) {
            const auto [time, node] = open.top();
            open.pop();
            if (time > best[node]) {
                continue;
            }
            for (const std::size_t e : around[node]) {
                const std::size_t next = other(edges_[e], node);
                const double later = time + edges_[e].metres / speed(edges_[e].rank);
                if (later < best[next]) {
                    best[next] = later;
                    by[next] = e;
                    open.emplace(later, next);
                }
            }
        }
        if (best[to] >= 1e18) {
            throw std::logic_error{"the sample roads are torn"};
        }
        Way way;
        way.seconds = best[to];
        std::vector<LonLat> backwards{nodes_[to]};
        for (std::size_t node = to; node != from && by[node] < edges_.size();) {
            const Edge& edge = edges_[by[node]];
            way.metres += edge.metres;
            std::vector<LonLat> line = edge.line;
            if (edge.from == node) {
                backwards.insert(backwards.end(), line.begin() + 1, line.end());
            } else {
                backwards.insert(backwards.end(), line.rbegin() + 1, line.rend());
            }
            node = other(edge, node);
        }
        way.line.assign(backwards.rbegin(), backwards.rend());
        return way;
    }

private:
    struct Edge {
        std::size_t from;
        std::size_t to;
        sheets::RoadRank rank;
        double metres;
        std::vector<LonLat> line;
    };

    static constexpr std::size_t kColumns = 34;
    static constexpr std::size_t kRows = 24;
    static constexpr double kSpacing = 0.0095;  // degrees of latitude, about 1.06 km
    static constexpr double kSouth = 44.1;
    static constexpr double kWest = -30.2;

    static std::size_t other(const Edge& edge, std::size_t node)
    {
        return edge.from == node ? edge.to : edge.from;
    }
    static double speed(sheets::RoadRank rank)
    {
        static constexpr std::array metres_a_second{28.0, 20.0, 15.0, 10.0, 5.0, 4.0};
        return metres_a_second[static_cast<std::size_t>(rank)];
    }
    static double apart(LonLat a, LonLat b)
    {
        const double y = (a.lat.value() - b.lat.value()) * 111100;
        const double x = (a.lon.value() - b.lon.value()) * 111100 * 0.716;
        return std::hypot(x, y);
    }

    void join(std::size_t from, std::size_t to, sheets::RoadRank rank, double bend)
    {
        const LonLat a = nodes_[from];
        const LonLat b = nodes_[to];
        const double dx = b.lon.value() - a.lon.value();
        const double dy = b.lat.value() - a.lat.value();
        const double one = random_.normal(0, bend);
        const double two = one * 0.5 + random_.normal(0, bend * 0.5);
        std::vector<LonLat> line{a};
        for (int k = 1; k < 5; ++k) {
            const double t = k / 5.0;
            const double side = one * t * (1 - t) * (1 - t) * 4 + two * t * t * (1 - t) * 4;
            line.push_back({Longitude{a.lon.value() + dx * t - dy * 1.4 * side},
                            Latitude{a.lat.value() + dy * t + dx / 1.4 * side}});
        }
        line.push_back(b);
        double metres = 0;
        for (std::size_t k = 1; k < line.size(); ++k) {
            metres += apart(line[k - 1], line[k]);
        }
        edges_.push_back({from, to, rank, metres, std::move(line)});
    }

    static sheets::RoadRank rank_of(std::size_t line, std::size_t fast,
                                    std::array<std::size_t, 2> main)
    {
        using sheets::RoadRank;
        if (line == fast) {
            return RoadRank::Fast;
        }
        if (line == main[0] || line == main[1]) {
            return RoadRank::Main;
        }
        return line % 5 == 2 ? RoadRank::Linking : RoadRank::Local;
    }

    void open_country()
    {
        for (std::size_t row = 0; row < kRows; ++row) {
            for (std::size_t column = 0; column < kColumns; ++column) {
                const double sway = 0.8 * std::sin(static_cast<double>(column) * 0.35);
                const double lean = 0.7 * std::sin(static_cast<double>(row) * 0.4 + 1);
                nodes_.push_back({Longitude{kWest + kSpacing * 1.4 *
                                                        (static_cast<double>(column) + lean +
                                                         random_.uniform(-0.22, 0.22))},
                                  Latitude{kSouth + kSpacing * (static_cast<double>(row) + sway +
                                                                random_.uniform(-0.22, 0.22))}});
            }
        }
        for (std::size_t row = 0; row < kRows; ++row) {
            for (std::size_t column = 0; column < kColumns; ++column) {
                const auto along = rank_of(row, 10, {4, 18});
                const auto across = rank_of(column, 100, {8, 24});
                const bool lane_along = along == sheets::RoadRank::Local;
                const bool lane_across = across == sheets::RoadRank::Local;
                // Lanes end here and there, and some are tracks.
                if (column + 1 < kColumns &&
                    !(lane_along && (row + column) % 2 == 0 && random_.chance(0.6))) {
                    join(at(column, row), at(column + 1, row),
                         lane_along && random_.chance(0.12) ? sheets::RoadRank::Track : along,
                         lane_along ? 0.30 : 0.08);
                }
                if (row + 1 < kRows &&
                    !(lane_across && (row + column) % 2 == 1 && random_.chance(0.6))) {
                    join(at(column, row), at(column, row + 1),
                         lane_across && random_.chance(0.12) ? sheets::RoadRank::Track : across,
                         lane_across ? 0.30 : 0.08);
                }
            }
        }
    }

    void town(std::size_t column, std::size_t row, std::size_t streets)
    {
        const LonLat middle = nodes_[at(column, row)];
        const std::size_t first = nodes_.size();
        const double half = static_cast<double>(streets) / 2 - 0.5;
        for (std::size_t y = 0; y < streets; ++y) {
            for (std::size_t x = 0; x < streets; ++x) {
                const double dx = static_cast<double>(x) - half + random_.uniform(-0.2, 0.2);
                const double dy = static_cast<double>(y) - half + random_.uniform(-0.2, 0.2);
                nodes_.push_back({Longitude{middle.lon.value() + dx * 0.0021 + dy * 0.0004},
                                  Latitude{middle.lat.value() + dy * 0.0015 - dx * 0.0003}});
            }
        }
        for (std::size_t y = 0; y < streets; ++y) {
            for (std::size_t x = 0; x < streets; ++x) {
                const std::size_t node = first + y * streets + x;
                if (x + 1 < streets && random_.chance(0.9)) {
                    join(node, node + 1, sheets::RoadRank::Local, 0.03);
                }
                if (y + 1 < streets && random_.chance(0.9)) {
                    join(node, node + streets, sheets::RoadRank::Local, 0.03);
                }
            }
        }
        join(first + streets * (streets / 2) + streets / 2, at(column, row),
             sheets::RoadRank::Local, 0.01);
    }

    Random random_;
    std::vector<LonLat> nodes_;
    std::vector<Edge> edges_;
};

}  // namespace nestround::testing
