#include "plugin/share/packed_index.hpp"

#include <algorithm>
#include <map>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::share;

namespace {

constexpr std::size_t kSize = 1228;

struct Packed {
    PackedIndex index;
    std::map<std::uint32_t, std::vector<std::uint8_t>> nodes;
    std::vector<std::uint32_t> order;
};

Packed packed(const std::vector<Boxed>& boxes, std::size_t size = kSize)
{
    Packed out;
    out.index = pack_index(boxes, size, [&](std::uint32_t number, auto bytes) {
        out.nodes[number].assign(bytes.begin(), bytes.end());
        out.order.push_back(number);
    });
    return out;
}

std::vector<Boxed> scattered(std::uint32_t count)
{
    Random random{7};
    std::vector<Boxed> boxes;
    for (std::uint32_t row = 1; row <= count; ++row) {
        const double x = random.uniform(-79, -75);
        const double y = random.uniform(40, 43);
        boxes.push_back(boxed(row, x, x, y, y));
    }
    return boxes;
}

std::uint64_t whole(const std::vector<std::uint8_t>& bytes, std::size_t at, std::size_t width)
{
    std::uint64_t value = 0;
    for (std::size_t i = 0; i < width; ++i) {
        value = value << 8U | bytes.at(at + i);
    }
    return value;
}

}  // namespace

TEST_CASE("PackedIndex, EachRowIsInItsLeafAndEachNodeInItsParent")
{
    for (const std::uint32_t count : {0U, 1U, 51U, 52U, 2'601U, 2'602U, 20'000U}) {
        CAPTURE(count);
        const auto tree = packed(scattered(count));
        CHECK(tree.order.back() == 1);
        CHECK(tree.index.leaf_of.size() == count);
        CHECK(tree.index.parent_of.size() + 1 == tree.nodes.size());
        const auto depth = whole(tree.nodes.at(1), 0, 2);
        CHECK(depth == (count <= 51 ? 0U : count <= 2'601 ? 1U : 2U));
        const auto holds = [&](std::uint32_t node, std::uint64_t wanted) {
            const auto& bytes = tree.nodes.at(node);
            for (std::size_t cell = 0; cell < whole(bytes, 2, 2); ++cell) {
                if (whole(bytes, 4 + 24 * cell, 8) == wanted) {
                    return true;
                }
            }
            return false;
        };
        std::size_t lost = 0;
        for (std::uint32_t row = 1; row <= count; ++row) {
            lost += holds(tree.index.leaf_of[row - 1], row) ? 0 : 1;
        }
        for (std::uint32_t node = 2; node < tree.nodes.size() + 1; ++node) {
            lost += holds(tree.index.parent_of[node - 2], node) ? 0 : 1;
        }
        CHECK(lost == 0);
    }
}

TEST_CASE("PackedIndex, SidesAreRoundedOutwards")
{
    Random random{8};
    for (int i = 0; i < 2000; ++i) {
        const double x = random.uniform(-180, 180);
        const auto box = boxed(1, x, x, x, x);
        CHECK(double{box.min_x} <= x);
        CHECK(double{box.max_x} >= x);
        CHECK(box.max_x - box.min_x < 1e-4F);
    }
    CHECK(boxed(1, 2.5, 2.5, 2.5, 2.5).min_x == 2.5F);
}

TEST_CASE("PackedIndex, ASmallWindowReadsFewLeaves")
{
    // What packing is for: a window of a hundredth of the land touches about that many leaves.
    const auto boxes = scattered(20'000);
    const auto tree = packed(boxes);
    const auto& leaves = tree.index.leaf_of;
    std::map<std::uint32_t, bool> touched;
    for (const auto& box : boxes) {
        if (box.min_x > -77 && box.max_x < -76.6F && box.min_y > 41 && box.max_y < 41.3F) {
            touched[leaves[box.row - 1]] = true;
        }
    }
    CHECK(touched.size() >= 4);
    CHECK(touched.size() <= 16);
}
