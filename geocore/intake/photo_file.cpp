#include "geocore/intake/photo_file.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

#include "geocore/intake/time_zone.hpp"

namespace nestround::intake {

namespace {

using Bytes = std::span<const std::uint8_t>;

/// Bytes read from a place; whatever lies beyond the end reads as nothing.
class Reader {
public:
    Reader(Bytes bytes, bool little) : bytes_{bytes}, little_{little} {}

    [[nodiscard]] std::optional<std::uint32_t> number(std::size_t at, std::size_t length) const
    {
        if (at > bytes_.size() || bytes_.size() - at < length) {
            return std::nullopt;
        }
        std::uint32_t value = 0;
        for (std::size_t i = 0; i < length; ++i) {
            value = value << 8U | bytes_[little_ ? at + length - 1 - i : at + i];
        }
        return value;
    }
    [[nodiscard]] bool has(std::size_t at, std::string_view text) const
    {
        return at <= bytes_.size() && bytes_.size() - at >= text.size() &&
               std::equal(text.begin(), text.end(), bytes_.begin() + static_cast<long>(at),
                          [](char a, std::uint8_t b) { return static_cast<std::uint8_t>(a) == b; });
    }
    [[nodiscard]] Bytes part(std::size_t at, std::size_t length) const
    {
        return at > bytes_.size() ? Bytes{}
                                  : bytes_.subspan(at, std::min(length, bytes_.size() - at));
    }

private:
    Bytes bytes_;
    bool little_;
};

/// The tags of one directory of a TIFF.
class Directory {
public:
    Directory(const Reader& tiff, std::size_t at) : tiff_{tiff}, at_{at} {}

