#include "geocore/place/gpb_geometry.hpp"

#include <bit>
#include <limits>
#include <vector>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using place::read_gpb;
using place::write_gpb_point;
using Bytes = std::vector<std::uint8_t>;

namespace {

/// Builds blobs in either byte order, so that reading is not tested with our own writer only.
class Blob {
public:
    explicit Blob(bool big) : big_{big} {}
    Blob& byte(unsigned value)
    {
        bytes.push_back(static_cast<std::uint8_t>(value));
        return *this;
    }
    Blob& word(std::uint32_t value) { return put(value); }
    Blob& real(double value) { return put(std::bit_cast<std::uint64_t>(value)); }
    /// Magic, version, flags and reference system.
    Blob& header(unsigned flags, std::uint32_t srs = 4326)
    {
        return byte('G').byte('P').byte(0).byte(flags | (big_ ? 0U : 1U)).word(srs);
    }
    Blob& begin(std::uint32_t kind) { return byte(big_ ? 0 : 1).word(kind); }

    Bytes bytes;

private:
    template <class Number>
    Blob& put(Number value)
    {
        for (std::size_t i = 0; i < sizeof(Number); ++i) {
            const auto shift = 8 * (big_ ? sizeof(Number) - 1 - i : i);
            byte(static_cast<unsigned>(value >> shift) & 0xffU);
        }
        return *this;
    }
    bool big_;
};

const double kNan = std::numeric_limits<double>::quiet_NaN();

}  // namespace

TEST_CASE("Gpb, WritesAPointByteForByte")
{
    // By hand from OGC 12-128r17 table 5: "GP", version 0, flags 1 (little-endian, no envelope),
    // 4326 = 0x10E6, then byte order 1, type 1, and the doubles 1.0 and -2.0.
    const Bytes expected{0x47, 0x50, 0, 1, 0xE6, 0x10, 0, 0, 1, 1, 0, 0, 0, 0,   0,
                         0,    0,    0, 0, 0xF0, 0x3F, 0, 0, 0, 0, 0, 0, 0, 0xC0};
    const auto blob = write_gpb_point({Longitude{1}, Latitude{-2}});
    CHECK(Bytes{blob.begin(), blob.end()} == expected);
}

TEST_CASE("Gpb, KeepsCoordinatesBitForBit")
{
    Random random{7};
    for (int i = 0; i < 1000; ++i) {
        const LonLat place{Longitude{random.uniform(-180, 180)}, Latitude{random.uniform(-90, 90)}};
        const auto read = read_gpb(write_gpb_point(place));
        REQUIRE(read);
        CHECK(read->point == place);
        CHECK(read->srs_id == 4326);
        CHECK_FALSE(read->empty);
    }
}

TEST_CASE("Gpb, ReadsBothByteOrdersAndAllEnvelopes")
{
    for (const bool big : {false, true}) {
        for (unsigned indicator = 0; indicator <= 4; ++indicator) {
            CAPTURE(big, indicator);
            Blob blob{big};
            blob.header(indicator << 1U);
            const std::size_t doubles[] = {0, 4, 6, 6, 8};
            for (std::size_t i = 0; i < doubles[indicator]; ++i) {
                blob.real(static_cast<double>(i));
            }
            blob.begin(2).word(2).real(5).real(-6).real(1).real(2);
            const auto read = read_gpb(blob.bytes);
            REQUIRE(read);
            CHECK(read->kind == 2);
            CHECK(read->box == place::Box{1, 5, -6, 2});
            CHECK(read->written_box.has_value() == (indicator > 0));
            if (indicator > 0) {
                CHECK(read->written_box == place::Box{0, 1, 2, 3});
            }
        }
    }
}

TEST_CASE("Gpb, ReadsZAndMWithoutTakingThemForPlace")
{
    Blob z{false};
    z.header(0).begin(1001).real(9).real(47).real(1234);
    REQUIRE(read_gpb(z.bytes));
    CHECK(read_gpb(z.bytes)->has_z);
    CHECK(read_gpb(z.bytes)->point == LonLat{Longitude{9}, Latitude{47}});

    Blob zm{true};
    zm.header(0).begin(3005).word(1).begin(3002).word(1).real(1).real(2).real(300).real(400);
    REQUIRE(read_gpb(zm.bytes));
    CHECK(read_gpb(zm.bytes)->has_z);
    CHECK(read_gpb(zm.bytes)->has_m);
    CHECK(read_gpb(zm.bytes)->box == place::Box{1, 1, 2, 2});
}

