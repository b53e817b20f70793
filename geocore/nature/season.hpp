/// \file season.hpp
/// \brief The course of a colony through its season: dates, stage, workers and brood, with doubt.
///
/// Purpose:  what a nest of a taxon, or of one of several possible taxa, is on a given day at a
///           given latitude. The dates are drawn from the published calendar; between them each
///           course is an age-structured colony (colony.hpp), brought to its published peak.
/// Units:    dates are days of a northern year, 1 = 1 January; southern seasons are shifted by half
///           a year, so that 1 July of the year before is day 1. Workers are a count.
/// Range:    the calendars were read between 33 and 47 degrees; beyond, the latitude shift is
///           followed for 12 degrees and then held.
/// Accuracy: the doubt of dates, numbers, latitude and year is carried by 192 weighted courses (64
/// a
///           taxon in mixtures) on a fixed low-discrepancy grid. Between days of the grid, four
///           apart, values run straight.
/// Cost:     making a Season some ten milliseconds a taxon; a day of it some microseconds.
/// Errors:   none.
/// Source:   geocore/nature/taxa/*.csv; docs/science/season-and-yield.md; grid after
///           R. D. Richtmyer, "The evaluation of definite integrals, and a quasi-Monte-Carlo
///           method", Los Alamos LA-1342 (1951).
#pragma once

#include <array>
#include <memory>
#include <optional>
#include <span>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/base/spread.hpp"
#include "geocore/nature/colony.hpp"
#include "geocore/nature/taxa_table.hpp"
#include "geocore/units/units.hpp"

namespace nestround::nature {

enum class Stage { NotYet, Founding, FirstWorkers, BuildUp, Reproductives, Decline, Over };
inline constexpr std::size_t kStages = 7;

/// "not yet founded", "a queen alone", "first workers", "build-up", "raising queens and males",
/// "decline", "over".
[[nodiscard]] std::string_view text(Stage stage);

/// The season that `day` falls into: the year in which its colonies peak.
[[nodiscard]] int season_of(Day day, Latitude latitude);
/// `day` within `season`; below 1 before it, above 366 after it.
[[nodiscard]] double season_day(Day day, Latitude latitude, int season);
/// The other way; fractions are rounded.
[[nodiscard]] Day calendar_day(double season_day, Latitude latitude, int season);

/// A taxon that a nest may be of, with its chance; chances add up to 1.
struct Candidate {
    const Taxon* taxon = nullptr;
    double chance = 1;
};

/// Which taxa a nest may be of. `named` is a code, a name, a genus, or anything else for unknown;
/// `kind` is "aerial", "ground", "void" or "unknown". An unknown nest may be of any taxon of the
/// part of the world that nests in such a place, weighed by the share of its nests that do.
[[nodiscard]] std::vector<Candidate> candidates(const TaxaTable& table, std::string_view named,
                                                std::string_view kind, LonLat place);

/// One way the season of one colony may go.
struct Course {
    double founding = 0;
    double first_workers = 0;
    double large_cells = 0;  ///< first cells for queens; in Polistes first eggs of queens and males
    double sexuals = 0;      ///< first adult queens and males
    double peak = 0;         ///< of the workers, as the colony's own course brings it
    double decline = 0;
    double end = 0;
    double peak_workers = 0;
    double first_stage = 0;  ///< days that the stage of first workers lasts
    Milligrams worker_mass;  ///< live
    double chance = 0;       ///< in (0, 1): for what a user of the course draws beside it
    double weight = 0;
    const Taxon* taxon = nullptr;
    ColonyParameters colony;  ///< days from the founding
    double adults_made = 0;   ///< by the end
    double eggs_laid = 0;     ///< by the end, of all kinds
    double sexual_eggs = 0;   ///< of these, of queens and males

    [[nodiscard]] Stage stage(double day) const;
};

/// Colonies of one taxon at a latitude with what each has on every fourth day; shared by all
/// seasons that it is part of.
struct Ensemble {
    static constexpr double kStep = 4;
    std::vector<Course> courses;
    double first_day = 0;
    std::size_t steps = 0;
    std::vector<float> grid;                             ///< [step][part][course]
    std::vector<double> foundings, first_workers, ends;  ///< of the courses, side by side

