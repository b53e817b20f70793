#include "geocore/nature/courses.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>
#include <string>

namespace nestround::nature {

namespace {

double number(const TaxaTable& table, std::string_view subject, std::string_view parameter,
              double otherwise)
{
    const auto* row = table.figure(subject, parameter);
    return row == nullptr ? otherwise : row->middle();
}

// --- drawing -------------------------------------------------------------------------------------

/// What is drawn, one dimension of the grid each.
enum Dimension { YearShift, Founding, Interval, Switch, Close, Size, North, Mass, Chance, Count };

/// Square roots of the first primes: their multiples fill the cube evenly (Richtmyer 1951).
constexpr std::array<double, Count> kPrimes{2, 3, 5, 7, 11, 13, 17, 19, 23};

constexpr double kMostDeviation = 2.3;         // tails beyond the 1 % quantile say nothing
constexpr double kTenth = 1.2815515655446004;  // normal quantile of 0.9
constexpr double kLatitudeReach = 12;          // degrees over which the latitude rule is followed

/// The normal quantile of p, by Newton's method from the logistic quantile; clamped.
double normal_quantile(double p)
{
    constexpr double logistic_width = 1.702;  // brings the two curves closest together
    double z = std::log(p / (1 - p)) / logistic_width;
    for (int step = 0; step < 6; ++step) {
        const double below = std::erfc(-z / std::numbers::sqrt2) / 2;
        const double density = std::exp(-z * z / 2) / std::sqrt(2 * std::numbers::pi);
        z = std::clamp(z - (below - p) / density, -kMostDeviation - 1, kMostDeviation + 1);
    }
    return std::clamp(z, -kMostDeviation, kMostDeviation);
}

/// A value whose 10, 50 and 90 % quantiles are the three; normal on either side of the middle.
double draw(double low, double middle, double high, double chance)
{
    const double z = normal_quantile(chance) / kTenth;
    return middle + z * (z < 0 ? middle - low : high - middle);
}

double draw(const Figure& row, double chance)
{
    return draw(row.lowest(), row.middle(), row.highest(), chance);
}

/// The same on a logarithmic scale, for counts; a missing middle is the geometric mean.
double draw_count(const Figure& row, double chance)
{
    const double low = std::max(row.lowest(), 1.0);
    const double high = std::max(row.highest(), low);
    const double middle = row.typical ? *row.typical : std::sqrt(low * high);
    return std::exp(draw(std::log(low), std::log(std::max(middle, low)), std::log(high), chance));
}

// --- dates at a latitude
// --------------------------------------------------------------------------

struct DateRange {
    double low = 0;
    double middle = 0;
    double high = 0;
    double beyond = 0;  ///< degrees polewards of the nearest row (negative: towards the equator)
};

/// Between rows of several latitudes a straight line; outside, the nearest row and how far off.
DateRange date_range(std::vector<const Figure*> rows, Latitude latitude)
{
    assert(!rows.empty());
    const double at = std::abs(latitude.value());
    const auto place = [](const Figure* row) { return row->latitude.value_or(40); };
    std::sort(rows.begin(), rows.end(),
              [&](const Figure* a, const Figure* b) { return place(a) < place(b); });
    const auto as_is = [&](const Figure* row) {
        const double beyond = std::clamp(at - place(row), -kLatitudeReach, kLatitudeReach);
        return DateRange{row->lowest(), row->middle(), row->highest(), beyond};
    };
    if (at <= place(rows.front())) {
        return as_is(rows.front());
    }
    for (std::size_t i = 1; i < rows.size(); ++i) {
        const auto* south = rows[i - 1];
        const auto* north = rows[i];
        if (at <= place(north)) {
            const double t = (at - place(south)) / (place(north) - place(south));
            return {std::lerp(south->lowest(), north->lowest(), t),
                    std::lerp(south->middle(), north->middle(), t),
                    std::lerp(south->highest(), north->highest(), t), 0};
        }
    }
    return as_is(rows.back());
}

/// All that the table says of a taxon at a latitude, looked up once.
struct Traits {
    DateRange founding, large_cells, peak, decline, end;
    std::optional<DateRange> sexuals;
    std::optional<double> large_cells_earliest;
    const Figure* first_workers_after;
    const Figure* sexuals_after;
    const Figure* first_workers;
    const Figure* peak_workers;
    const Figure* mass;
    const Figure* latitude_shift;
    const Figure* year_shift;
    double peak_share, end_share, first_stage;
};

const Figure& need(const TaxaTable& table, const Taxon& taxon, std::string_view parameter)
{
    const auto* row = table.figure(taxon.code, parameter);
    if (row == nullptr) {
        // A replaced table may lack what every taxon must have or inherit.
        throw Failure{ErrorCode::InvalidInput, "taxon '" + taxon.code + "' has no row '" +
                                                   std::string{parameter} +
                                                   "' and inherits none; add one"};
    }
    return *row;
}

Traits traits_of(const TaxaTable& table, const Taxon& taxon, Latitude latitude)
{
    const auto range = [&](std::string_view parameter) {
        (void)need(table, taxon, parameter);
        return date_range(table.rows(taxon.code, parameter), latitude);
    };
    Traits traits{};
    traits.founding = range("calendar.founding");
    traits.large_cells = range("calendar.large_cells");
    traits.peak = range("calendar.peak");
    traits.decline = range("calendar.decline");
    traits.end = range("calendar.end");
    if (const auto rows = table.rows(taxon.code, "calendar.sexuals"); !rows.empty()) {
        traits.sexuals = date_range(rows, latitude);
    }
    if (const auto* row = table.figure(taxon.code, "calendar.large_cells_earliest")) {
        traits.large_cells_earliest = row->middle();
    }
    traits.first_workers_after = &need(table, taxon, "calendar.first_workers_after");
    traits.sexuals_after = &need(table, taxon, "calendar.sexuals_after");
    traits.first_workers = &need(table, taxon, "workers.first");
    traits.peak_workers = &need(table, taxon, "workers.peak");
    traits.mass = &need(table, taxon, "mass.worker");
    traits.latitude_shift = &need(table, taxon, "calendar.latitude_shift");
    traits.year_shift = &need(table, taxon, "calendar.year_shift");
    traits.peak_share = number(table, taxon.code, "model.peak_share", 0.95);
    traits.end_share = number(table, taxon.code, "model.end_share", 0.01);
    traits.first_stage = number(table, taxon.code, "model.first_stage", 21);
    return traits;
}

double logit(double p) { return std::log(p / (1 - p)); }

/// The course at one point of the grid.
Course course_at(const Traits& traits, const Taxon& taxon, const std::array<double, Count>& chances)
{
    const double per_degree = std::max(0.0, draw(*traits.latitude_shift, chances[North]));
    const double year = draw(*traits.year_shift, chances[YearShift]);
    // Spring comes later towards the pole, autumn earlier; the middle of the season stands.
    const auto date = [&](const DateRange& range, Dimension dimension, int sign) {
        return draw(range.low, range.middle, range.high, chances[dimension]) +
               sign * per_degree * range.beyond;
    };
    Course course;
    course.taxon = &taxon;
    course.founding = date(traits.founding, Founding, +1) + year;
    course.first_workers =
        course.founding + std::max(1.0, draw(*traits.first_workers_after, chances[Interval]));
    course.large_cells = date(traits.large_cells, Switch, 0) + year;
    if (traits.large_cells_earliest) {
        course.large_cells = std::max(course.large_cells, *traits.large_cells_earliest);
    }
    course.large_cells = std::max(course.large_cells, course.first_workers + 14);
    course.peak = std::max(date(traits.peak, Switch, 0) + year, course.large_cells);
    course.decline = std::max(date(traits.decline, Close, -1), course.peak + 3);
    course.end = std::max(date(traits.end, Close, -1), course.decline + 10);
    const double soonest =
        course.large_cells + std::max(1.0, draw(*traits.sexuals_after, chances[Interval]));
    course.sexuals =
        traits.sexuals ? std::max(date(*traits.sexuals, Switch, 0) + year, course.large_cells + 14)
                       : soonest;

    course.peak_workers = draw_count(*traits.peak_workers, chances[Size]);
    const double first =
        std::min(draw_count(*traits.first_workers, chances[Interval]), course.peak_workers / 2);
    // The rate is not chosen: it is what takes the first workers to the peak in the days between.
    course.peak_logit = logit(traits.peak_share);
    const double first_logit = logit(traits.peak_share * first / course.peak_workers);
    course.rate = (course.peak_logit - first_logit) / (course.peak - course.first_workers);
    course.end_log = std::log(traits.end_share);
    course.first_stage = traits.first_stage;
    course.worker_mass = Milligrams{std::max(1.0, draw(*traits.mass, chances[Mass]))};
    course.chance = chances[Chance];
    return course;
}

}  // namespace

std::vector<Course> draw_courses(const TaxaTable& table, const Taxon& taxon, Latitude latitude,
                                 int count)
{
    const Traits traits = traits_of(table, taxon, latitude);
    std::vector<Course> courses;
    courses.reserve(static_cast<std::size_t>(count));
    for (int i = 1; i <= count; ++i) {
        std::array<double, Count> chances{};
        for (std::size_t k = 0; k < Count; ++k) {
            const double x = i * std::sqrt(kPrimes[k]);
            chances[k] = x - std::floor(x);
        }
        courses.push_back(course_at(traits, taxon, chances));
    }
    return courses;
}

}  // namespace nestround::nature
