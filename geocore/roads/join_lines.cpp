#include "geocore/roads/join_lines.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <map>
#include <numbers>
#include <optional>
#include <tuple>
#include <unordered_map>
#include <utility>

namespace nestround::roads {
namespace {

constexpr double kDegree = 6371008.8 * std::numbers::pi / 180;  // metres, mean radius of WGS 84
constexpr std::uint32_t kNone = 0xffffffff;

double cosine(double lat_e7) { return std::cos(lat_e7 * 1e-7 * std::numbers::pi / 180); }

struct Flat {
    double x = 0;
    double y = 0;
};

/// Metres from `from` to `to`, in a plane that touches the Earth at `from`.
Flat flat(RoadPoint from, RoadPoint to)
{
    return {(to.lon_e7 - from.lon_e7) * 1e-7 * kDegree * cosine(from.lat_e7),
            (to.lat_e7 - from.lat_e7) * 1e-7 * kDegree};
}

/// Things by square cells; those within a cell's side of a place lie in the nine around it.
class Cells {
public:
    Cells(double side, double least_cosine)
        : lat_{side / kDegree * 1e7}, lon_{lat_ / std::max(least_cosine, 1e-3)}
    {
    }
    void add(RoadPoint at, std::uint32_t thing)
    {
        auto& cell = cells_[key(column(at), row(at))];
        if (cell.empty() || cell.back() != thing) {
            cell.push_back(thing);
        }
    }
    template <class Visit>
    void around(RoadPoint at, const Visit& visit) const
    {
        for (auto i = column(at) - 1; i <= column(at) + 1; ++i) {
            for (auto k = row(at) - 1; k <= row(at) + 1; ++k) {
                if (const auto found = cells_.find(key(i, k)); found != cells_.end()) {
                    std::for_each(found->second.begin(), found->second.end(), visit);
                }
            }
        }
    }
    [[nodiscard]] double side_e7() const { return lat_; }

private:
    [[nodiscard]] std::int64_t column(RoadPoint at) const { return std::llround(at.lon_e7 / lon_); }
    [[nodiscard]] std::int64_t row(RoadPoint at) const { return std::llround(at.lat_e7 / lat_); }
    static std::uint64_t key(std::int64_t i, std::int64_t k)
    {
        return (static_cast<std::uint64_t>(i) << 32U) ^ static_cast<std::uint32_t>(k);
    }
    double lat_;
    double lon_;
    std::unordered_map<std::uint64_t, std::vector<std::uint32_t>> cells_;
};

struct Vertex {
    std::int64_t id = 0;
    RoadPoint at;
    bool missing = false;       ///< beyond the border of an extract
    bool drawn = false;         ///< of lines only
    int level = 0;              ///< of the first line that has it
    std::uint32_t uses = 0;     ///< an end counts one, the middle of a line two
    std::uint32_t way = kNone;  ///< that ends here
    std::uint32_t into = kNone;
};

struct Segment {
    std::uint32_t way = 0;
    std::uint32_t number = 0;
};

/// A vertex that goes into a segment.
struct Cut {
    Segment segment;
    double share = 0;
    std::uint32_t vertex = 0;
};

class Joiner {
public:
    Joiner(RawRoads& raw, const JoinOptions& options) : raw_{raw}, options_{options} {}

    void run()
    {
        number_vertices();
        meet_by_level();
        if (options_.within.value() > 0) {
            join_ends();
        }
        if (options_.split) {
            cut_lines();
        }
        if (options_.split || options_.within.value() > 0) {
            for (const auto v : loose_ends()) {
                tell("line's end that meets no other line", v);
            }
        }
        write();
    }

private:
    void number_vertices()
    {
        std::unordered_map<std::int64_t, std::uint32_t> index;
        for (const auto& node : raw_.nodes) {
            if (index.try_emplace(node.id, static_cast<std::uint32_t>(vertices_.size())).second) {
                vertices_.push_back({node.id, node.at, false, false, 0, 0, kNone, kNone});
                least_cosine_ = std::min(least_cosine_, cosine(node.at.lat_e7));
            }
        }
        lines_.resize(raw_.ways.size());
        for (std::uint32_t i = 0; i < raw_.ways.size(); ++i) {
            const auto& way = raw_.ways[i];
            for (const auto id : way.nodes) {
                const auto [entry, is_new] =
                    index.try_emplace(id, static_cast<std::uint32_t>(vertices_.size()));
                if (is_new) {
                    vertices_.push_back({id, {}, true, false, 0, 0, kNone, kNone});
                }
                auto& line = lines_[i];
                if (line.empty() || line.back() != entry->second) {
                    line.push_back(entry->second);
                }
            }
            for (std::size_t k = 0; k < lines_[i].size(); ++k) {
                auto& vertex = vertices_[lines_[i][k]];
                const bool end = k == 0 || k + 1 == lines_[i].size();
                if (vertex.uses == 0) {
                    vertex.level = way.level;
                    vertex.drawn = way.drawn;
                }
                vertex.drawn = vertex.drawn && way.drawn;
                vertex.uses += end ? 1 : 2;
                if (end) {
                    vertex.way = i;
                }
            }
        }
    }

