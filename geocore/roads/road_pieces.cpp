#include "geocore/roads/road_pieces.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "geocore/place/geodesic.hpp"

namespace nestround::roads {
namespace {

constexpr std::uint32_t kNone = 0xffffffff;

/// A vertex of the source: how often it is used, and its node once it has one.
struct Vertex {
    std::int64_t id = 0;
    RoadPoint at;
    bool closed = false;
    bool ends_only = false;
    bool cuts = false;  ///< closed, and some way really goes there
    std::uint32_t uses = 0;
    std::uint32_t node = kNone;
};

class Cutter {
public:
    explicit Cutter(const RawRoads& raw) : raw_{raw}
    {
        vertices_.reserve(raw.nodes.size());
        for (const auto& node : raw.nodes) {
            vertices_.push_back({node.id, node.at, node.closed, node.ends_only, false, 0, kNone});
        }
        // Stable, so that of two vertices with one number the first counts.
        std::stable_sort(vertices_.begin(), vertices_.end(),
                         [](const Vertex& a, const Vertex& b) { return a.id < b.id; });
    }

    RoadPieces run()
    {
        out_.left_out = raw_.left_out;
        std::vector<std::vector<std::vector<std::uint32_t>>> runs;
        runs.reserve(raw_.ways.size());
        for (const auto& way : raw_.ways) {
            runs.push_back(runs_of(way));
            for (const auto& run : runs.back()) {
                for (const auto vertex : run) {
                    ++vertices_[vertex].uses;
                }
                // Both ends of a way are nodes, whoever else goes there.
                ++vertices_[run.front()].uses;
                ++vertices_[run.back()].uses;
            }
        }
        for (std::size_t i = 0; i < runs.size(); ++i) {
            cut(raw_.ways[i], runs[i]);
        }
        return std::move(out_);
    }

private:
    const Vertex* find(std::int64_t id) const
    {
        const auto found =
            std::lower_bound(vertices_.begin(), vertices_.end(), id,
                             [](const Vertex& vertex, std::int64_t n) { return vertex.id < n; });
        return found != vertices_.end() && found->id == id ? &*found : nullptr;
    }

    /// The stretches of a way whose vertices are all there, at least two different ones each.
    std::vector<std::vector<std::uint32_t>> runs_of(const RawWay& way)
    {
        std::vector<std::vector<std::uint32_t>> runs(1);
        bool clipped = false;
        for (const auto id : way.nodes) {
            const auto* vertex = find(id);
            if (vertex == nullptr) {
                clipped = true;
                runs.emplace_back();
                continue;
            }
            const auto index = static_cast<std::uint32_t>(vertex - vertices_.data());
            if (runs.back().empty() || runs.back().back() != index) {
                runs.back().push_back(index);
            }
        }
        std::erase_if(runs, [](const auto& run) { return run.size() < 2; });
        if (clipped) {
            count_left_out(out_.left_out, "way cut where the extract ends", example(way));
        }
        if (runs.empty()) {
            count_left_out(out_.left_out, "way without two places in the extract", example(way));
        }
        return runs;
    }

    static std::string example(const RawWay& way) { return fmt::format("way {}", way.id); }

    std::uint32_t node_of(std::uint32_t vertex_index)
    {
        auto& vertex = vertices_[vertex_index];
        if (vertex.closed) {
            // Each road that ends at a barrier gets an end of its own.
            if (!vertex.cuts) {
                vertex.cuts = true;
                ++out_.barriers;
            }
            out_.nodes.push_back(vertex.at);
            return static_cast<std::uint32_t>(out_.nodes.size() - 1);
        }
        if (vertex.node == kNone) {
            vertex.node = static_cast<std::uint32_t>(out_.nodes.size());
            out_.nodes.push_back(vertex.at);
        }
        return vertex.node;
    }

