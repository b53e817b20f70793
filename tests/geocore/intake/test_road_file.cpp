#include "geocore/intake/road_file.hpp"

#include <cstring>
#include <filesystem>
#include <functional>

#include "geocore/base/error.hpp"
#include "geocore/roads/contract_graph.hpp"
#include "geocore/roads/contraction_engine.hpp"
#include "tests/support/catch.hpp"
#include "tests/support/road_nets.hpp"
#include "tests/support/scratch_folder.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::test;

namespace {

roads::NetworkData some_data()
{
    Random random{5};
    auto raw = random_roads(random, 6);
    raw.ways[3].road.name = "Weir Road";
    raw.ways[3].road.limits.height_mm = 3200;
    raw.nodes.push_back(raw_node(9001, 50, 50));
    raw.nodes.push_back(raw_node(9002, 51, 50));
    raw.ways.push_back(raw_way(9001, {9001, 9002}));  // cut off
    for (const auto& a : raw.ways) {
        for (const auto& b : raw.ways) {
            if (raw.restrictions.size() < 6 && a.id != b.id && a.nodes.back() == b.nodes.front()) {
                roads::TurnRestriction turn;
                turn.from_way = a.id;
                turn.via_node = a.nodes.back();
                turn.to_way = b.id;
                turn.condition = "no_left_turn @ (07:00-09:00)";
                raw.restrictions.push_back(turn);
            }
        }
    }
    raw.attribution = "drawn for a test";
    raw.source = "nowhere";
    return built(raw)->data();
}

/// With a hierarchy.
roads::RoadNetwork prepared(const roads::NetworkData& data)
{
    const auto plain = *roads::RoadNetwork::make(data);
    return value_or_throw(plain.with_hierarchy(roads::contract_graph(plain.graph()).value()));
}

/// Of a network whose arrays nobody looked at, so that a test can damage them.
struct Loose {
    roads::NetworkData data;
    std::vector<roads::RoadBox> boxes;
    roads::HierarchyData hierarchy;

    static Loose make()
    {
        Loose loose;
        const auto plain = *roads::RoadNetwork::make(some_data());
        loose.data = plain.data();
        loose.boxes = roads::edge_boxes(loose.data);
        loose.hierarchy = roads::contract_graph(plain.graph()).value();
        return loose;
    }
    [[nodiscard]] std::string encoded() const
    {
        roads::NetworkView view;
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
        view.hierarchy = hierarchy;
        return encode_roads(roads::RoadNetwork::over(view, {}, nullptr, [](auto) {}));
    }
};

Error error_of(const std::string& bytes)
{
    try {
        (void)decode_roads(bytes, "some.roads");
    } catch (const Failure& failure) {
        return failure.error();
    }
    return {ErrorCode::Internal, "nothing was refused", ""};
}

template <class T>
void put(std::string& bytes, std::size_t at, T value)
{
    std::memcpy(bytes.data() + at, &value, sizeof value);
}

}  // namespace

TEST_CASE("RoadFile, WhatIsSavedIsLoaded")
{
    const ScratchFolder folder;
    const auto path = folder.file("a.roads");
    const auto network = prepared(some_data());
    save_roads(path, network);
    const auto loaded = load_roads(path);
    CHECK(loaded->data() == network.data());
    REQUIRE(loaded->has_hierarchy());
    CHECK(roads::fault_of(loaded->hierarchy(), loaded->graph()).empty());
    CHECK(loaded->hierarchy().graph_hash == roads::hash_of(network.graph()));
    CHECK(loaded->attribution() == "drawn for a test");
    CHECK_FALSE(std::filesystem::exists(path + ".part"));
    // The same network gives the same bytes.
    save_roads(folder.file("b.roads"), *loaded);
    CHECK(folder.read("a.roads") == folder.read("b.roads"));
}

TEST_CASE("RoadFile, CutShortAtAnyLengthItIsRefused")
{
    const auto whole = encode_roads(prepared(some_data()));
    REQUIRE_NOTHROW(decode_roads(whole, "some.roads"));
    for (std::size_t length = 0; length < whole.size(); length += 1 + length / 40) {
        CAPTURE(length);
        const auto error = error_of(whole.substr(0, length));
        CHECK(error.code == ErrorCode::InvalidInput);
        CHECK(error.where == "some.roads");
    }
    CHECK(error_of(whole.substr(0, whole.size() - 1)).message.find("damaged") != std::string::npos);
    CHECK(error_of(whole + '\0').code == ErrorCode::InvalidInput);
}

