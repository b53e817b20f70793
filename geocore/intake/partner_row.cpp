#include "geocore/intake/partner_row.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "geocore/nature/season.hpp"

namespace nestround::intake {

namespace {

constexpr double kMostUncertainty = 1'000'000;  // m
constexpr double kMetresAFoot = 0.3048;
constexpr int kFirstYear = 1800;
constexpr int kLastYear = 2200;
constexpr int kMostNests = 1'000'000;
constexpr std::size_t kLongestKey = 500;
constexpr std::size_t kLongestName = 200;

std::optional<int> whole(std::string_view text)
{
    int value = 0;
    const auto clean = trimmed(text);
    const auto [end, error] = std::from_chars(clean.data(), clean.data() + clean.size(), value);
    if (clean.empty() || error != std::errc{} || end != clean.data() + clean.size()) {
        return std::nullopt;
    }
    return value;
}

/// One part of a date: a year, a month, a day, or the day of an instant.
std::optional<DaySpan> one_span(std::string_view text)
{
    using namespace std::chrono;
    const auto clean = trimmed(text);
    const auto digits = [&](std::size_t from, std::size_t count) {
        return clean.size() >= from + count &&
               clean.substr(from, count).find_first_not_of("0123456789") == std::string_view::npos;
    };
    if (clean.size() == 4 && digits(0, 4)) {
        const year y{*whole(clean)};
        return DaySpan{Day{y / January / 1}, Day{y / December / 31}};
    }
    if (clean.size() == 7 && digits(0, 4) && clean[4] == '-' && digits(5, 2)) {
        const year y{*whole(clean.substr(0, 4))};
        const month m{static_cast<unsigned>(*whole(clean.substr(5)))};
        if (!m.ok()) {
            return std::nullopt;
        }
        return DaySpan{Day{y / m / 1}, Day{sys_days{y / m / last}}};
    }
    if (clean.size() == 8 && clean.find_first_not_of("0123456789") == std::string_view::npos) {
        return std::nullopt;  // 20260804 or 04082026: nobody knows
    }
    const auto day = loose_day(clean);
    return day ? std::optional{DaySpan{*day, *day}} : std::nullopt;
}

/// What a row says, read field by field; the first fault stays.
class NestReader {
public:
    NestReader(const Columns& columns, const GridRow& row, const PlacedShape& shape, Day on)
        : row_{columns, row}, shape_{shape}, on_{on}
    {
        nest_.row = static_cast<int>(row.number);
    }

    std::optional<PartnerNest> read(const std::string& place_field, bool generalised)
    {
        place(place_field, generalised);
        uncertainty();
        names();
        date();
        season();
        count();
        status();
        if (row_.fault()) {
            return std::nullopt;
        }
        return nest_;
    }
    [[nodiscard]] const RefusedRow& fault() const { return *row_.fault(); }

private:
    void note(const std::string& words) { nest_.note += (nest_.note.empty() ? "" : "; ") + words; }

    void place(const std::string& field, bool generalised)
    {
        if (!shape_.place) {
            row_.refuse(field, shape_.fault.empty() ? "has no place" : shape_.fault,
                        "ask for the place of the nest, or leave the row out");
            return;
        }
        nest_.place = *shape_.place;
        nest_.form = shape_.form;
        if (shape_.form == PlaceForm::Cell) {
            note(fmt::format("an area; its middle, {:.0f} m to the farthest corner",
                             std::ceil(shape_.corner_m)));
        } else if (generalised || !row_.text("generalised").empty()) {
            nest_.form = PlaceForm::Cell;
            note("its place was made coarser by the sender");
        }
    }

    void uncertainty()
    {
        double metres = std::ceil(shape_.corner_m);
        for (const auto& [column, factor] :
             {std::pair{"uncertainty_m", 1.0}, std::pair{"uncertainty_ft", kMetresAFoot}}) {
            const auto value = row_.number(column);
            if (!value) {
                continue;
            }
            const double sent = *value * factor;
            if (sent < 0 || sent > kMostUncertainty) {
                row_.refuse(column,
                            fmt::format("{} is no uncertainty between 0 and {} m", *value,
                                        kMostUncertainty),
                            "correct it, or leave it empty");
            } else if (sent == 0) {
                note("an uncertainty of 0 was taken as not known");
            } else {
                metres = std::max(metres, sent);
            }
        }
        if (metres > kMostUncertainty) {
            row_.refuse("", "is an area of more than 1000 km; that is no place",
                        "leave the row out");
        } else if (metres > 0) {
            nest_.uncertainty = Metres{metres};
        } else if (nest_.form == PlaceForm::Cell) {
            nest_.form = PlaceForm::Point;  // coarser, and nobody said by how much
        }
    }

