/// \file withhold.hpp
/// \brief What a partner is given of the nests, and what is held back. Pure.
///
/// Purpose:  the one place where a nest loses what is nobody's business. What is not copied here
///           cannot be written: names of places, addresses, notes and clients have no field.
/// Units:    metres; WGS 84 degrees.
/// Range:    squares of a grid that is the same for every book and every share: rows of equal
///           height from the equator, cut into whole squares around the earth, so that a square
///           never depends on what lies in it.
/// Accuracy: a square's uncertainty is the geodesic from its middle to its farthest corner, so
///           that the nest lies within it for certain, as far as the book's own place is right.
/// Promise:  counts are given for a square, a taxon and a season at once, each of nests at
///           `at_least` houses or more, and never summed: no difference of two rows, or of two
///           shares of the same book with other species or seasons, gives a smaller count.
/// Errors:   none.
/// Source:   A. D. Chapman, Current Best Practices for Generalizing Sensitive Species Occurrence
///           Data, GBIF, for generalisation to a grid and its statement; the rule of at least k
///           after L. Sweeney, k-anonymity (2002) (from memory).
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/records/call.hpp"
#include "geocore/records/keys.hpp"
#include "geocore/units/units.hpp"
#include "planner/app/preferences.hpp"

namespace nestround::share {

/// A nest with what became of it, as the book has it.
struct KnownNest {
    std::string key;   ///< of the book; goes into no file
    std::string site;  ///< the book's key of its place; goes into no file
    std::string taxon;
    int season = 0;
    NestKind kind = NestKind::Unknown;
    LonLat place{};
    std::optional<Metres> place_uncertainty;
    std::optional<Metres> height;
    std::optional<Day> received;
    std::optional<CallState> state;
    std::optional<Grams> caught;
};

struct Square {
    LonLat middle{};
    Latitude south{}, north{};
    Longitude west{}, east{};
    Metres uncertainty{};  ///< from the middle to the farthest corner
    std::string name;      ///< of its row and column: the same in every share of that size
};

/// Nests so close to one another are taken to be at one house, whatever the book calls the places:
/// a count must not be that of one family. Assumption.
inline constexpr Metres kHouse{50};

/// The square of side about `side` that holds `place`.
[[nodiscard]] Square square_of(LonLat place, Metres side);

/// Some 90 bytes, because there may be a million.
struct SharedNest {
    std::uint64_t id = 0;  ///< the same nest in each share with this partner; says nothing else
    LonLat place{};
    std::optional<Metres> uncertainty;  ///< empty: exact tier, and the book does not know it
    std::optional<Metres> height;       ///< whole metres but in the exact tier
    std::optional<Grams> caught;        ///< exact tier only
    std::optional<Day> date;            ///< the first of its month but in the exact tier
    std::int16_t season = 0;
    std::uint16_t taxon = 0;  ///< place in Shared::taxa
    NestKind kind = NestKind::Unknown;
    std::optional<CallState> outcome;
};

struct SharedCount {
    Square square;
    std::string taxon;
    int season = 0;
    int nests = 0;   ///< at least as many as houses
    int houses = 0;  ///< goes into no file
};

struct SharedPhoto {
    std::int64_t nest = 0;  ///< row in the file: 1 for the first of Shared::nests
    PhotoId key;            ///< of the book; goes into no file
};

struct Shared {
    app::PrivacyTier tier = app::PrivacyTier::Cells;
    std::vector<SharedNest> nests;    ///< by id; empty in the tier of cells
    std::vector<std::string> taxa;    ///< codes of the nests' taxa
    std::vector<SharedPhoto> photos;  ///< by nest; exact tier, for partners who are given them
    std::vector<SharedCount> counts;  ///< by square, taxon, season; only in the tier of cells
    int considered = 0;               ///< nests of the species and seasons asked for
    int held_back = 0;                ///< of these, those in no row of the share
    std::string generalised;          ///< what was made coarser, in words; empty: nothing
    std::string withheld;             ///< what is not given, in words
};

/// What a partner knows a nest of the book by.
[[nodiscard]] std::uint64_t shared_id(const std::string& partner, const std::string& key);
/// Sixteen hexadecimal digits.
[[nodiscard]] std::string id_text(const SharedNest& nest);
/// ISO 8601: 2026-08-04, or 2026-08 where days are withheld; empty when unknown.
[[nodiscard]] std::string date_text(const Shared& shared, const SharedNest& nest);

/// Takes nests one by one, so that they need not all be there at once, and keeps of each only what
/// the tier gives. `partner` makes ids differ between partners, so that they cannot be put
/// together.
class Withholding {
public:
    Withholding(const std::string& partner, const app::PartnerSettings& terms);
    ~Withholding();
    Withholding(const Withholding&) = delete;
    Withholding& operator=(const Withholding&) = delete;

    void add(const KnownNest& nest);
    /// All that were added; nothing may be added afterwards.
    [[nodiscard]] Shared result();

private:
    class Tier;
    std::unique_ptr<Tier> tier_;
};

/// The same for nests that are all there.
[[nodiscard]] Shared withhold(std::span<const KnownNest> nests, const std::string& partner,
                              const app::PartnerSettings& terms);

}  // namespace nestround::share
