#include "geocore/roads/network.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <limits>
#include <utility>

#include "geocore/roads/turn_graph.hpp"

namespace nestround::roads {
namespace {

/// Offsets that start at 0, never fall, and end at `end`.
bool are_offsets(std::span<const std::uint32_t> offsets, std::size_t end)
{
    return !offsets.empty() && offsets.front() == 0 && offsets.back() == end &&
           std::is_sorted(offsets.begin(), offsets.end());
}

bool is_time(std::uint32_t ms) { return ms == kClosed || (ms >= 1 && ms <= kLongestEdge); }

bool are_on_earth(std::span<const RoadPoint> points)
{
    constexpr std::int32_t kLon = 1'800'000'000;
    constexpr std::int32_t kLat = 900'000'000;
    bool outside = false;
    for (const auto p : points) {
        outside |= (p.lon_e7 > kLon) | (p.lon_e7 < -kLon) | (p.lat_e7 > kLat) | (p.lat_e7 < -kLat);
    }
    return !outside;
}

std::size_t box_count(std::size_t edges)
{
    std::size_t all = 0;
    for (auto count = edges; count > 1 || (all == 0 && edges > 0);) {
        count = (count + kEdgesABox - 1) / kEdgesABox;
        all += count;
    }
    return all;
}

std::string fault_of_rules(const NetworkView& view)
{
    const auto names = view.first_letter.size() - 1;
    const bool good_limits =
        (view.limits.empty() || view.limits.front() == RoadLimits{}) &&
        std::all_of(view.limits.begin(), view.limits.end(), [&](const RoadLimits& row) {
            return row.condition < names && row.heavy_forward <= kHeavyClosed &&
                   row.heavy_backward <= kHeavyClosed && row.spare == 0;
        });
    if (!good_limits) {
        return "the limits of its roads are damaged";
    }
    std::uint64_t next = 0;
    for (const auto& rule : view.turn_rules) {
        if (rule.first_step != next || rule.steps < 2 || rule.condition >= names || rule.only > 1 ||
            rule.spares > 3 || rule.spare != 0 || next + rule.steps > view.turn_steps.size()) {
            return "the rules of its turns are damaged";
        }
        for (std::uint32_t i = 0; i < rule.steps; ++i) {
            const auto step = view.turn_steps[next + i];
            if (step / 2 >= view.edges.size()) {
                return "the rules of its turns are damaged";
            }
            const auto& edge = view.edges[step / 2];
            const bool forward = step % 2 == 0;
            const auto& last = view.edges[view.turn_steps[next + i - (i > 0 ? 1 : 0)] / 2];
            const bool last_forward = view.turn_steps[next + i - (i > 0 ? 1 : 0)] % 2 == 0;
            if ((forward ? edge.forward_ms : edge.backward_ms) == kClosed ||
                (i > 0 &&
                 (forward ? edge.from : edge.to) != (last_forward ? last.to : last.from))) {
                return "the rules of its turns are damaged";
            }
        }
        next += rule.steps;
    }
    if (next != view.turn_steps.size()) {
        return "the rules of its turns are damaged";
    }
    if (view.first_cut_off.empty() ? !view.cut_off.empty()
                                   : !are_offsets(view.first_cut_off, view.cut_off.size())) {
        return "the lines of its cut-off roads are damaged";
    }
    return {};
}

std::string fault_of_roads(const NetworkView& view)
{
    constexpr std::size_t kMost = std::numeric_limits<std::int32_t>::max();
    if (view.nodes.empty() || view.edges.empty()) {
        return "it has no roads";
    }
    if (view.nodes.size() > kMost || view.edges.size() > kMost || view.points.size() > kMost) {
        return "it is too big";
    }
    if (view.first_point.size() != view.edges.size() + 1 ||
        !are_offsets(view.first_point, view.points.size())) {
        return "the offsets of its lines are damaged";
    }
    if (view.first_letter.size() < 2 || !are_offsets(view.first_letter, view.letters.size())) {
        return "the offsets of its names are damaged";
    }
    if (!are_on_earth(view.nodes) || !are_on_earth(view.points)) {
        return "a point lies outside the Earth";
    }
    for (std::size_t i = 0; i < view.edges.size(); ++i) {
        const auto& edge = view.edges[i];
        const auto begin = view.first_point[i];
        const auto end = view.first_point[i + 1];
        const bool good = edge.from < view.nodes.size() && edge.to < view.nodes.size() &&
                          end - begin >= 2 && view.points[begin] == view.nodes[edge.from] &&
                          view.points[end - 1] == view.nodes[edge.to] && is_time(edge.forward_ms) &&
                          is_time(edge.backward_ms) &&
                          (edge.forward_ms != kClosed || edge.backward_ms != kClosed) &&
                          edge.name + std::size_t{1} < view.first_letter.size() &&
                          static_cast<std::size_t>(edge.road_class) < kRoadClasses &&
                          edge.limits < std::max<std::size_t>(1, view.limits.size());
        if (!good) {
            return fmt::format("road {} is damaged", i);
        }
    }
    return view.boxes.size() == box_count(view.edges.size()) ? fault_of_rules(view)
                                                             : "its boxes are damaged";
}

NetworkView view_of(const NetworkData& data, const std::vector<RoadBox>& boxes)
{
    NetworkView view;
    view.nodes = data.nodes;
    view.edges = data.edges;
    view.first_point = data.first_point;
    view.points = data.points;
    view.first_letter = data.first_letter;
    view.letters = data.letters;
    view.limits = data.limits;
    view.turn_rules = data.turn_rules;
    view.turn_steps = data.turn_steps;
    view.first_cut_off = data.first_cut_off;
    view.cut_off = data.cut_off;
    view.boxes = boxes;
    view.graph = data.graph;
    return view;
}

void widen(RoadBox& box, RoadBox by)
{
    box.low = {std::min(box.low.lon_e7, by.low.lon_e7), std::min(box.low.lat_e7, by.low.lat_e7)};
    box.high = {std::max(box.high.lon_e7, by.high.lon_e7),
                std::max(box.high.lat_e7, by.high.lat_e7)};
}

bool touch(const RoadBox& a, const RoadBox& b)
{
    return a.low.lon_e7 <= b.high.lon_e7 && a.high.lon_e7 >= b.low.lon_e7 &&
           a.low.lat_e7 <= b.high.lat_e7 && a.high.lat_e7 >= b.low.lat_e7;
}

RoadBox box_of(std::span<const RoadPoint> points)
{
    RoadBox box{points.front(), points.front()};
    for (const auto point : points) {
        widen(box, {point, point});
    }
    return box;
}

}  // namespace

std::string fault_of(const NetworkView& view, NetworkPart part)
{
    switch (part) {
        case NetworkPart::Roads:
            return fault_of_roads(view);
        case NetworkPart::Graph:
            return fault_of(view.graph, view.edges);
        case NetworkPart::Hierarchy:
            return view.hierarchy ? bounds_fault_of(*view.hierarchy, view.graph) : std::string{};
    }
    return {};
}

std::vector<RoadBox> edge_boxes(const NetworkData& data)
{
    std::vector<RoadBox> boxes;
    const auto box_at = [&](std::size_t edge) {
        return box_of(std::span{data.points}.subspan(
            data.first_point[edge], data.first_point[edge + 1] - data.first_point[edge]));
    };
    for (std::size_t edge = 0; edge < data.edges.size(); ++edge) {
        if (edge % kEdgesABox == 0) {
            boxes.push_back(box_at(edge));
        } else {
            widen(boxes.back(), box_at(edge));
        }
    }
    for (std::size_t begin = 0; boxes.size() - begin > 1;) {
        const auto end = boxes.size();
        for (auto i = begin; i < end; ++i) {
            const auto box = boxes[i];
            if ((i - begin) % kEdgesABox == 0) {
                boxes.push_back(box);
            } else {
                widen(boxes.back(), box);
            }
        }
        begin = end;
    }
    return boxes;
}

RoadNetwork::RoadNetwork(const NetworkView& view, std::shared_ptr<const Store> store)
    : view_{view}, store_{std::move(store)}
{
}

Result<RoadNetwork> RoadNetwork::make(NetworkData data)
{
    auto store = std::make_shared<Store>();
    store->boxes.resize(box_count(data.edges.size()));
    auto fault = fault_of_roads(view_of(data, store->boxes));
    if (fault.empty() && data.graph == TravelGraphData{}) {
        data.graph = turn_graph(data);
    } else if (fault.empty()) {
        fault = fault_of(TravelGraph{data.graph}, data.edges);
    }
    if (!fault.empty()) {
        return fail(ErrorCode::InvalidInput, fmt::format("not a usable road network: {}", fault));
    }
    store->texts = {data.attribution, data.source, data.report};
    store->boxes = edge_boxes(data);
    store->data = std::move(data);
    store->checked = 0xff;
    const auto view = view_of(store->data, store->boxes);
    return RoadNetwork{view, std::move(store)};
}

RoadNetwork RoadNetwork::over(const NetworkView& view, Texts texts,
                              std::shared_ptr<const void> keeper,
                              std::function<void(NetworkPart)> check)
{
    auto store = std::make_shared<Store>();
    store->texts = std::move(texts);
    store->keeper = std::move(keeper);
    store->check = std::move(check);
    return RoadNetwork{view, std::move(store)};
}

Result<RoadNetwork> RoadNetwork::with_hierarchy(HierarchyData data) const
{
    if (data.graph_hash != hash_of(graph()) || !fault_of(Hierarchy{data}, graph()).empty()) {
        return fail(ErrorCode::InvalidInput, "the hierarchy was made for other roads or speeds");
    }
    auto store = std::make_shared<Store>();
    auto view = this->view();
    store->hierarchy = std::move(data);
    view.hierarchy = Hierarchy{store->hierarchy};
    store->texts = store_->texts;
    store->keeper = store_;
    store->checked = 0xff;
    return RoadNetwork{view, std::move(store)};
}

void RoadNetwork::check(NetworkPart part) const
{
    const std::lock_guard lock{store_->checking};
    for (const auto each : {NetworkPart::Roads, NetworkPart::Graph, NetworkPart::Hierarchy}) {
        const auto bit = static_cast<std::uint8_t>(each);
        if (each <= part && (store_->checked.load(std::memory_order_relaxed) & bit) == 0) {
            store_->check(each);
            store_->checked.fetch_or(bit, std::memory_order_release);
        }
    }
}

const NetworkView& RoadNetwork::view() const
{
    need(NetworkPart::Hierarchy);
    return view_;
}

NetworkData RoadNetwork::data() const
{
    need(NetworkPart::Graph);
    const auto copy = [](auto span) {
        return std::vector<typename decltype(span)::value_type>(span.begin(), span.end());
    };
    NetworkData data;
    data.nodes = copy(view_.nodes);
    data.edges = copy(view_.edges);
    data.first_point = copy(view_.first_point);
    data.points = copy(view_.points);
    data.first_letter = copy(view_.first_letter);
    data.letters.assign(view_.letters.begin(), view_.letters.end());
    data.limits = copy(view_.limits);
    data.turn_rules = copy(view_.turn_rules);
    data.turn_steps = copy(view_.turn_steps);
    data.first_cut_off = copy(view_.first_cut_off);
    data.cut_off = copy(view_.cut_off);
    data.graph = {copy(view_.graph.first_arcs()), copy(view_.graph.arcs()),
                  copy(view_.graph.arriving()), copy(view_.graph.leaving())};
    data.attribution = attribution();
    data.source = source();
    data.report = report();
    return data;
}

std::string_view RoadNetwork::name(std::uint32_t edge) const
{
    const auto& view = roads();
    const auto name = view.edges[edge].name;
    return std::string_view{view.letters.data(), view.letters.size()}.substr(
        view.first_letter[name], view.first_letter[name + 1] - view.first_letter[name]);
}

std::string_view RoadNetwork::text(std::uint32_t name) const
{
    const auto& view = roads();
    return std::string_view{view.letters.data(), view.letters.size()}.substr(
        view.first_letter[name], view.first_letter[name + 1] - view.first_letter[name]);
}

std::vector<std::uint32_t> RoadNetwork::edges_within(RoadBox box) const
{
    const auto& view = roads();
    // Where each level of boxes begins, and how many things below it has.
    struct Level {
        std::size_t first;
        std::size_t below;
    };
    std::vector<Level> levels;
    std::size_t first = 0;
    for (auto below = view.edges.size(); levels.empty() || below > 1;) {
        levels.push_back({first, below});
        below = (below + kEdgesABox - 1) / kEdgesABox;
        first += below;
    }
    std::vector<std::uint32_t> found;
    const auto visit = [&](const auto& self, std::size_t level, std::size_t index) -> void {
        if (!touch(view.boxes[levels[level].first + index], box)) {
            return;
        }
        const auto end = std::min(levels[level].below, (index + 1) * kEdgesABox);
        for (auto i = index * kEdgesABox; i < end; ++i) {
            if (level > 0) {
                self(self, level - 1, i);
            } else if (touch(box_of(line(static_cast<std::uint32_t>(i))), box)) {
                found.push_back(static_cast<std::uint32_t>(i));
            }
        }
    };
    visit(visit, levels.size() - 1, 0);
    return found;
}

}  // namespace nestround::roads