    /// Of the first `out.size()` courses on a day.
    void values(Part part, double day, std::span<double> out) const;
};

/// A colony on a day.
struct ColonyDay {
    std::array<double, kStages> stage{};  ///< chance of each; adds up to 1
    double sexuals_out = 0;               ///< chance that adult queens or males are there
    Spread<double> workers;
    Spread<double> eggs;
    Spread<double> larvae;
    Spread<double> sealed_small;  ///< of workers to be (in Polistes of all)
    Spread<double> sealed_large;  ///< of queens and males to be
    Spread<double> gynes;
    Spread<double> males;
    Spread<double> cells;
    Spread<double> combs;

    [[nodiscard]] double chance(Stage which) const
    {
        return stage[static_cast<std::size_t>(which)];
    }
    /// The stage with the greatest chance; the earlier one on a tie.
    [[nodiscard]] Stage likeliest() const;
};

/// What is known when the truth may be either: spreads that hold both, the mean of the chances.
[[nodiscard]] Spread<double> either(const Spread<double>& one, const Spread<double>& other);
[[nodiscard]] ColonyDay either(const ColonyDay& one, const ColonyDay& other);

/// A value of each course of a season, with the order of its values, so that many questions about
/// it share one sort.
struct Sample {
    std::vector<double> values;      ///< in the order of Season::courses()
    std::vector<std::size_t> order;  ///< places of the values, least first
};
[[nodiscard]] Sample make_sample(std::vector<double> values);

/// The dates of a season, each 10/50/90 %.
struct SeasonDates {
    Spread<double> founding;
    Spread<double> first_workers;
    Spread<double> large_cells;
    Spread<double> sexuals;
    Spread<double> peak;
    Spread<double> decline;
    Spread<double> end;
};

class Season {
public:
    /// `candidates` must not be empty; the table must outlive the season.
    [[nodiscard]] static Season make(const TaxaTable& table, std::span<const Candidate> candidates,
                                     Latitude latitude);
    /// The same from ensembles made before, one a candidate.
    [[nodiscard]] static Season make(std::span<const Candidate> candidates,
                                     std::span<const std::shared_ptr<const Ensemble>> ensembles);

    /// `seen`: a day on which the colony was seen alive; it rules out courses that had not begun or
    /// were over by then. When it rules out all of them it is not heeded, see `fits`.
    [[nodiscard]] ColonyDay on(double day, std::optional<double> seen = {}) const;
    /// With weights of the courses as `weigh` of observations.hpp gives them.
    [[nodiscard]] ColonyDay on(double day, std::span<const double> weights) const;
    [[nodiscard]] SeasonDates dates() const;
    [[nodiscard]] SeasonDates dates(std::span<const double> weights) const;

    /// Whether any course was alive on that day.
    [[nodiscard]] bool fits(double seen) const;
    /// Whether every course was alive on that day, so that seeing the colony tells nothing.
    [[nodiscard]] bool tells_nothing(double seen) const;

    /// What each course has on a day, into `out`, which has one place a course. No allocation.
    void values(Part part, double day, std::span<double> out) const;
    /// The same for small and large cells together.
    void cells(double day, std::span<double> out) const;
    [[nodiscard]] Sample sample(Part part, double day) const;
    [[nodiscard]] Sample workers(double day) const { return sample(Part::Workers, day); }

    /// 10/50/90 % of a value worked out for each course.
    [[nodiscard]] Spread<double> spread(const Sample& sample,
                                        std::optional<double> seen = {}) const;
    /// The same under other weights, which need not add up to 1. No allocation.
    [[nodiscard]] static Spread<double> spread(const Sample& sample,
                                               std::span<const double> weights);
    /// The middle of it alone.
    [[nodiscard]] static double median(const Sample& sample, std::span<const double> weights);
    /// Chance of each stage on a day. No allocation.
    [[nodiscard]] std::array<double, kStages> stages(double day,
                                                     std::span<const double> weights) const;

    [[nodiscard]] std::span<const Course> courses() const { return courses_; }
    /// Of the courses before anything is known of the nest; adds up to 1.
    [[nodiscard]] std::span<const double> weights() const { return weights_; }

private:
    [[nodiscard]] std::vector<double> weights(std::optional<double> seen) const;

    struct Section {
        std::shared_ptr<const Ensemble> ensemble;
        std::size_t first = 0;
        std::size_t count = 0;
    };
    std::vector<Section> sections_;
    std::vector<Course> courses_;
    std::vector<double> weights_;
    double last_founding_ = 0;  ///< of all courses
    double first_end_ = 0;      ///< of all courses
};

}  // namespace nestround::nature