    /// Where an entry's value stands, and how many of its kind there are.
    struct Entry {
        std::uint32_t kind = 0;
        std::uint32_t count = 0;
        std::size_t at = 0;
    };
    [[nodiscard]] std::optional<Entry> find(std::uint32_t tag) const
    {
        const auto count = tiff_.number(at_, 2);
        for (std::uint32_t i = 0; count && i < *count; ++i) {
            const std::size_t row = at_ + 2 + std::size_t{12} * i;
            const auto found = tiff_.number(row, 2);
            const auto kind = tiff_.number(row + 2, 2);
            const auto many = tiff_.number(row + 4, 4);
            if (!found || !kind || !many) {
                return std::nullopt;
            }
            if (*found != tag) {
                continue;
            }
            static constexpr std::array<std::size_t, 13> kSizes{0, 1, 1, 2, 4, 8, 1,
                                                                1, 2, 4, 8, 4, 8};
            const std::size_t size = *kind < kSizes.size() ? kSizes[*kind] : 0;
            if (size * *many <= 4) {
                return Entry{*kind, *many, row + 8};
            }
            const auto where = tiff_.number(row + 8, 4);
            return where ? std::optional{Entry{*kind, *many, *where}} : std::nullopt;
        }
        return std::nullopt;
    }
    [[nodiscard]] std::string text(std::uint32_t tag) const
    {
        const auto entry = find(tag);
        std::string out;
        if (entry && entry->kind == 2) {
            for (const auto byte : tiff_.part(entry->at, std::min(entry->count, 64U))) {
                if (byte == 0) {
                    break;
                }
                out.push_back(static_cast<char>(byte));
            }
        }
        return out;
    }
    [[nodiscard]] std::optional<std::size_t> pointer(std::uint32_t tag) const
    {
        const auto entry = find(tag);
        const auto at = entry && entry->kind == 4 ? tiff_.number(entry->at, 4) : std::nullopt;
        return at ? std::optional<std::size_t>{*at} : std::nullopt;
    }
    /// Degrees, minutes and seconds.
    [[nodiscard]] std::optional<double> degrees(std::uint32_t tag) const
    {
        const auto entry = find(tag);
        if (!entry || entry->kind != 5 || entry->count != 3) {
            return std::nullopt;
        }
        double sum = 0;
        double share = 1;
        for (std::size_t i = 0; i < 3; ++i, share /= 60) {
            const auto over = tiff_.number(entry->at + 8 * i, 4);
            const auto under = tiff_.number(entry->at + 8 * i + 4, 4);
            if (!over || !under || (*under == 0 && *over != 0)) {
                return std::nullopt;
            }
            sum += *under == 0 ? 0 : share * *over / *under;
        }
        return sum;
    }

private:
    const Reader& tiff_;
    std::size_t at_;
};

/// "2026:08:04 07:12:30".
std::optional<Instant> clock_of(const std::string& text)
{
    if (text.size() < 19 || text[4] != ':' || text[7] != ':') {
        return std::nullopt;
    }
    std::string iso = text.substr(0, 19);
    iso[4] = iso[7] = '-';
    iso[10] = 'T';
    const auto instant = parse_instant(iso + "Z");
    return instant ? std::optional{*instant} : std::nullopt;
}

/// "+02:00".
std::optional<seconds> offset_of(const std::string& text)
{
    int hours = 0;
    int minutes = 0;
    if (text.size() < 6 || (text[0] != '+' && text[0] != '-') || text[3] != ':' ||
        std::from_chars(text.data() + 1, text.data() + 3, hours).ec != std::errc{} ||
        std::from_chars(text.data() + 4, text.data() + 6, minutes).ec != std::errc{} ||
        hours > 14 || minutes > 59) {
        return std::nullopt;
    }
    const seconds ahead = std::chrono::hours{hours} + std::chrono::minutes{minutes};
    return text[0] == '-' ? -ahead : ahead;
}

void read_exif(Bytes bytes, PhotoFacts& facts)
{
    const bool little = Reader{bytes, false}.has(0, "II");
    if (!little && !Reader{bytes, false}.has(0, "MM")) {
        return;
    }
    const Reader tiff{bytes, little};
    const auto first = tiff.number(4, 4);
    if (tiff.number(2, 2) != 42U || !first) {
        return;
    }
    constexpr std::uint32_t kExif = 0x8769;
    constexpr std::uint32_t kPosition = 0x8825;
    const Directory main{tiff, *first};
    if (const auto turn = main.find(0x0112); turn && turn->kind == 3) {
        const auto value = tiff.number(turn->at, 2);
        facts.turn = value && *value >= 1 && *value <= 8 ? static_cast<int>(*value) : 1;
    }
    if (const auto at = main.pointer(kExif)) {
        const Directory exif{tiff, *at};
        facts.taken = clock_of(exif.text(0x9003));
        facts.ahead = offset_of(exif.text(0x9011));
    }
    if (!facts.taken) {
        facts.taken = clock_of(main.text(0x0132));
    }
    if (const auto at = main.pointer(kPosition)) {
        const Directory position{tiff, *at};
        auto lat = position.degrees(2);
        auto lon = position.degrees(4);
        const auto north = position.text(1);
        const auto east = position.text(3);
        if (lat && lon && !north.empty() && !east.empty()) {
            const LonLat place{Longitude{east[0] == 'W' ? -*lon : *lon},
                               Latitude{north[0] == 'S' ? -*lat : *lat}};
            if (is_on_earth(place) && (*lat != 0 || *lon != 0)) {
                facts.place = place;
            }
        }
    }
}

constexpr std::string_view kBroken = "the picture breaks off or is damaged";

tl::unexpected<Error> broken() { return fail(ErrorCode::InvalidInput, std::string{kBroken}); }

Result<PhotoFacts> read_jpeg(Bytes bytes)
{
    const Reader file{bytes, false};
    PhotoFacts facts;
    facts.content_type = "image/jpeg";
    std::size_t at = 2;
    while (true) {
        const auto mark = file.number(at, 2);
        if (!mark || *mark < 0xFF01) {
            return broken();
        }
        if (*mark == 0xFFFF) {  // fill
            ++at;
            continue;
        }
        if ((*mark >= 0xFFD0 && *mark <= 0xFFD7) || *mark == 0xFF01) {
            at += 2;
            continue;
        }
        const auto length = file.number(at + 2, 2);
        if (*mark == 0xFFD9 || *mark == 0xFFDA || !length || *length < 2) {
            return broken();  // no frame came before the picture itself
        }
        const bool is_frame = *mark >= 0xFFC0 && *mark <= 0xFFCF && *mark != 0xFFC4 &&
                              *mark != 0xFFC8 && *mark != 0xFFCC;
        if (is_frame) {
            const auto height = file.number(at + 5, 2);
            const auto width = file.number(at + 7, 2);
            if (!width || !height || *width == 0 || *height == 0) {
                return broken();
            }
            facts.width = static_cast<int>(*width);
            facts.height = static_cast<int>(*height);
            return facts;
        }
        if (*mark == 0xFFE1 && file.has(at + 4, std::string_view{"Exif\0\0", 6}) && *length > 8) {
            read_exif(file.part(at + 10, *length - 8), facts);
        }
        at += 2 + *length;
    }
}

Result<PhotoFacts> read_png(Bytes bytes)
{
    const Reader file{bytes, false};
    PhotoFacts facts;
    facts.content_type = "image/png";
    const auto width = file.number(16, 4);
    const auto height = file.number(20, 4);
    if (!file.has(12, "IHDR") || !width || !height || *width == 0 || *height == 0) {
        return broken();
    }
    facts.width = static_cast<int>(std::min(*width, 1U << 30U));
    facts.height = static_cast<int>(std::min(*height, 1U << 30U));
    std::size_t next = 8;
    while (true) {
        const std::size_t at = next;
        const auto length = file.number(at, 4);
        if (!length) {
            return broken();
        }
        next = at + 12 + *length;
        if (file.has(at + 4, "eXIf")) {
            read_exif(file.part(at + 8, *length), facts);
        }
        if (file.has(at + 4, "IEND")) {
            return facts;
        }
    }
}

Result<PhotoFacts> read_webp(Bytes bytes)
{
    const Reader file{bytes, true};
    PhotoFacts facts;
    facts.content_type = "image/webp";
    std::size_t next = 12;
    while (true) {
        const std::size_t at = next;
        const auto length = file.number(at + 4, 4);
        if (!length) {
            break;
        }
        next = at + 8 + *length + (*length & 1U);
        const std::size_t body = at + 8;
        std::optional<std::uint32_t> width;
        std::optional<std::uint32_t> height;
        if (file.has(at, "VP8X")) {
            width = file.number(body + 4, 3);
            height = file.number(body + 7, 3);
            if (width && height) {
                ++*width;
                ++*height;
            }
        } else if (file.has(at, "VP8L") && file.number(body, 1) == 0x2FU) {
            if (const auto bits = file.number(body + 1, 4)) {
                width = (*bits & 0x3FFFU) + 1;
                height = (*bits >> 14U & 0x3FFFU) + 1;
            }
        } else if (file.has(at, "VP8 ")) {
            width = file.number(body + 6, 2);
            height = file.number(body + 8, 2);
            if (width && height) {
                *width &= 0x3FFFU;
                *height &= 0x3FFFU;
            }
        } else if (file.has(at, "EXIF")) {
            const bool headed = file.has(body, std::string_view{"Exif\0\0", 6});
            read_exif(file.part(body + (headed ? 6 : 0), *length), facts);
        }
        if (width && height && facts.width == 0) {
            facts.width = static_cast<int>(*width);
            facts.height = static_cast<int>(*height);
        }
    }
    return facts.width > 0 && facts.height > 0 ? Result<PhotoFacts>{facts}
                                               : Result<PhotoFacts>{broken()};
}

}  // namespace

Result<PhotoFacts> read_photo(Bytes bytes)
{
    if (bytes.size() > kLargestPhoto) {
        return fail(ErrorCode::InvalidInput, "a photo has 12 MB at most");
    }
    const Reader file{bytes, false};
    auto facts = file.has(0, "\xFF\xD8\xFF")        ? read_jpeg(bytes)
                 : file.has(0, "\x89PNG\r\n\x1A\n") ? read_png(bytes)
                 : file.has(0, "RIFF") && file.has(8, "WEBP")
                     ? read_webp(bytes)
                     : Result<PhotoFacts>{
                           fail(ErrorCode::InvalidInput, "this is no JPEG, PNG or WebP picture")};
    if (facts && (facts->width > 65535 || facts->height > 65535)) {
        return fail(ErrorCode::InvalidInput, "a photo has 65535 pixels a side at most");
    }
    return facts;
}

std::optional<Instant> taken_at(const PhotoFacts& facts, const std::string& zone)
{
    if (!facts.taken) {
        return std::nullopt;
    }
    if (facts.ahead) {
        return *facts.taken - *facts.ahead;
    }
    const Day day = std::chrono::floor<std::chrono::days>(*facts.taken);
    const auto instant = to_utc(day, ClockTime{*facts.taken - day}, zone);
    return instant ? std::optional{*instant} : std::nullopt;
}

}  // namespace nestround::intake
