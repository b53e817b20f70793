/// \file network.hpp
/// \brief The road network while it is drawn: roads that meet share a node.
///
/// Purpose:  every road laid is cut at the roads it meets, so that the finished file has true
///           topology; water stops a road, a bridge is laid on purpose.
/// Units:    metres on the stage; speeds in miles an hour, as signs show them there.
/// Range:    some 300,000 edges.
/// Accuracy: ends within the given reach of a road join it; meetings within 6 m of a node use it.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "demo-region/plane.hpp"

namespace nestround::demo {

enum class RoadClass {
    Motorway,
    MotorwayLink,
    Primary,
    Secondary,
    Tertiary,
    Unclassified,
    Residential,
    Service,
    Track,
    Ferry
};

/// What one road is, whatever its pieces.
struct Road {
    RoadClass road_class = RoadClass::Unclassified;
    std::string name;
    std::string ref;
    int mph = 0;          ///< 0: not signed
    std::string surface;  ///< empty: not told
    std::string service;  ///< "driveway", "alley", ...
    std::string access;   ///< empty: not told
    int oneway = 0;       ///< 1 as drawn, -1 against
    bool roundabout = false;
    int minutes = 0;     ///< a ferry's crossing
    bool apart = false;  ///< on another level: meets nothing but what it is tied to
    bool in_town = false;
};

struct Edge {
    int from = 0;
    int to = 0;
    int road = -1;  ///< -1: taken away
    bool bridge = false;
};

/// Segments by square cells, for "what is near here".
class CellIndex {
public:
    explicit CellIndex(double cell) : cell_{cell} {}
    void add(int item, Vec a, Vec b);
    /// Calls `visit` with each item whose box touches the box of a-b grown by `margin`; an item
    /// may come more than once.
    void near(Vec a, Vec b, double margin, const std::function<void(int)>& visit) const;

private:
    [[nodiscard]] std::int64_t cell_of(double v) const
    {
        return static_cast<std::int64_t>(std::floor(v / cell_));
    }
    double cell_;
    std::unordered_map<std::int64_t, std::vector<int>> cells_;
};

struct Near {
    int edge = -1;
    double metres = 0;
    double share = 0;
};

class Network {
public:
    explicit Network(Line river);

    int add_node(Vec at);
    int add_road(Road road);
    /// An edge as told, cut by nothing.
    int tie(int from, int to, int road, bool bridge = false);
    /// Lays a polyline, joined to what it meets; ends join roads within `reach`. Stops at water
    /// unless `bridge`. Gives the nodes along it.
    std::vector<int> lay(const Line& line, int road, double reach = 8, bool bridge = false);
    void take_away(int edge) { edges_[edge].road = -1; }
    /// Cuts edges that cross without a node; gives how many meetings were made.
    int cut_crossings();
    int split(int edge, Vec at);

    [[nodiscard]] Near nearest(Vec p, double within,
                               const std::function<bool(const Edge&)>& wanted = {}) const;
    /// Whether p-q comes to the river or within `margin` of it.
    [[nodiscard]] bool is_wet(Vec p, Vec q, double margin) const;
    /// Whether p-q crosses a road (of the same level) anywhere.
    [[nodiscard]] bool meets_road(Vec p, Vec q) const;

    [[nodiscard]] const Line& river() const { return river_; }
    [[nodiscard]] const std::vector<Vec>& nodes() const { return nodes_; }
    [[nodiscard]] std::vector<Edge>& edges() { return edges_; }
    [[nodiscard]] const std::vector<Edge>& edges() const { return edges_; }
    [[nodiscard]] std::vector<Road>& roads() { return roads_; }
    [[nodiscard]] const std::vector<Road>& roads() const { return roads_; }
    [[nodiscard]] const Road& road_of(const Edge& edge) const { return roads_[edge.road]; }
    /// Live edges at each node.
    [[nodiscard]] std::vector<std::vector<int>> edges_by_node() const;
    /// Node tags such as barrier=gate.
    std::map<int, std::pair<std::string, std::string>> node_tags;

private:
    int join(Vec at, double reach);
    void connect(int from, int to, int road, bool bridge);

    Line river_;
    CellIndex water_{400};
    CellIndex index_{120};
    std::vector<Vec> nodes_;
    std::vector<Edge> edges_;
    std::vector<Road> roads_;
};

}  // namespace nestround::demo
