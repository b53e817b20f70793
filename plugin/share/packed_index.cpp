#include "plugin/share/packed_index.hpp"

#include <algorithm>
#include <bit>
#include <cassert>
#include <cmath>
#include <limits>

namespace nestround::share {

namespace {

constexpr std::size_t kHead = 4;   // depth and number of cells, two bytes each
constexpr std::size_t kCell = 24;  // a row of eight bytes and four sides of four

float below(double value)
{
    const auto near = static_cast<float>(value);
    return near > value ? std::nextafter(near, -std::numeric_limits<float>::infinity()) : near;
}

float above(double value)
{
    const auto near = static_cast<float>(value);
    return near < value ? std::nextafter(near, std::numeric_limits<float>::infinity()) : near;
}

/// Strips from west to east, each from south to north, so that `capacity` in a row lie together.
void tile(std::vector<Boxed>& boxes, std::size_t capacity)
{
    const auto x = [](const Boxed& box) { return double{box.min_x} + double{box.max_x}; };
    const auto y = [](const Boxed& box) { return double{box.min_y} + double{box.max_y}; };
    // Rows decide between equals, so that the same boxes are always packed alike.
    std::sort(boxes.begin(), boxes.end(), [&](const Boxed& a, const Boxed& b) {
        return x(a) != x(b) ? x(a) < x(b) : a.row < b.row;
    });
    const auto nodes = (boxes.size() + capacity - 1) / capacity;
    const auto strips = static_cast<std::size_t>(std::ceil(std::sqrt(double(nodes))));
    const auto strip = (nodes + strips - 1) / strips * capacity;
    for (std::size_t from = 0; from < boxes.size(); from += strip) {
        const auto begin = boxes.begin() + static_cast<std::ptrdiff_t>(from);
        const auto end =
            boxes.begin() + static_cast<std::ptrdiff_t>(std::min(from + strip, boxes.size()));
        std::sort(begin, end, [&](const Boxed& a, const Boxed& b) {
            return y(a) != y(b) ? y(a) < y(b) : a.row < b.row;
        });
    }
}

template <class Whole>
void append(std::vector<std::uint8_t>& bytes, Whole value, std::size_t width)
{
    for (std::size_t i = width; i > 0; --i) {
        bytes.push_back(static_cast<std::uint8_t>(std::uint64_t{value} >> (8 * (i - 1))));
    }
}

/// A node of `boxes`; `depth` is 0 but for the root.
void write_node(std::vector<std::uint8_t>& bytes, std::span<const Boxed> boxes, unsigned depth,
                std::size_t size)
{
    bytes.clear();
    append(bytes, depth, 2);
    append(bytes, boxes.size(), 2);
    for (const auto& box : boxes) {
        append(bytes, box.row, 8);
        for (const float side : {box.min_x, box.max_x, box.min_y, box.max_y}) {
            append(bytes, std::bit_cast<std::uint32_t>(side), 4);
        }
    }
    assert(bytes.size() <= size);
    bytes.resize(size);
}

Boxed around(std::span<const Boxed> boxes, std::uint32_t number)
{
    Boxed all = boxes.front();
    all.row = number;
    for (const auto& box : boxes) {
        all.min_x = std::min(all.min_x, box.min_x);
        all.max_x = std::max(all.max_x, box.max_x);
        all.min_y = std::min(all.min_y, box.min_y);
        all.max_y = std::max(all.max_y, box.max_y);
    }
    return all;
}

}  // namespace

Boxed boxed(std::uint32_t row, double min_x, double max_x, double min_y, double max_y)
{
    return {row, below(min_x), above(max_x), below(min_y), above(max_y)};
}

PackedIndex pack_index(
    std::vector<Boxed> boxes, std::size_t node_size,
    const std::function<void(std::uint32_t, std::span<const std::uint8_t>)>& take)
{
    const std::size_t capacity = (node_size - kHead) / kCell;
    assert(capacity >= 4);
    PackedIndex index;
    index.leaf_of.resize(boxes.size(), 1);
    std::vector<std::uint8_t> bytes;
    // A level of nodes over the one before, until one node holds what is left.
    unsigned depth = 0;
    std::uint32_t next = 2;
    while (boxes.size() > capacity) {
        tile(boxes, capacity);
        std::vector<Boxed> nodes;
        nodes.reserve((boxes.size() + capacity - 1) / capacity);
        for (std::size_t from = 0; from < boxes.size(); from += capacity) {
            const std::span<const Boxed> part{boxes.data() + from,
                                              std::min(capacity, boxes.size() - from)};
            for (const auto& box : part) {
                (depth == 0 ? index.leaf_of[box.row - 1] : index.parent_of[box.row - 2]) = next;
            }
            write_node(bytes, part, 0, node_size);
            take(next, bytes);
            nodes.push_back(around(part, next++));
        }
        index.parent_of.resize(next - 2, 1);
        boxes = std::move(nodes);
        ++depth;
    }
    write_node(bytes, boxes, depth, node_size);
    take(1, bytes);
    return index;
}

}  // namespace nestround::share
