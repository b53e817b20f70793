#include "geocore/place/gpb_geometry.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <string>

namespace nestround::place {

namespace {

constexpr int kDeepest = 32;

constexpr unsigned kBigEndian = 0;
constexpr unsigned kLittleEndian = 1;

/// Doubles in the envelope that the header's contents indicator names; 5 to 7 are not valid.
constexpr std::array<std::size_t, 5> kEnvelopeDoubles{0, 4, 6, 6, 8};

struct Damage {
    std::string what;
};

/// A cursor over the blob; throws Damage (caught in read_gpb) rather than read beyond the end.
class Reader {
public:
    explicit Reader(std::span<const std::uint8_t> bytes) : bytes_{bytes} {}

    [[nodiscard]] std::size_t left() const { return bytes_.size() - at_; }

    std::uint8_t byte()
    {
        need(1);
        return bytes_[at_++];
    }
    std::uint32_t word() { return number<std::uint32_t>(); }
    double real() { return std::bit_cast<double>(number<std::uint64_t>()); }

    void set_order(unsigned order)
    {
        if (order != kBigEndian && order != kLittleEndian) {
            throw Damage{fmt::format("byte order {} is neither 0 nor 1", order)};
        }
        big_ = order == kBigEndian;
    }

private:
    void need(std::size_t count) const
    {
        if (left() < count) {
            throw Damage{
                fmt::format("it ends after {} bytes in the middle of something", bytes_.size())};
        }
    }

    template <class Number>
    Number number()
    {
        need(sizeof(Number));
        Number value = 0;
        for (std::size_t i = 0; i < sizeof(Number); ++i) {
            const auto shift = 8 * (big_ ? sizeof(Number) - 1 - i : i);
            value |= static_cast<Number>(bytes_[at_ + i]) << shift;
        }
        at_ += sizeof(Number);
        return value;
    }

    std::span<const std::uint8_t> bytes_;
    std::size_t at_ = 0;
    bool big_ = false;
};

struct Kind {
    std::uint32_t base = 0;
    bool z = false;
    bool m = false;

    [[nodiscard]] std::size_t doubles() const { return 2U + (z ? 1U : 0U) + (m ? 1U : 0U); }
};

Kind read_kind(std::uint32_t code)
{
    const std::uint32_t base = code % 1000;
    const std::uint32_t dimension = code / 1000;
    if (base < 1 || base > 7 || dimension > 3) {
        throw Damage{fmt::format("geometry type {} is not known", code)};
    }
    return {base, dimension == 1 || dimension == 3, dimension >= 2};
}

/// Gathers the box of all coordinates in one walk over the body.
class Walk {
public:
    explicit Walk(Reader& reader) : reader_{reader} {}

    std::optional<Box> box;
    double last_x = 0;
    double last_y = 0;

    Kind geometry(int depth)
    {
        if (depth > kDeepest) {
            throw Damage{fmt::format("it is nested more than {} deep", kDeepest)};
        }
        reader_.set_order(reader_.byte());
        const Kind kind = read_kind(reader_.word());
        switch (kind.base) {
            case 1:
                coordinate(kind);
                break;
            case 2:
                coordinates(kind);
                break;
            case 3:
                for (std::uint32_t rings = count(4); rings > 0; --rings) {
                    coordinates(kind);
                }
                break;
            default:
                for (std::uint32_t parts = count(5); parts > 0; --parts) {
                    part(kind, depth);
                }
        }
        return kind;
    }

private:
    /// A count of things of at least `size` bytes each, which the blob must be able to hold.
    std::uint32_t count(std::size_t size)
    {
        const std::uint32_t value = reader_.word();
        if (value > reader_.left() / size) {
            throw Damage{fmt::format("it says it has {} parts and is too short for them", value)};
        }
        return value;
    }

    void coordinates(const Kind& kind)
    {
        for (std::uint32_t points = count(8 * kind.doubles()); points > 0; --points) {
            coordinate(kind);
        }
    }

