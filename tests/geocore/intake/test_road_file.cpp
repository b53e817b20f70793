#include "geocore/intake/road_file.hpp"

#include <cstring>
#include <filesystem>

#include "geocore/base/error.hpp"
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
    raw.attribution = "drawn for a test";
    raw.source = "nowhere";
    return built(raw)->data();
}

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
    const auto network = *roads::RoadNetwork::make(some_data());
    save_roads(path, network);
    const auto loaded = load_roads(path);
    CHECK(loaded->data() == network.data());
    CHECK(loaded->attribution() == "drawn for a test");
    CHECK_FALSE(std::filesystem::exists(path + ".part"));
    // The same network gives the same bytes.
    save_roads(folder.file("b.roads"), *loaded);
    CHECK(folder.read("a.roads") == folder.read("b.roads"));
}

TEST_CASE("RoadFile, CutShortAtAnyLengthItIsRefused")
{
    const auto whole = encode_roads(some_data());
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
    const auto whole = encode_roads(some_data());
    // Header and table bit by bit, then every byte of every section, one bit each.
    std::size_t unnoticed = 0;
    for (std::size_t at = 0; at < whole.size(); ++at) {
        for (unsigned bit = 0; bit < (at < 32 + 9 * 32 ? 8U : 1U); ++bit) {
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

TEST_CASE("RoadFile, ANewerVersionIsNamedAsSuch")
{
    auto bytes = encode_roads(some_data());
    put<std::uint32_t>(bytes, 8, 2);
    const auto error = error_of(bytes);
    CHECK(error.code == ErrorCode::WrongVersion);
    CHECK(error.message.find("version 2") != std::string::npos);
}

TEST_CASE("RoadFile, AFileWithoutRoadsIsRefusedThoughItIsWhole")
{
    roads::NetworkData none;
    none.first_point = {0};
    none.first_letter = {0, 0};
    const auto error = error_of(encode_roads(none));
    CHECK(error.code == ErrorCode::InvalidInput);
    CHECK(error.message.find("no roads") != std::string::npos);
    CHECK(error.where == "some.roads");
}

TEST_CASE("RoadFile, IndicesThatLeadOutsideAreRefusedThoughChecksumsFit")
{
    auto data = some_data();
    data.edges[1].to = 123'456'789;
    CHECK(error_of(encode_roads(data)).message.find("road 1 is damaged") != std::string::npos);
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