TEST_CASE("RoadFile, AnyFlippedBitIsNoticed")
{
    const auto whole = encode_roads(prepared(some_data()));
    // Header and table bit by bit, then every byte of every section, one bit each.
    std::size_t unnoticed = 0;
    for (std::size_t at = 0; at < whole.size(); ++at) {
        for (unsigned bit = 0; bit < (at < 32 + 24 * 32 ? 8U : 1U); ++bit) {
            auto bytes = whole;
            bytes[at] = static_cast<char>(bytes[at] ^ (1U << ((at + bit) % 8)));
            const auto code = error_of(bytes).code;
            unnoticed += code == ErrorCode::InvalidInput || code == ErrorCode::WrongVersion ? 0 : 1;
        }
    }
    CHECK(unnoticed == 0);
}

TEST_CASE("RoadFile, AForeignFileIsToldApartFromADamagedOne")
{
    CHECK(error_of("SQLite format 3 and more of it, long enough to hold a header")
              .message.find("not a road file") != std::string::npos);
    CHECK(error_of("").message.find("not a road file") != std::string::npos);
}

TEST_CASE("RoadFile, AnotherVersionIsNamedAsSuch")
{
    auto bytes = encode_roads(prepared(some_data()));
    put<std::uint32_t>(bytes, 8, 4);
    auto error = error_of(bytes);
    CHECK(error.code == ErrorCode::WrongVersion);
    CHECK(error.message.find("version 4") != std::string::npos);
    put<std::uint32_t>(bytes, 8, 1);
    error = error_of(bytes);
    CHECK(error.code == ErrorCode::WrongVersion);
    CHECK(error.message.find("older version 1") != std::string::npos);
    CHECK(error.message.find("build it again") != std::string::npos);
}

TEST_CASE("RoadFile, WhatLeadsOutsideIsRefusedThoughChecksumsFit")
{
    REQUIRE_NOTHROW(decode_roads(Loose::make().encoded(), "some.roads"));
    const std::vector<std::pair<const char*, std::function<void(Loose&)>>> breaks{
        {"no roads",
         [](Loose& l) {
             l.data = {};
             l.data.first_point = {0};
             l.data.first_letter = {0, 0};
         }},
        {"road 1 is damaged", [](Loose& l) { l.data.edges[1].to = 123'456'789; }},
        {"lines", [](Loose& l) { l.data.first_point[2] = 0xfffffff0; }},
        {"names", [](Loose& l) { l.data.first_letter[1] = 0xfffffff0; }},
        {"Earth", [](Loose& l) { l.data.points[3].lon_e7 = INT32_MIN; }},
        {"boxes", [](Loose& l) { l.boxes.pop_back(); }},
        {"offsets of its arcs", [](Loose& l) { l.data.graph.first_arc[3] = 0xfffffff0; }},
        {"arc", [](Loose& l) { l.data.graph.arcs[3].head = 0x7fffffff; }},
        {"arc", [](Loose& l) { l.data.graph.arcs[3].what = 0x7ffffff0; }},
        {"states", [](Loose& l) { l.data.graph.leaving.pop_back(); }},
        {"damaged", [](Loose& l) { l.data.graph.arriving[0] = 0x7ffffff0; }},
        {"hierarchy", [](Loose& l) { l.hierarchy.position[3] = 0x7ffffff0; }},
        {"hierarchy", [](Loose& l) { l.hierarchy.position.pop_back(); }},
        {"hierarchy", [](Loose& l) { l.hierarchy.first[3] = 0x7ffffff0; }},
        {"hierarchy", [](Loose& l) { l.hierarchy.arcs[3].head = 0x7ffffff0; }},
        {"hierarchy", [](Loose& l) { l.hierarchy.arcs[3].high = 0xffffffff; }},
        {"hierarchy", [](Loose& l) { l.hierarchy.via[3] = 0x7ffffff0; }},
        {"hierarchy", [](Loose& l) { l.hierarchy.via[3] = 0xfffffff0; }},
        {"hierarchy", [](Loose& l) { l.hierarchy.via.pop_back(); }},
        {"hierarchy", [](Loose& l) { l.hierarchy.core = 0x7ffffff0; }},
        {"other roads or speeds", [](Loose& l) { ++l.hierarchy.graph_hash; }},
    };
    for (const auto& [what, damage] : breaks) {
        CAPTURE(what);
        auto loose = Loose::make();
        damage(loose);
        const auto error = error_of(loose.encoded());
        CHECK(error.code == ErrorCode::InvalidInput);
        CHECK(error.message.find(what) != std::string::npos);
        CHECK(error.where == "some.roads");
    }
}

