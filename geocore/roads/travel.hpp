/// \file travel.hpp
/// \brief Seconds and metres between stops, and the line driven: the seam behind which any road
/// engine can stand.
///
/// Purpose:  planners ask for a matrix and sheets for lines; neither knows how they are found.
/// Units:    whole milliseconds and whole millimetres inside an engine, whole seconds and metres
///           outside; a matrix is row-major, `rows` sources by `columns` targets.
/// Range:    an unreachable pair is kUnreachable in both tables; never an infinity that adds up.
/// Accuracy: durations are the exact shortest sum of the edges' whole milliseconds, then rounded
///           half up to seconds; lengths are those of that same shortest path.
/// Errors:   none; a stop comes from the engine's own network (precondition).
/// Source:   own.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/units/units.hpp"

namespace nestround::roads {

/// A place on an edge of the network, as the snapper found it.
struct RoadStop {
    std::uint32_t edge = 0;  ///< index into the network's edges
    double along = 0;        ///< share of the edge's length from its first node, 0 to 1
    LonLat on_road{};        ///< the point of the edge
    Metres off_road{};       ///< straight distance from the place asked for
    bool right_side = true;  ///< the place lies right of the edge's drawing direction

    friend bool operator==(const RoadStop&, const RoadStop&) = default;
};

inline constexpr std::uint32_t kUnreachable = 0x3fffffff;

/// Seconds and metres from each source (row) to each target (column).
struct TravelMatrix {
    std::size_t rows = 0;
    std::size_t columns = 0;
    std::vector<std::uint32_t> duration_s;  ///< rows * columns, or kUnreachable
    std::vector<std::uint32_t> length_m;    ///< rows * columns, or kUnreachable

    [[nodiscard]] std::uint32_t seconds_between(std::size_t from, std::size_t to) const
    {
        return duration_s[from * columns + to];
    }
    [[nodiscard]] std::uint32_t metres_between(std::size_t from, std::size_t to) const
    {
        return length_m[from * columns + to];
    }
};

struct Route {
    seconds duration{};
    Metres length{};
    std::vector<LonLat> line;  ///< from stop to stop along the roads; at least two points
};

/// Answers travel questions on one network. Implementations are immutable after construction and
/// may be used from several threads at once.
class TravelEngine {
public:
    virtual ~TravelEngine() = default;
    TravelEngine() = default;
    TravelEngine(const TravelEngine&) = delete;
    TravelEngine& operator=(const TravelEngine&) = delete;

    [[nodiscard]] virtual TravelMatrix matrix(std::span<const RoadStop> sources,
                                              std::span<const RoadStop> targets) const = 0;
    /// The quickest way, or nothing when `to` cannot be reached from `from`.
    [[nodiscard]] virtual std::optional<Route> route(const RoadStop& from,
                                                     const RoadStop& to) const = 0;
};

}  // namespace nestround::roads