    void names()
    {
        nest_.source_key = plain_words(row_.text("key"), kLongestKey + 1);
        if (nest_.source_key.size() > kLongestKey) {
            row_.refuse("key", fmt::format("is longer than {} bytes", kLongestKey),
                        "name another column by --column key=...");
        }
        auto name = row_.text("taxon");
        if (name.empty()) {
            name = row_.text("genus");
            const auto epithet = row_.text("epithet");
            name += name.empty() || epithet.empty() ? "" : " " + epithet;
        }
        nest_.taxon_as_sent = plain_words(name, kLongestName);
        if (name.size() > kLongestName) {
            note("the name of the wasp was cut");
        }
    }

    /// The date, or what its columns of year, month and day make.
    [[nodiscard]] std::string date_words() const
    {
        auto words = row_.text("date");
        if (!words.empty()) {
            return words;
        }
        const auto year = whole(row_.text("year"));
        if (!year || *year < 1 || *year > 9999) {
            return row_.text("year");
        }
        words = fmt::format("{:04}", *year);
        const auto month = whole(row_.text("month"));
        const auto day = whole(row_.text("day"));
        if (month) {
            words += fmt::format("-{:02}", *month);
            words += day ? fmt::format("-{:02}", *day) : "";
        }
        return words;
    }

    void date()
    {
        const auto words = date_words();
        if (words.empty()) {
            return;
        }
        const std::string column = row_.text("date").empty() ? "year" : "date";
        const auto span = day_span(words);
        if (!span) {
            row_.refuse(column, fmt::format("'{}' is not a date", shown(words)),
                        "write 2026-08-04, 2026-08, 2026 or two with a slash between, or leave it "
                        "empty");
            return;
        }
        if (span->first > on_) {
            row_.refuse(column,
                        fmt::format("{} lies after {}", format_day(span->first), format_day(on_)),
                        "correct it; --on says another day than today");
            return;
        }
        nest_.date_as_sent = plain_words(words, kLongestName);
        nest_.first = span->first;
        nest_.last = span->last;
    }

    void season()
    {
        const auto words = row_.text("season");
        if (words.empty()) {
            return;
        }
        const auto year = whole(words);
        if (!year || *year < kFirstYear || *year > kLastYear) {
            row_.refuse("season", fmt::format("'{}' is not the year of a season", shown(words)),
                        "write it as 2026, or leave it empty");
            return;
        }
        if (shape_.place && *year > nature::season_of(on_, shape_.place->lat)) {
            row_.refuse("season", fmt::format("{} lies after {}", *year, format_day(on_)),
                        "correct it; --on says another day than today");
            return;
        }
        nest_.season = year;
    }

    void count()
    {
        std::string column = "count";
        if (row_.text(column).empty()) {
            const auto kind = folded(row_.text("quantity_type"));
            if (kind.find("nest") == std::string::npos && kind.find("colon") == std::string::npos) {
                return;
            }
            column = "quantity";
        }
        nest_.count = row_.count(column, 1, kMostNests);
    }

    void status()
    {
        if (folded(row_.text("status")) == "absent") {
            row_.refuse("status", "tells that no nest was there", "nothing is to be done");
        }
    }

    RowReader row_;
    const PlacedShape& shape_;
    Day on_;
    PartnerNest nest_;
};

/// A square of our own counts has no key but what it counts.
void name_squares(const Columns& columns, const GridRow& row, PartnerNest& nest)
{
    if (!nest.source_key.empty() || !columns.has("square")) {
        return;
    }
    const RowReader reader{columns, row};
    nest.source_key = plain_words(
        fmt::format("{}:{}:{}", reader.text("square"), nest.taxon_as_sent, nest.season.value_or(0)),
        kLongestKey);
}

}  // namespace

std::string plain_words(std::string_view text, std::size_t most)
{
    std::string out{trimmed(text)};
    for (char& c : out) {
        c = static_cast<unsigned char>(c) < ' ' || c == 0x7f ? ' ' : c;
    }
    if (out.size() > most) {
        while (most > 0 && (static_cast<unsigned char>(out[most]) & 0xc0U) == 0x80U) {
            --most;
        }
        out.resize(most);
    }
    return out;
}

std::optional<DaySpan> day_span(std::string_view text)
{
    const auto slash = text.find('/');
    if (slash == std::string_view::npos || text.find('/', slash + 1) != std::string_view::npos) {
        return one_span(text);  // 2026/08/04 is one day
    }
    const auto from = one_span(text.substr(0, slash));
    const auto to = one_span(text.substr(slash + 1));
    if (!from || !to || to->last < from->first) {
        return std::nullopt;
    }
    return DaySpan{from->first, to->last};
}

tl::expected<PartnerNest, RefusedRow> read_partner_row(const Columns& columns, const GridRow& row,
                                                       const PlacedShape& shape,
                                                       const RowTerms& terms)
{
    NestReader reader{columns, row, shape, terms.on};
    auto nest = reader.read(terms.place_field, terms.generalised);
    if (!nest) {
        return tl::make_unexpected(reader.fault());
    }
    name_squares(columns, row, *nest);
    return *nest;
}

}  // namespace nestround::intake