TEST_CASE("RoadFile, AShortcutPastAWrongStateIsRefusedWhenItIsFollowed")
{
    auto loose = Loose::make();
    // In bounds, so that opening does not see it; unpacking must neither crash nor go on for ever.
    for (auto& via : loose.hierarchy.via) {
        via = (via & roads::kGraphArc) != 0 ? via : 0;
    }
    const auto network =
        std::make_shared<const roads::RoadNetwork>(decode_roads(loose.encoded(), "some.roads"));
    const roads::ContractionEngine engine{network};
    std::size_t refused = 0;
    for (std::uint32_t edge = 0; edge < network->edge_count(); ++edge) {
        try {
            (void)engine.route({0, 0.5, {}, {}, true}, {edge, 0.5, {}, {}, true});
        } catch (const Failure& failure) {
            CHECK(failure.error().message.find("build it again") != std::string::npos);
            ++refused;
        }
    }
    CHECK(refused > 0);
}

TEST_CASE("RoadFile, ADamagedSectionIsRefusedByNameWhenItsPartIsFirstUsed")
{
    const ScratchFolder folder;
    const auto whole = encode_roads(prepared(some_data()));
    struct Entry {
        std::uint32_t kind;
        std::uint32_t size;
        std::uint64_t offset;
        std::uint64_t count;
        std::uint64_t checksum;
    };
    std::size_t damaged = 0;
    for (std::size_t i = 0; i < 24; ++i) {
        CAPTURE(i);
        Entry entry{};
        std::memcpy(&entry, whole.data() + 32 + i * 32, sizeof entry);
        if (entry.count == 0) {
            continue;
        }
        ++damaged;
        auto bytes = whole;
        bytes[entry.offset] = static_cast<char>(bytes[entry.offset] ^ 0x10);
        const auto path = folder.write("damaged.roads", bytes);
        const auto refuses = [&](const std::function<void(const roads::RoadNetwork&)>& use) {
            try {
                use(*load_roads(path));
            } catch (const Failure& failure) {
                CHECK(failure.error().where == path);
                CHECK(failure.error().message.find("damaged road file") != std::string::npos);
                return true;
            }
            return false;
        };
        CHECK(refuses([](const auto& network) { (void)network.view(); }));
        // Texts are looked at on opening; then roads, then the graph, then the hierarchy.
        CHECK(refuses([](const auto&) {}) == (i < 3));
        CHECK(refuses([](const auto& network) { (void)network.line(0); }) == (i < 15));
        CHECK(refuses([](const auto& network) { (void)network.graph(); }) == (i < 19));
        CHECK(refuses([](const auto& network) { (void)network.hierarchy(); }));
    }
    CHECK(damaged == 24);
}

TEST_CASE("RoadFile, AMissingFileAFolderAndAFullDiskAreFailuresWithTheirName")
{
    const ScratchFolder folder;
    const auto code_of = [](auto&& action) {
        try {
            action();
        } catch (const Failure& failure) {
            return failure.error().code;
        }
        return ErrorCode::Internal;
    };
    CHECK(code_of([&] { (void)load_roads(folder.file("none.roads")); }) == ErrorCode::NotFound);
    CHECK(code_of([&] { (void)load_roads(folder.file(".")); }) == ErrorCode::InvalidInput);
    const auto network = *roads::RoadNetwork::make(some_data());
    CHECK(code_of([&] { save_roads(folder.file("no/such/a.roads"), network); }) ==
          ErrorCode::OutputFailed);
    if (std::filesystem::exists("/dev/full")) {
        CHECK(code_of([&] { save_roads("/dev/full", network); }) == ErrorCode::OutputFailed);
    }
}
