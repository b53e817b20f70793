/// \file likeness.hpp
/// \brief How likely it is that a nest a partner sent is one of ours.
///
/// Purpose:  a weight for each pair with its parts shown, so that a person can decide; nothing is
///           ever merged here.
/// Units:    metres; weights are natural logarithms of odds against a nest that we do not know of.
/// Range:    a place sent is a round normal distribution, or even over a square that is named by
/// its
///           middle and the way to its corners; ours is a round normal distribution.
/// Accuracy: as partner_figures.hpp; plane geometry around each pair, good to a thousandth within
///           100 km.
/// Promise:  chances over all candidates and "none of ours" add up to 1.
/// Errors:   none.
/// Source:   weights of evidence after I. P. Fellegi and A. B. Sunter, A Theory for Record Linkage
///           (1969), with a density of unknown nests in place of a blocking key.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "geocore/records/partner.hpp"
#include "geocore/units/units.hpp"
#include "planner/partners/sent_name.hpp"

namespace nestround::partners {

struct SentNest {
    LonLat place{};
    PlaceForm form = PlaceForm::Point;
    std::optional<Metres> uncertainty;
    SentName name;
    std::optional<Day> first;  ///< of the days that its date may mean
    std::optional<Day> last;
    std::optional<int> season;
};

struct OwnNest {
    LonLat place{};
    std::optional<Metres> uncertainty;
    std::string taxon;  ///< code; empty when unknown
    int season = 0;
    std::optional<Day> gone;  ///< taken or given up as gone
};

/// Why a pair is, or is not, one nest.
struct Evidence {
    Metres apart{};
    Metres within{};  ///< 95 % of such pairs lie closer, were they one
    double place = 0;
    double season = 0;
    double taxon = 0;
    std::string season_words;  ///< "both 2026"
    std::string taxon_words;   ///< "both Vespula maculifrons"

    [[nodiscard]] double weight() const { return place + season + taxon; }
};

struct Candidate {
    std::size_t own = 0;  ///< place in the list of ours
    Evidence evidence;
    double chance = 0;  ///< that it is this one and no other, known or unknown
};

/// Density of the displacement between two tellings of one nest, a square metre: `east` and `north`
/// from the place sent to ours.
[[nodiscard]] double displacement_density(const SentNest& sent, const OwnNest& own, double east,
                                          double north);

/// "14 m apart, 95 % within 61 m; both 2026; both Vespula maculifrons".
[[nodiscard]] std::string words_of(const Evidence& evidence);

class Neighbours {
public:
    /// The table must outlive it.
    Neighbours(std::vector<OwnNest> own, const nature::TaxaTable& table);

    /// Best first, then in the order of the list; those that chance alone would bring are left out.
    [[nodiscard]] std::vector<Candidate> candidates(const SentNest& sent) const;
    [[nodiscard]] const std::vector<OwnNest>& own() const { return own_; }
    /// Ours in the square of a count, of its wasp and season where it tells them.
    [[nodiscard]] int count_in(const SentNest& sent) const;

private:
    struct Seasons {
        int first = 0;
        int last = 0;
        bool known = false;
    };
    using Bucket = std::pair<long, long>;

    [[nodiscard]] std::vector<std::size_t> around(LonLat place, Metres radius) const;
    [[nodiscard]] Seasons seasons_of(const SentNest& sent) const;
    void weigh_season(const SentNest& sent, const OwnNest& own, const Seasons& seasons,
                      Evidence& evidence) const;
    void weigh_taxon(const SentName& name, const OwnNest& own, Evidence& evidence) const;
    [[nodiscard]] double share(const std::string& code) const;
    [[nodiscard]] double genus_share(const std::string& genus) const;

    std::vector<OwnNest> own_;
    const nature::TaxaTable& table_;
    Metres widest_;  ///< uncertainty of ours
    std::map<Bucket, std::vector<std::size_t>> buckets_;
    std::map<std::string, int> of_taxon_;
    int named_ = 0;  ///< nests of ours whose wasp is known
    int first_season_ = 0;
    int last_season_ = 0;
};

}  // namespace nestround::partners
