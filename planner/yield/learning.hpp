/// \file learning.hpp
/// \brief What the book's own catches teach: share caught, mass of a wasp, level of colonies.
///
/// Purpose:  a species, a method and a crew each have an effect that few records move little and
///           many records move much (partial pooling), so that a forecast is the crew's own.
/// Units:    shares 0 to 1, levels as a multiplier of the calendar's workers, milligrams live.
/// Range:    records with a species, a count or a mass, workers expected that day, no insecticide
///           and no males; others are counted and named in `left_out`.
/// Accuracy: exact Gaussian updates of a linear model on logarithms, so that the order of records
///           does not matter; the share is straightened at its prior. Level and share are told
///           apart by their priors alone, since nobody counts what stays behind.
/// Cost:     a record some microseconds; a new day or species a millisecond for the calendar.
/// Errors:   none.
/// Source:   R. E. Kalman, J. Basic Engineering 82 (1960) for the update; rows learn.* and
///           catch_share.* of the taxa table; docs/science/learning.md.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/spread.hpp"
#include "geocore/nature/season.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "geocore/records/call.hpp"
#include "geocore/units/units.hpp"

namespace nestround::yield {

/// One catch with the nest it came from.
struct CatchCase {
    Nest nest;
    std::string taxon;  ///< as named in the hand; the nest's when empty
    LonLat place{};
    Day day{};
    std::string method;  ///< "hand", "ground_pole", ...
    std::string crew;
    std::optional<Grams> mass;
    std::optional<int> count;
    bool males = false;
    /// Not a catch but what came of the nest's combs later: `count` workers emerged in all.
    bool brood = false;
    Day known{};  ///< from when on it may be learned from; the day of the visit when not set
};

/// What was expected of a catch before it was known.
struct CatchForecast {
    Spread<double> wasps;
    Spread<Grams> grams;
};

class Learner {
public:
    /// The table must outlive it.
    explicit Learner(const nature::TaxaTable& table);

    /// Takes a record in, or counts it among those left out.
    void add(const CatchCase& record);

    /// Records that were learned from.
    [[nodiscard]] std::size_t records() const { return records_; }
    /// Why records were not used, and how many.
    [[nodiscard]] const std::map<std::string, std::size_t>& left_out() const { return left_out_; }
    /// How the spread of the records compares with what the table's rows expect, as a variance: 1
    /// without records. All learned spreads are multiplied by its root.
    [[nodiscard]] double scale() const;
    /// Records so far from what was expected that they counted less.
    [[nodiscard]] std::size_t outliers() const { return outliers_; }

    /// Of the workers alive, for the next nest. Empty method or crew: those of the book as often as
    /// they come in it. Without any record the table's row.
    [[nodiscard]] Spread<double> catch_share(const std::string& taxon, NestKind kind,
                                             const std::string& method = {},
                                             const std::string& crew = {}) const;
    /// What the calendar's workers are multiplied by; 1 without records.
    [[nodiscard]] Spread<double> level(const std::string& taxon) const;
    /// Live mass of a worker; nothing when neither table nor book has one.
    [[nodiscard]] std::optional<Spread<double>> mass_mg(const std::string& taxon) const;
    [[nodiscard]] std::size_t records_of(const std::string& taxon) const;

    /// Nothing when the record could not be learned from either.
    [[nodiscard]] std::optional<CatchForecast> forecast(const CatchCase& record) const;

    [[nodiscard]] std::vector<std::string> taxa() const;
    [[nodiscard]] std::vector<std::string> methods() const;
    [[nodiscard]] std::vector<std::string> crews() const;

private:
    struct Expected {
        double log_wasps = 0;  ///< by the table alone
        double variance = 0;   ///< of one record
        double slope = 0;      ///< of ln(share) by logit(share)
        double prior_logit = 0;
        double log_brood = 0;       ///< workers that emerge of the combs, by the table alone
        double brood_variance = 0;  ///< 0: none expected
    };
    struct Effect {
        std::size_t at = 0;
        double weight = 0;
    };
    struct Gaussian {
        double mean = 0;
        double variance = 0;
    };

    [[nodiscard]] double row(std::string_view parameter, double otherwise) const;
    [[nodiscard]] const std::string& taxon_of(const CatchCase& record) const;
    [[nodiscard]] std::string fault(const CatchCase& record) const;
    [[nodiscard]] std::optional<Expected> expected(const CatchCase& record) const;
    std::size_t effect(const std::string& name, double deviation);
    [[nodiscard]] std::vector<Effect> share_effects(const std::string& taxon,
                                                    const std::string& method,
                                                    const std::string& crew, double by,
                                                    double& unknown_variance) const;
    [[nodiscard]] Gaussian of(const std::vector<Effect>& effects) const;
    [[nodiscard]] Gaussian mass_of(const std::string& taxon) const;

    const nature::TaxaTable* table_;
    std::map<std::string, std::size_t> places_;  ///< "method hand" -> place in the state
    std::vector<double> mean_;
    std::vector<double> covariance_;  ///< square, row by row
    std::map<std::string, std::size_t> uses_;
    std::map<std::string, Gaussian> masses_;  ///< of ln(mg)
    std::map<std::string, std::size_t> left_out_;
    mutable std::map<std::string, Expected> calendar_;
    mutable std::map<std::pair<const nature::Taxon*, long>, nature::Season> seasons_;  ///< by band
    std::size_t records_ = 0;
    std::size_t outliers_ = 0;
    double squares_ = 0;  ///< of the forecasts' misses over their deviations
};

/// All records at once.
[[nodiscard]] Learner learn(std::span<const CatchCase> records, const nature::TaxaTable& table);

}  // namespace nestround::yield