    std::uint32_t root(std::uint32_t v) const
    {
        while (vertices_[v].into != kNone) {
            v = vertices_[v].into;
        }
        return v;
    }

    void join(std::uint32_t v, std::uint32_t into)
    {
        vertices_[into].uses += vertices_[v].uses;
        vertices_[v].into = into;
    }

    void tell(std::string_view what, std::uint32_t v)
    {
        const auto at = lon_lat(vertices_[v].at);
        count_left_out(raw_.left_out, what,
                       fmt::format("near {:.5f},{:.5f}", at.lon.value(), at.lat.value()));
    }

    void meet_by_level()
    {
        const bool levels = std::any_of(raw_.ways.begin(), raw_.ways.end(),
                                        [](const RawWay& way) { return way.level != 0; });
        if (!levels) {
            return;
        }
        std::vector<std::uint32_t> order;
        for (std::uint32_t v = 0; v < vertices_.size(); ++v) {
            if (!vertices_[v].missing && vertices_[v].uses > 0) {
                order.push_back(v);
            }
        }
        const auto key = [&](std::uint32_t v) {
            return std::tuple{vertices_[v].at, vertices_[v].level, vertices_[v].id};
        };
        std::sort(order.begin(), order.end(), [&](auto a, auto b) { return key(a) < key(b); });
        for (std::size_t i = 0; i < order.size();) {
            std::size_t end = i + 1;
            auto most = order[i];
            while (end < order.size() && vertices_[order[end]].at == vertices_[order[i]].at) {
                most = vertices_[order[end]].uses > vertices_[most].uses ? order[end] : most;
                ++end;
            }
            std::size_t apart = 0;
            for (std::size_t k = i; k < end; ++k) {
                const auto& vertex = vertices_[order[k]];
                if (order[k] != most && vertex.drawn && vertex.uses == 1) {
                    join(order[k], most);
                } else {
                    ++apart;
                }
            }
            if (apart > 1) {
                tell("place where lines of different levels are kept apart", order[i]);
            }
            i = end;
        }
    }

    /// Ends of drawn lines that meet nothing, by number.
    std::vector<std::uint32_t> loose_ends() const
    {
        std::vector<std::uint32_t> out;
        for (std::uint32_t v = 0; v < vertices_.size(); ++v) {
            const auto& vertex = vertices_[v];
            if (vertex.into == kNone && vertex.drawn && vertex.uses == 1) {
                out.push_back(v);
            }
        }
        return out;
    }

    /// Whether `v` is the other end of the line that ends at `end`.
    bool is_own_line(std::uint32_t end, std::uint32_t v) const
    {
        const auto& line = lines_[vertices_[end].way];
        return std::any_of(line.begin(), line.end(), [&](auto other) { return root(other) == v; });
    }

    void join_ends()
    {
        const double within = options_.within.value();
        Cells cells{within, least_cosine_};
        for (std::uint32_t v = 0; v < vertices_.size(); ++v) {
            if (vertices_[v].way != kNone && vertices_[v].into == kNone && !vertices_[v].missing) {
                cells.add(vertices_[v].at, v);
            }
        }
        for (const auto v : loose_ends()) {
            if (vertices_[v].uses != 1) {
                continue;  // another end has come to it
            }
            double best = within;
            auto nearest = kNone;
            cells.around(vertices_[v].at, [&](std::uint32_t other) {
                const auto& there = vertices_[other];
                const auto d = flat(vertices_[v].at, there.at);
                const double distance = std::hypot(d.x, d.y);
                const bool fits =
                    there.into == kNone && (there.level == vertices_[v].level || there.uses == 1);
                if (fits && other != v &&
                    (distance < best || (nearest == kNone && distance == best)) &&
                    !is_own_line(v, other)) {
                    best = distance;
                    nearest = other;
                }
            });
            if (nearest != kNone) {
                join(v, nearest);
                tell("line's end joined to the end of another line", v);
            }
        }
    }

    void add_segments(Cells& cells)
    {
        for (std::uint32_t i = 0; i < lines_.size(); ++i) {
            for (std::uint32_t k = 0; k + 1 < lines_[i].size(); ++k) {
                const auto& a = vertices_[root(lines_[i][k])];
                const auto& b = vertices_[root(lines_[i][k + 1])];
                if (a.missing || b.missing) {
                    continue;
                }
                const auto number = static_cast<std::uint32_t>(segments_.size());
                segments_.push_back({i, k});
                // No two places on it are further apart than half a cell.
                const double span =
                    std::max(std::abs(1.0 * b.at.lon_e7 - a.at.lon_e7) * least_cosine_,
                             std::abs(1.0 * b.at.lat_e7 - a.at.lat_e7));
                const auto steps = static_cast<int>(std::ceil(span / cells.side_e7() * 2)) + 1;
                for (int s = 0; s <= steps; ++s) {
                    cells.add(between(a.at, b.at, static_cast<double>(s) / steps), number);
                }
            }
        }
    }

