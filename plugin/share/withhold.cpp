#include "plugin/share/withhold.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cassert>
#include <charconv>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <tuple>
#include <unordered_map>

#include "geocore/base/sha256.hpp"
#include "geocore/place/geodesic.hpp"

namespace nestround::share {

namespace {

constexpr double kMetresADegree = 111'319.49;  // of the equator; WGS 84 radius times pi / 180
constexpr std::size_t kIdDigits = 16;

/// Row from the equator and column from 180 degrees west.
struct Cell {
    std::int32_t row = 0;
    std::int32_t column = 0;

    friend auto operator<=>(const Cell&, const Cell&) = default;
};

/// The squares of one size. What is the same along a row is worked out once a row.
class Squares {
public:
    explicit Squares(Metres side) : side_{side}, height_{side.value() / kMetresADegree} {}

    [[nodiscard]] Cell cell(LonLat place)
    {
        const auto row = static_cast<std::int32_t>(std::floor(place.lat.value() / height_));
        const auto& known = row_of(row);
        const auto column = static_cast<std::int32_t>(std::min(
            known.columns - 1, std::floor((place.lon.value() + 180) / (360 / known.columns))));
        return {row, column};
    }

    /// Without its name.
    [[nodiscard]] Square square(Cell cell)
    {
        auto& known = row_of(cell.row);
        const double width = 360 / known.columns;
        const double south = cell.row * height_;
        Square square;
        square.west = Longitude{-180 + cell.column * width};
        square.east = Longitude{-180 + (cell.column + 1) * width};
        square.south = Latitude{std::max(south, -90.0)};
        square.north = Latitude{std::min(south + height_, 90.0)};
        square.middle = {Longitude{-180 + (cell.column + 0.5) * width}, Latitude{known.middle}};
        if (!known.uncertainty) {
            // Along a row all squares are alike; a whole metre hides how the sums are rounded.
            Metres farthest{0};
            const LonLat middle{Longitude{width / 2}, Latitude{known.middle}};
            for (const auto corner : {square.south, square.north}) {
                farthest =
                    std::max(farthest, place::geodesic_distance(middle, {Longitude{0}, corner}));
            }
            known.uncertainty = Metres{std::ceil(farthest.value() + kRounding)};
        }
        square.uncertainty = *known.uncertainty;
        return square;
    }

    [[nodiscard]] std::string name(Cell cell) const
    {
        return fmt::format("{:.0f}m{:+d}{:+d}", side_.value(), cell.row, cell.column);
    }

private:
    static constexpr double kRounding = 1e-6;  // metres

    struct Row {
        double middle = 0;   ///< latitude
        double columns = 1;  ///< a whole number
        std::optional<Metres> uncertainty;
    };

    Row& row_of(std::int32_t row)
    {
        const auto [found, made] = rows_.try_emplace(row);
        if (made) {
            const double south = row * height_;
            found->second.middle = std::clamp(south + height_ / 2, -90.0, 90.0);
            const double around =
                360 * std::cos(found->second.middle * std::numbers::pi / 180) / height_;
            found->second.columns = std::max(1.0, std::round(around));
        }
        return found->second;
    }

    Metres side_;
    double height_;  ///< degrees
    std::unordered_map<std::int32_t, Row> rows_;
};

/// Words that come again and again, as numbers.
class Numbered {
public:
    std::uint16_t operator()(const std::string& word)
    {
        const auto found = std::find(words_.begin(), words_.end(), word);
        if (found != words_.end()) {
            return static_cast<std::uint16_t>(found - words_.begin());
        }
        assert(words_.size() < std::numeric_limits<std::uint16_t>::max());
        words_.push_back(word);
        return static_cast<std::uint16_t>(words_.size() - 1);
    }
    [[nodiscard]] const std::vector<std::string>& words() const { return words_; }

private:
    std::vector<std::string> words_;  // some dozen
};

Day first_of_month(Day day)
{
    const std::chrono::year_month_day date{day};
    return Day{date.year() / date.month() / 1};
}

constexpr const char* kNever =
    "clients, addresses, names of places, notes and photographs are never given";
constexpr const char* kNeverButPhotos =
    "clients, addresses, names of places and notes are never given; photographs are, without what "
    "the camera wrote in them";

}  // namespace

std::uint64_t shared_id(const std::string& partner, const std::string& key)
{
    const auto digest = sha256("a nest shared with\n" + partner + "\n" + key);
    std::uint64_t id = 0;
    std::from_chars(digest.data(), digest.data() + kIdDigits, id, 16);
    return id;
}

class Withholding::Tier {
public:
    Tier(const std::string& partner, const app::PartnerSettings& terms)
        : partner_{partner}, terms_{terms}, squares_{Metres{terms.grid_m}}, houses_{kHouse}
    {
    }

    void add(const KnownNest& nest)
    {
        ++considered_;
        if (terms_.tier == app::PrivacyTier::Cells) {
            seen_.push_back({squares_.cell(nest.place), houses_.cell(nest.place),
                             std::hash<std::string>{}(nest.site), taxa_(nest.taxon),
                             static_cast<std::int16_t>(nest.season)});
        } else {
            nests_.push_back(terms_.tier == app::PrivacyTier::Exact ? exact(nest) : on_grid(nest));
        }
    }