TEST_CASE("Gpb, ReadsPolygonsAndCollections")
{
    Blob blob{false};
    blob.header(0).begin(7).word(2);
    blob.begin(3).word(1).word(4).real(0).real(0).real(4).real(0).real(4).real(3).real(0).real(0);
    blob.begin(1).real(-1).real(9);
    const auto read = read_gpb(blob.bytes);
    REQUIRE(read);
    CHECK(read->kind == 7);
    CHECK(read->box == place::Box{-1, 4, 0, 9});
    CHECK_FALSE(read->point);
}

TEST_CASE("Gpb, TellsEmptyFromDamaged")
{
    Blob empty{false};
    empty.header(0x10).begin(1).real(kNan).real(kNan);
    REQUIRE(read_gpb(empty.bytes));
    CHECK(read_gpb(empty.bytes)->empty);
    CHECK_FALSE(read_gpb(empty.bytes)->point);

    Blob unsaid{false};
    unsaid.header(0).begin(1).real(kNan).real(kNan);
    CHECK_FALSE(read_gpb(unsaid.bytes));

    Blob lying{false};
    lying.header(0x10).begin(1).real(1).real(2);
    CHECK_FALSE(read_gpb(lying.bytes));

    Blob half{false};
    half.header(0).begin(1).real(kNan).real(2);
    CHECK_FALSE(read_gpb(half.bytes));
}

TEST_CASE("Gpb, RefusesEveryCutAndEveryTail")
{
    Blob blob{true};
    blob.header(1U << 1U).real(1).real(5).real(-6).real(2);
    blob.begin(4).word(2).begin(1).real(5).real(-6).begin(1).real(1).real(2);
    REQUIRE(read_gpb(blob.bytes));
    for (std::size_t size = 0; size < blob.bytes.size(); ++size) {
        CAPTURE(size);
        CHECK_FALSE(read_gpb(std::span{blob.bytes}.first(size)));
    }
    blob.byte(0);
    CHECK_FALSE(read_gpb(blob.bytes));
}

TEST_CASE("Gpb, RefusesWhatTheStandardDoesNotKnow")
{
    Blob version{false};
    version.byte('G').byte('P').byte(1).byte(1).word(4326).begin(1).real(1).real(2);
    Blob envelope{false};
    envelope.header(5U << 1U).begin(1).real(1).real(2);
    Blob extended{false};
    extended.header(0x20).begin(1).real(1).real(2);
    Blob kind{false};
    kind.header(0).begin(17).real(1).real(2);
    Blob order{false};
    order.header(0).byte(2).word(1).real(1).real(2);
    Blob mixed{false};
    mixed.header(0).begin(4).word(1).begin(2).word(1).real(1).real(2);
    for (const auto& blob : {version, envelope, extended, kind, order, mixed}) {
        const auto read = read_gpb(blob.bytes);
        REQUIRE_FALSE(read);
        CHECK(read.error().code == ErrorCode::InvalidInput);
    }
}

TEST_CASE("Gpb, DoesNotBelieveAHugeCount")
{
    Blob blob{false};
    blob.header(0).begin(2).word(0xffffffff).real(1).real(2);
    CHECK_FALSE(read_gpb(blob.bytes));
}

TEST_CASE("Gpb, DoesNotFollowNestingForEver")
{
    Blob blob{false};
    blob.header(0);
    for (int i = 0; i < 100000; ++i) {
        blob.begin(7).word(1);
    }
    blob.begin(1).real(1).real(2);
    CHECK_FALSE(read_gpb(blob.bytes));
}

TEST_CASE("Gpb, SurvivesRandomBytes")
{
    // Under the sanitizers this is a fuzz test; here it says that whatever is accepted is sane.
    Random random{20260804};
    Blob seed{false};
    seed.header(1U << 1U).real(1).real(5).real(-6).real(2);
    seed.begin(6).word(1).begin(3).word(1).word(3);
    seed.real(1).real(-6).real(5).real(2).real(1).real(-6);
    REQUIRE(read_gpb(seed.bytes));
    std::size_t accepted = 0;
    for (int i = 0; i < 200000; ++i) {
        Bytes bytes = seed.bytes;
        if (i % 4 == 0) {
            bytes.resize(random.below(80));
            for (auto& byte : bytes) {
                byte = static_cast<std::uint8_t>(random.next());
            }
        }
        for (std::uint64_t changes = random.below(4); changes > 0 && !bytes.empty(); --changes) {
            bytes[random.below(bytes.size())] = static_cast<std::uint8_t>(random.next());
        }
        if (const auto read = read_gpb(bytes)) {
            ++accepted;
            CHECK(read->empty == !read->box);
            if (read->box) {
                CHECK(read->box->min_x <= read->box->max_x);
                CHECK(read->box->min_y <= read->box->max_y);
            }
        }
    }
    CHECK(accepted > 1000);
}
