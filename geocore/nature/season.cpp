#include "geocore/nature/season.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>
#include <numeric>
#include <string>

namespace nestround::nature {

namespace {

using namespace std::chrono;

constexpr std::array kStageWords{std::string_view{"not yet founded"},
                                 std::string_view{"a queen alone"},
                                 std::string_view{"first workers"},
                                 std::string_view{"build-up"},
                                 std::string_view{"raising queens and males"},
                                 std::string_view{"decline"},
                                 std::string_view{"over"}};

/// Day 1 of a season.
Day season_begins(Latitude latitude, int season)
{
    return latitude.value() < 0 ? Day{year{season - 1} / July / 1}
                                : Day{year{season} / January / 1};
}

/// The part of the world whose wasps are asked for; empty where the table knows none.
std::string_view region_at(LonLat place)
{
    const double lon = place.lon.value();
    const double lat = place.lat.value();
    // Boxes wide enough that no land between them matters; the plains at 100 W part North America.
    if (lat > 15 && lon >= -170 && lon < -100) {
        return "na_west";
    }
    if (lat > 15 && lon >= -100 && lon < -50) {
        return "na_east";
    }
    if (lat > 30 && lon >= -30 && lon < 60) {
        return "eu";
    }
    if (lat < -30 && lon >= 160) {
        return "nz";
    }
    if (lat < -10 && lon >= 110 && lon < 160) {
        return "au";
    }
    return {};
}

bool has_word(std::string_view words, std::string_view word)
{
    while (!words.empty()) {
        const auto space = words.find(' ');
        if (words.substr(0, space) == word) {
            return true;
        }
        words.remove_prefix(space == std::string_view::npos ? words.size() : space + 1);
    }
    return false;
}

void make_chances(std::vector<Candidate>& all)
{
    std::erase_if(all, [](const Candidate& one) { return !(one.chance > 0); });
    const double sum =
        std::accumulate(all.begin(), all.end(), 0.0,
                        [](double total, const Candidate& one) { return total + one.chance; });
    for (auto& one : all) {
        one.chance /= sum;
    }
}

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

constexpr int kCourses = 256;                  // of a single taxon
constexpr int kLeastPerCandidate = 64;         // of each taxon of a mixture
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

std::string_view text(Stage stage) { return kStageWords[static_cast<std::size_t>(stage)]; }

int season_of(Day day, Latitude latitude)
{
    const year_month_day date{day};
    const int of_year = static_cast<int>(date.year());
    return latitude.value() < 0 && date.month() >= July ? of_year + 1 : of_year;
}

double season_day(Day day, Latitude latitude, int season)
{
    return static_cast<double>((day - season_begins(latitude, season)).count() + 1);
}

Day calendar_day(double season_day, Latitude latitude, int season)
{
    return season_begins(latitude, season) + days{std::lround(season_day) - 1};
}

std::vector<Candidate> candidates(const TaxaTable& table, std::string_view named,
                                  std::string_view kind, LonLat place)
{
    if (const auto* taxon = table.recognise(named)) {
        return {{taxon, 1}};
    }
    const auto region = region_at(place);
    const auto pick = [&](bool heed_region, bool heed_genus) {
        std::vector<Candidate> all;
        for (const auto& taxon : table.taxa()) {
            const auto* lives = table.figure(taxon.code, "region");
            if ((heed_genus && taxon.genus != named) ||
                (heed_region && !region.empty() && lives != nullptr &&
                 !has_word(lives->words, region))) {
                continue;
            }
            const double prior = number(table, taxon.code, "model.prior", 1);
            const double share = kind == "aerial" || kind == "ground" || kind == "void"
                                     ? number(table, taxon.code, "site." + std::string{kind}, 0)
                                     : 1;
            all.push_back({&taxon, prior * share});
        }
        make_chances(all);
        return all;
    };
    const bool is_genus = std::any_of(table.taxa().begin(), table.taxa().end(),
                                      [&](const Taxon& taxon) { return taxon.genus == named; });
    auto all = pick(true, is_genus);
    if (all.empty()) {
        all = pick(false, is_genus);
    }
    if (all.empty()) {
        // Such a wasp in such a place is not in the table: any taxon may be meant.
        for (const auto& taxon : table.taxa()) {
            if (!is_genus || taxon.genus == named) {
                all.push_back({&taxon, 1});
            }
        }
        make_chances(all);
    }
    return all;
}

double Course::workers(double day) const
{
    if (!(day >= first_workers) || day >= end) {
        return 0;
    }
    if (day < peak) {
        const double ceiling = peak_workers * (1 + std::exp(-peak_logit));
        return ceiling / (1 + std::exp(-(peak_logit + rate * (day - peak))));
    }
    if (day < decline) {
        return peak_workers;
    }
    return peak_workers * std::exp(end_log * (day - decline) / (end - decline));
}

Stage Course::stage(double day) const
{
    if (day < founding) {
        return Stage::NotYet;
    }
    if (day >= end) {
        return Stage::Over;
    }
    if (day < first_workers) {
        return Stage::Founding;
    }
    if (day >= decline) {
        return Stage::Decline;
    }
    if (day >= large_cells) {
        return Stage::Reproductives;
    }
    return day < first_workers + first_stage ? Stage::FirstWorkers : Stage::BuildUp;
}

Stage ColonyDay::likeliest() const
{
    return static_cast<Stage>(std::max_element(stage.begin(), stage.end()) - stage.begin());
}

Season Season::make(const TaxaTable& table, std::span<const Candidate> candidates,
                    Latitude latitude)
{
    assert(!candidates.empty());
    const int each = std::max(kLeastPerCandidate, kCourses / static_cast<int>(candidates.size()));
    Season season;
    season.courses_.reserve(candidates.size() * static_cast<std::size_t>(each));
    for (const auto& candidate : candidates) {
        const Traits traits = traits_of(table, *candidate.taxon, latitude);
        for (int i = 1; i <= each; ++i) {
            std::array<double, Count> chances{};
            for (std::size_t k = 0; k < Count; ++k) {
                const double x = i * std::sqrt(kPrimes[k]);
                chances[k] = x - std::floor(x);
            }
            Course course = course_at(traits, *candidate.taxon, chances);
            course.weight = candidate.chance / each;
            season.courses_.push_back(course);
        }
    }
    const auto& all = season.courses_;
    season.last_founding_ =
        std::max_element(all.begin(), all.end(), [](const Course& a, const Course& b) {
            return a.founding < b.founding;
        })->founding;
    season.first_end_ =
        std::min_element(all.begin(), all.end(), [](const Course& a, const Course& b) {
            return a.end < b.end;
        })->end;
    return season;
}

double Season::weight(const Course& course, std::optional<double> seen) const
{
    return seen && (*seen < course.founding || *seen >= course.end) ? 0 : course.weight;
}

bool Season::fits(double seen) const
{
    return tells_nothing(seen) ||
           std::any_of(courses_.begin(), courses_.end(),
                       [&](const Course& course) { return weight(course, seen) > 0; });
}

bool Season::tells_nothing(double seen) const
{
    return seen >= last_founding_ && seen < first_end_;
}

Sample make_sample(std::vector<double> values)
{
    Sample sample{std::move(values), {}};
    sample.order.resize(sample.values.size());
    std::iota(sample.order.begin(), sample.order.end(), std::size_t{0});
    std::sort(sample.order.begin(), sample.order.end(), [&](std::size_t a, std::size_t b) {
        return sample.values[a] != sample.values[b] ? sample.values[a] < sample.values[b] : a < b;
    });
    return sample;
}

Spread<double> Season::spread(const Sample& sample, std::optional<double> seen) const
{
    assert(sample.values.size() == courses_.size());
    if (seen && !fits(*seen)) {
        seen.reset();
    }
    double total = 0;
    for (const auto& course : courses_) {
        total += weight(course, seen);
    }
    // Each value stands at the middle of its weight; straight lines between.
    constexpr std::array shares{0.1, 0.5, 0.9};
    std::array<double, 3> found{};
    std::size_t next = 0;
    double before = 0;
    double last_place = 0;
    double last_value = 0;
    for (const auto place : sample.order) {
        const double w = weight(courses_[place], seen);
        if (!(w > 0)) {
            continue;
        }
        const double value = sample.values[place];
        const double here = (before + w / 2) / total;
        for (; next < shares.size() && here >= shares[next]; ++next) {
            found[next] = before > 0 ? std::lerp(last_value, value,
                                                 (shares[next] - last_place) / (here - last_place))
                                     : value;
        }
        before += w;
        last_place = here;
        last_value = value;
    }
    for (; next < shares.size(); ++next) {
        found[next] = last_value;
    }
    return {found[0], found[1], found[2]};
}

Sample Season::workers(double day) const
{
    std::vector<double> values;
    values.reserve(courses_.size());
    for (const auto& course : courses_) {
        values.push_back(course.workers(day));
    }
    return make_sample(std::move(values));
}

ColonyDay Season::on(double day, std::optional<double> seen) const
{
    return on(day, workers(day), seen);
}

ColonyDay Season::on(double day, const Sample& workers, std::optional<double> seen) const
{
    if (seen && !fits(*seen)) {
        seen.reset();
    }
    ColonyDay result;
    double total = 0;
    for (const auto& course : courses_) {
        const double w = weight(course, seen);
        total += w;
        result.stage[static_cast<std::size_t>(course.stage(day))] += w;
        result.sexuals_out += day >= course.sexuals && day < course.end ? w : 0;
    }
    for (auto& chance : result.stage) {
        chance /= total;
    }
    result.sexuals_out /= total;
    result.workers = spread(workers, seen);
    return result;
}

SeasonDates Season::dates() const
{
    const auto of = [&](double Course::*date) {
        std::vector<double> values;
        values.reserve(courses_.size());
        for (const auto& course : courses_) {
            values.push_back(course.*date);
        }
        return spread(make_sample(std::move(values)));
    };
    return {of(&Course::founding), of(&Course::first_workers), of(&Course::large_cells),
            of(&Course::sexuals),  of(&Course::peak),          of(&Course::decline),
            of(&Course::end)};
}

}  // namespace nestround::nature
