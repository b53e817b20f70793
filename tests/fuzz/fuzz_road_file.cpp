// Property: whatever the bytes, a road file is refused with a message, or it is a network in which
// nothing leads outside: every line, name, time and way can be asked for.
#include <cstring>
#include <memory>
#include <span>
#include <string>

#include "geocore/base/checksum.hpp"
#include "geocore/base/error.hpp"
#include "geocore/intake/road_file.hpp"
#include "geocore/roads/make_engine.hpp"
#include "tests/fuzz/property.hpp"

namespace {

using namespace nestround;

void open_and_use(std::string_view text)
{
    try {
        const auto network = std::make_shared<const roads::RoadNetwork>(
            intake::decode_roads({text.data(), text.size()}, "fuzzed"));
        for (std::uint32_t edge = 0; edge < network->edge_count(); ++edge) {
            fuzz::must(network->line(edge).size() >= 2, "a line has two points", text);
            (void)network->name(edge);
        }
        fuzz::must(network->edges_within(network->box()).size() <= network->edge_count(),
                   "a window holds no more than there is", text);
        const roads::RoadStop from{};
        const roads::RoadStop to{network->edge_count() - 1, 0.5, {}, {}, true};
        const auto engine = roads::make_engine(network);
        fuzz::must(engine->matrix(std::span{&from, 1}, std::span{&to, 1}).rows == 1,
                   "a matrix has its rows", text);
        (void)engine->route(from, to);
    } catch (const Failure& failure) {
        fuzz::must(!failure.error().message.empty(), "a refusal says why", text);
    }
}

/// The same bytes with every checksum made to fit, so that changes reach what lies behind them. The
/// layout is that of road_file.cpp: a header of 32 bytes, 24 entries of 32, both with their
/// checksum in the last 8.
std::string mended(std::string bytes)
{
    constexpr std::size_t kEntry = 32;
    constexpr std::size_t kTable = 24 * kEntry;
    if (bytes.size() < kEntry + kTable) {
        return bytes;
    }
    const auto number = [&](std::size_t at) {
        std::uint64_t value = 0;
        std::memcpy(&value, bytes.data() + at, 8);
        return value;
    };
    const auto put = [&](std::size_t at, std::uint64_t value) {
        std::memcpy(bytes.data() + at, &value, 8);
    };
    put(16, bytes.size());
    const std::span all{bytes};
    for (std::size_t at = kEntry; at < kEntry + kTable; at += kEntry) {
        std::uint32_t size = 0;
        std::memcpy(&size, bytes.data() + at + 4, 4);
        const auto offset = number(at + 8);
        const auto count = number(at + 16);
        if (size == 0 || offset > bytes.size() || count > (bytes.size() - offset) / size) {
            continue;
        }
        const auto padded = (count * size + 7) / 8 * 8;
        if (padded <= bytes.size() - offset) {
            put(at + 24, checksum(all.subspan(offset, padded)));
        }
    }
    put(24, 0);
    put(24, checksum(all.subspan(kEntry, kTable), checksum(all.first(kEntry))));
    return bytes;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    const std::string bytes{fuzz::as_text(data, size)};
    open_and_use(bytes);
    open_and_use(mended(bytes));
    return 0;
}