    void coordinate(const Kind& kind)
    {
        last_x = reader_.real();
        last_y = reader_.real();
        for (std::size_t i = 2; i < kind.doubles(); ++i) {
            (void)reader_.real();
        }
        if (std::isnan(last_x) && std::isnan(last_y)) {
            return;  // an empty point
        }
        if (std::isnan(last_x) || std::isnan(last_y)) {
            throw Damage{"a coordinate is not a number"};
        }
        if (!box) {
            box = Box{last_x, last_x, last_y, last_y};
            return;
        }
        box->min_x = std::min(box->min_x, last_x);
        box->max_x = std::max(box->max_x, last_x);
        box->min_y = std::min(box->min_y, last_y);
        box->max_y = std::max(box->max_y, last_y);
    }

    void part(const Kind& whole, int depth)
    {
        const Kind kind = geometry(depth + 1);
        const bool fits = whole.base == 7 || kind.base + 3 == whole.base;
        if (!fits || kind.z != whole.z || kind.m != whole.m) {
            throw Damage{"a part is of another type than the whole"};
        }
    }

    Reader& reader_;
};

GpbGeometry read_all(std::span<const std::uint8_t> blob)
{
    Reader reader{blob};
    if (reader.byte() != 'G' || reader.byte() != 'P') {
        throw Damage{"it does not begin with 'GP'"};
    }
    if (const auto version = reader.byte(); version != 0) {
        throw Damage{fmt::format("version {} is not known", version)};
    }
    const unsigned flags = reader.byte();
    const unsigned indicator = (flags >> 1U) & 7U;
    if (indicator >= kEnvelopeDoubles.size()) {
        throw Damage{fmt::format("envelope indicator {} is not valid", indicator)};
    }
    if ((flags & 0x20U) != 0) {
        throw Damage{"it is of an extended type"};
    }
    reader.set_order(flags & 1U);

    GpbGeometry out;
    out.srs_id = static_cast<std::int32_t>(reader.word());
    std::array<double, 8> envelope{};
    for (std::size_t i = 0; i < kEnvelopeDoubles[indicator]; ++i) {
        envelope[i] = reader.real();
    }
    if (indicator > 0) {
        out.written_box = Box{envelope[0], envelope[1], envelope[2], envelope[3]};
    }

    Walk walk{reader};
    const Kind kind = walk.geometry(0);
    if (reader.left() > 0) {
        throw Damage{fmt::format("{} bytes follow its end", reader.left())};
    }
    out.kind = kind.base;
    out.has_z = kind.z;
    out.has_m = kind.m;
    out.box = walk.box;
    out.empty = !walk.box;
    if (((flags >> 4U) & 1U) != (out.empty ? 1U : 0U)) {
        throw Damage{out.empty ? "it is empty and its header does not say so"
                               : "its header says that it is empty and it is not"};
    }
    if (kind.base == 1 && !out.empty) {
        out.point = LonLat{Longitude{walk.last_x}, Latitude{walk.last_y}};
    }
    return out;
}

template <class Number>
void put(std::span<std::uint8_t> out, Number value)
{
    for (std::size_t i = 0; i < sizeof(Number); ++i) {
        out[i] = static_cast<std::uint8_t>(value >> (8 * i));
    }
}

}  // namespace

Result<GpbGeometry> read_gpb(std::span<const std::uint8_t> blob)
{
    try {
        return read_all(blob);
    } catch (const Damage& damage) {
        return fail(ErrorCode::InvalidInput, "not a GeoPackage geometry: " + damage.what);
    }
}

std::array<std::uint8_t, 29> write_gpb_point(LonLat place, std::int32_t srs_id)
{
    std::array<std::uint8_t, 29> out{'G', 'P', 0, 1};
    const std::span all{out};
    put(all.subspan(4), static_cast<std::uint32_t>(srs_id));
    out[8] = kLittleEndian;
    put(all.subspan(9), std::uint32_t{1});
    put(all.subspan(13), std::bit_cast<std::uint64_t>(place.lon.value()));
    put(all.subspan(21), std::bit_cast<std::uint64_t>(place.lat.value()));
    return out;
}

}  // namespace nestround::place