    void cut(const RawWay& way, const std::vector<std::vector<std::uint32_t>>& runs)
    {
        std::vector<RoadPiece> pieces;
        std::vector<double> lengths;
        double whole = 0;
        for (const auto& run : runs) {
            std::size_t begin = 0;
            for (std::size_t i = 1; i < run.size(); ++i) {
                const auto& vertex = vertices_[run[i]];
                if (vertex.uses < 2 && !vertex.closed && !vertex.ends_only) {
                    continue;
                }
                auto& piece = pieces.emplace_back();
                for (std::size_t k = begin; k <= i; ++k) {
                    piece.line.push_back(vertices_[run[k]].at);
                }
                piece.edge.from = node_of(run[begin]);
                piece.edge.to = node_of(run[i]);
                piece.from_vertex = vertices_[run[begin]].id;
                piece.to_vertex = vertices_[run[i]].id;
                // Whoever passes a private gate drives a stretch that ends at it.
                if (vertices_[run[begin]].ends_only || vertex.ends_only) {
                    piece.edge.flags = kFlagEndsOnly;
                }
                lengths.push_back(length_of(piece.line));
                whole += lengths.back();
                begin = i;
            }
        }
        bool used = false;
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            if (time(pieces[i], way.road, lengths[i], whole)) {
                pieces[i].name = &way.road.name;
                pieces[i].condition = &way.road.condition;
                pieces[i].limits = way.road.limits;
                pieces[i].way = static_cast<std::uint32_t>(&way - raw_.ways.data());
                out_.pieces.push_back(std::move(pieces[i]));
                used = true;
            } else {
                count_left_out(out_.left_out, "stretch that takes no sensible time", example(way));
            }
        }
        out_.ways_used += used ? 1 : 0;
    }

    static double length_of(const std::vector<RoadPoint>& line)
    {
        double sum = 0;
        for (std::size_t i = 1; i < line.size(); ++i) {
            sum += place::geodesic_distance(lon_lat(line[i - 1]), lon_lat(line[i])).value();
        }
        return sum;
    }

    /// Fills length, times and flags; false when a time is out of all range.
    static bool time(RoadPiece& piece, const RoadAttributes& road, double metres, double whole)
    {
        auto& edge = piece.edge;
        const double millimetres = std::round(metres * 1000);
        if (!(millimetres < 4294967295.0)) {
            return false;
        }
        edge.length_mm = static_cast<std::uint32_t>(millimetres);
        edge.road_class = road.road_class;
        edge.flags = static_cast<std::uint8_t>(edge.flags | (road.by_leave ? kFlagByLeave : 0) |
                                               (road.roundabout ? kFlagRoundabout : 0) |
                                               (road.unpaved ? kFlagUnpaved : 0) |
                                               (road.ends_only ? kFlagEndsOnly : 0));
        const auto driven = [&](double kmh) -> std::optional<std::uint32_t> {
            double ms = edge.length_mm * 3.6 / kmh;
            if (road.duration) {
                const double all = static_cast<double>(road.duration->count()) * 1000;
                ms = whole > 0 ? all * metres / whole : all;
            }
            ms = std::max(1.0, std::round(ms));
            if (!(ms <= kLongestEdge)) {
                return std::nullopt;
            }
            return static_cast<std::uint32_t>(ms);
        };
        if (road.forward_open) {
            const auto ms = driven(road.forward_kmh);
            if (!ms) {
                return false;
            }
            edge.forward_ms = *ms;
        }
        if (road.backward_open) {
            const auto ms = driven(road.backward_kmh);
            if (!ms) {
                return false;
            }
            edge.backward_ms = *ms;
        }
        return road.forward_open || road.backward_open;
    }

    const RawRoads& raw_;
    std::vector<Vertex> vertices_;
    RoadPieces out_;
};

}  // namespace

RoadPieces cut_at_junctions(const RawRoads& raw) { return Cutter{raw}.run(); }

}  // namespace nestround::roads