    static RoadPoint between(RoadPoint a, RoadPoint b, double share)
    {
        const auto at = [&](std::int32_t from, std::int32_t to) {
            return static_cast<std::int32_t>(std::llround(from + share * (1.0 * to - from)));
        };
        return {at(a.lon_e7, b.lon_e7), at(a.lat_e7, b.lat_e7)};
    }

    void cut_lines()
    {
        const double within = std::max(options_.within.value(), kTouches.value());
        // Twice as wide as is reached, for what lies between two marks of a segment.
        Cells cells{std::max(2 * within, 50.0), least_cosine_};
        add_segments(cells);
        for (const auto v : loose_ends()) {
            if (vertices_[v].uses != 1) {
                continue;
            }
            std::optional<Cut> best;
            double least = within;
            cells.around(vertices_[v].at, [&](std::uint32_t number) {
                const auto segment = segments_[number];
                const auto& way = raw_.ways[segment.way];
                if (segment.way == vertices_[v].way || way.level != vertices_[v].level) {
                    return;
                }
                const auto& line = lines_[segment.way];
                const auto a = flat(vertices_[v].at, vertices_[root(line[segment.number])].at);
                const auto b = flat(vertices_[v].at, vertices_[root(line[segment.number + 1])].at);
                const double square = std::pow(b.x - a.x, 2) + std::pow(b.y - a.y, 2);
                const double share =
                    square > 0
                        ? std::clamp(-(a.x * (b.x - a.x) + a.y * (b.y - a.y)) / square, 0.0, 1.0)
                        : 0.0;
                const double distance =
                    std::hypot(a.x + share * (b.x - a.x), a.y + share * (b.y - a.y));
                if (distance < least || (!best && distance == least)) {
                    least = distance;
                    best = Cut{segment, share, v};
                }
            });
            if (best) {
                go_onto(*best);
            }
        }
    }

    void go_onto(const Cut& cut)
    {
        const auto& line = lines_[cut.segment.way];
        const auto a = root(line[cut.segment.number]);
        const auto b = root(line[cut.segment.number + 1]);
        const auto at = between(vertices_[a].at, vertices_[b].at, cut.share);
        if (at == vertices_[a].at || at == vertices_[b].at) {
            const auto corner = at == vertices_[a].at ? a : b;
            if (!is_own_line(cut.vertex, corner)) {
                join(cut.vertex, corner);
                tell("line's end joined to a vertex of another line", cut.vertex);
            }
            return;
        }
        tell("line's end joined to the middle of a line, which is cut there", cut.vertex);
        vertices_[cut.vertex].at = at;
        vertices_[cut.vertex].uses += 2;
        cuts_.push_back(cut);
    }

    void write()
    {
        std::sort(cuts_.begin(), cuts_.end(), [](const Cut& x, const Cut& y) {
            return std::tuple{x.segment.way, x.segment.number, x.share, x.vertex} <
                   std::tuple{y.segment.way, y.segment.number, y.share, y.vertex};
        });
        auto cut = cuts_.begin();
        for (std::uint32_t i = 0; i < lines_.size(); ++i) {
            auto& nodes = raw_.ways[i].nodes;
            nodes.clear();
            for (std::uint32_t k = 0; k < lines_[i].size(); ++k) {
                nodes.push_back(vertices_[root(lines_[i][k])].id);
                for (; cut != cuts_.end() && cut->segment.way == i && cut->segment.number == k;
                     ++cut) {
                    nodes.push_back(vertices_[cut->vertex].id);
                }
            }
        }
        std::unordered_map<std::int64_t, RoadPoint> moved;
        for (const auto& one : cuts_) {
            moved.emplace(vertices_[one.vertex].id, vertices_[one.vertex].at);
        }
        for (auto& node : raw_.nodes) {
            if (const auto found = moved.find(node.id); found != moved.end()) {
                node.at = found->second;
            }
        }
    }

    RawRoads& raw_;
    JoinOptions options_;
    double least_cosine_ = 1;
    std::vector<Vertex> vertices_;
    std::vector<std::vector<std::uint32_t>> lines_;  ///< vertices of each way
    std::vector<Segment> segments_;
    std::vector<Cut> cuts_;
};

}  // namespace

void join_lines(RawRoads& raw, const JoinOptions& options)
{
    const bool drawn =
        std::any_of(raw.ways.begin(), raw.ways.end(), [](const RawWay& way) { return way.drawn; });
    if (drawn) {
        Joiner{raw, options}.run();
    }
}

}  // namespace nestround::roads