    Shared result()
    {
        Shared shared;
        shared.tier = terms_.tier;
        shared.considered = considered_;
        switch (terms_.tier) {
            case app::PrivacyTier::Exact:
                shared.withheld = terms_.photos ? kNeverButPhotos : kNever;
                break;
            case app::PrivacyTier::Grid:
                shared.generalised = fmt::format(
                    "places moved to the middle of a fixed grid of {:.0f} m squares; dates to the "
                    "month; heights to whole metres",
                    terms_.grid_m);
                shared.withheld =
                    std::string{"exact places and dates and what was caught; "} + kNever;
                break;
            case app::PrivacyTier::Cells:
                count(shared);
                shared.generalised = fmt::format(
                    "nests counted in a fixed grid of {:.0f} m squares, by taxon and season",
                    terms_.grid_m);
                shared.withheld = fmt::format(
                    "single nests and their dates; counts of a taxon and season at fewer than {} "
                    "houses of a square, and all sums; {}",
                    terms_.at_least, kNever);
                return shared;
        }
        std::sort(nests_.begin(), nests_.end(),
                  [](const auto& a, const auto& b) { return a.id < b.id; });
        shared.nests = std::move(nests_);
        shared.taxa = taxa_.words();
        return shared;
    }

private:
    /// A nest of the tier of cells, until it is counted.
    struct Seen {
        Cell square;
        Cell spot;         ///< the fine square that it is in
        std::size_t site;  ///< a digest: two that are alike would count one house too few
        std::uint16_t taxon;
        std::int16_t season;

        [[nodiscard]] auto group() const { return std::tie(square, taxon, season); }
    };

    SharedNest exact(const KnownNest& nest)
    {
        SharedNest out;
        out.id = shared_id(partner_, nest.key);
        out.taxon = taxa_(nest.taxon);
        out.season = static_cast<std::int16_t>(nest.season);
        out.kind = nest.kind;
        out.place = nest.place;
        out.uncertainty = nest.place_uncertainty;
        out.height = nest.height;
        out.date = nest.received;
        out.outcome = nest.state;
        out.caught = nest.caught;
        return out;
    }

    SharedNest on_grid(const KnownNest& nest)
    {
        auto out = exact(nest);
        const auto square = squares_.square(squares_.cell(nest.place));
        out.place = square.middle;
        // The nest may lie outside its square when the book itself is not sure of the place.
        out.uncertainty =
            square.uncertainty + (nest.place_uncertainty ? *nest.place_uncertainty : Metres{0});
        if (out.height) {
            out.height = Metres{std::round(out.height->value())};
        }
        if (out.date) {
            out.date = first_of_month(*out.date);
        }
        out.caught.reset();
        return out;
    }

    void count(Shared& shared)
    {
        const auto different = [](auto begin, auto end, auto Seen::*part) {
            std::sort(begin, end,
                      [part](const Seen& a, const Seen& b) { return a.*part < b.*part; });
            int count = 0;
            for (auto one = begin; one != end; ++one) {
                count += one == begin || (*(one - 1)).*part != (*one).*part ? 1 : 0;
            }
            return count;
        };
        std::sort(seen_.begin(), seen_.end(),
                  [](const Seen& a, const Seen& b) { return a.group() < b.group(); });
        for (auto begin = seen_.begin(); begin != seen_.end();) {
            const Seen first = *begin;
            const auto end = std::find_if(begin, seen_.end(), [&first](const Seen& one) {
                return one.group() != first.group();
            });
            const int nests = static_cast<int>(end - begin);
            const int houses = nests < terms_.at_least
                                   ? nests  // no more than that, and so too few
                                   : std::min(different(begin, end, &Seen::site),
                                              different(begin, end, &Seen::spot));
            begin = end;
            if (houses < terms_.at_least) {
                shared.held_back += nests;
                continue;
            }
            SharedCount row{squares_.square(first.square), taxa_.words()[first.taxon], first.season,
                            nests, houses};
            row.square.name = squares_.name(first.square);
            shared.counts.push_back(std::move(row));
        }
        seen_ = {};
        std::sort(shared.counts.begin(), shared.counts.end(), [](const auto& a, const auto& b) {
            return std::tie(a.square.name, a.taxon, a.season) <
                   std::tie(b.square.name, b.taxon, b.season);
        });
    }

    std::string partner_;
    app::PartnerSettings terms_;
    Squares squares_;
    Squares houses_;
    Numbered taxa_;
    int considered_ = 0;
    std::vector<SharedNest> nests_;
    std::vector<Seen> seen_;
};

Square square_of(LonLat place, Metres side)
{
    Squares squares{side};
    const auto cell = squares.cell(place);
    auto square = squares.square(cell);
    square.name = squares.name(cell);
    return square;
}

std::string id_text(const SharedNest& nest) { return fmt::format("{:016x}", nest.id); }

std::string date_text(const Shared& shared, const SharedNest& nest)
{
    constexpr std::size_t month = 7;  // of 2026-08-04
    if (!nest.date) {
        return {};
    }
    auto day = format_day(*nest.date);
    return shared.tier == app::PrivacyTier::Exact ? day : day.substr(0, month);
}

Withholding::Withholding(const std::string& partner, const app::PartnerSettings& terms)
    : tier_{std::make_unique<Tier>(partner, terms)}
{
}
Withholding::~Withholding() = default;

void Withholding::add(const KnownNest& nest) { tier_->add(nest); }
Shared Withholding::result() { return tier_->result(); }

Shared withhold(std::span<const KnownNest> nests, const std::string& partner,
                const app::PartnerSettings& terms)
{
    Withholding holding{partner, terms};
    for (const auto& nest : nests) {
        holding.add(nest);
    }
    return holding.result();
}

}  // namespace nestround::share
