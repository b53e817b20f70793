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
enum Dimension {
    YearShift,
    Founding,
    Interval,
    Switch,
    Close,
    Size,
    North,
    Mass,
    Chance,
    Life,
    Loss,
    Large,
    Gynes,
    Winter,
    Count
};

/// Square roots of the first primes: their multiples fill the cube evenly (Richtmyer 1951).
constexpr std::array<double, Count> kPrimes{2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43};

constexpr std::size_t kMostCourses = 512;
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

/// A number in (0, 1) and where it lies between the tenths: -1 at 10 %, 1 at 90 %.
struct Throw {
    double chance = 0;
    double place = 0;
};
using Chances = std::array<Throw, Count>;

/// Those of each course, the same for every taxon and latitude.
const Chances& chances_of(std::size_t course)
{
    static const auto all = [] {
        std::vector<Chances> result(kMostCourses);
        for (std::size_t i = 0; i < result.size(); ++i) {
            for (std::size_t k = 0; k < Count; ++k) {
                const double x = static_cast<double>(i + 1) * std::sqrt(kPrimes[k]);
                const double chance = x - std::floor(x);
                result[i][k] = {chance, normal_quantile(chance) / kTenth};
            }
        }
        return result;
    }();
    return all[course];
}

/// A value whose 10, 50 and 90 % quantiles are the three; normal on either side of the middle.
double draw(double low, double middle, double high, const Throw& one)
{
    return middle + one.place * (one.place < 0 ? middle - low : high - middle);
}

struct Range {
    double low = 0;
    double middle = 0;
    double high = 0;
    double beyond = 0;  ///< degrees polewards of the nearest row (negative: towards the equator)
};

double draw(const Range& range, const Throw& one)
{
    return draw(range.low, range.middle, range.high, one);
}

double draw(const Figure& row, const Throw& one)
{
    return draw(row.lowest(), row.middle(), row.highest(), one);
}

/// The same on a logarithmic scale, for counts; a missing middle is the geometric mean.
double draw_count(const Figure& row, const Throw& one)
{
    const double low = std::max(row.lowest(), 1.0);
    const double high = std::max(row.highest(), low);
    const double middle = row.typical ? *row.typical : std::sqrt(low * high);
    return std::exp(draw(std::log(low), std::log(std::max(middle, low)), std::log(high), one));
}

// --- dates at a latitude
// --------------------------------------------------------------------------

/// Between rows of several latitudes a straight line; outside, the nearest row and how far off.
Range date_range(std::vector<const Figure*> rows, Latitude latitude)
{
    assert(!rows.empty());
    const double at = std::abs(latitude.value());
    const auto place = [](const Figure* row) { return row->latitude.value_or(40); };
    std::sort(rows.begin(), rows.end(),
              [&](const Figure* a, const Figure* b) { return place(a) < place(b); });
    const auto as_is = [&](const Figure* row) {
        const double beyond = std::clamp(at - place(row), -kLatitudeReach, kLatitudeReach);
        return Range{row->lowest(), row->middle(), row->highest(), beyond};
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
    Range founding, large_cells, peak, decline, end;
    std::optional<Range> sexuals;
    std::optional<double> large_cells_earliest;
    const Figure* first_workers_after;
    const Figure* sexuals_after;
    const Figure* first_workers;
    const Figure* peak_workers;
    const Figure* mass;
    const Figure* latitude_shift;
    const Figure* year_shift;
    Range life, loss, gyne_ratio, large, gynes, leave, founding_eggs, founding_cells;
    double egg, larva, sealed;
    double queen_over_need, kept, spare_cells, cells_per_worker, first_stage, perennial;
    bool separate_large;
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
    // Nothing better is known where a table has no row: as the rows of "all".
    const auto drawn = [&](std::string_view parameter, double low, double middle, double high) {
        const auto* row = table.figure(taxon.code, parameter);
        return row == nullptr ? Range{low, middle, high, 0}
                              : Range{row->lowest(), row->middle(), row->highest(), 0};
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
    traits.life = drawn("worker.life", 10, 20, 40);
    traits.loss = drawn("brood.loss", 1, 4, 10);
    traits.gyne_ratio = drawn("brood.gyne_ratio", 1, 1.2, 1.4);
    traits.large = drawn("colony.large_per_small", 0.2, 0.4, 0.6);
    traits.gynes = drawn("colony.gyne_share", 0.3, 0.5, 0.65);
    traits.leave = drawn("colony.leave_days", 6, 12, 20);
    traits.founding_eggs = drawn("colony.founding_eggs", 1, 1.8, 2.5);
    traits.founding_cells = drawn("cells.founding", 30, 45, 60);
    traits.egg = number(table, taxon.code, "brood.egg", 7);
    traits.larva = number(table, taxon.code, "brood.larva", 12);
    traits.sealed = number(table, taxon.code, "brood.pupa", 14);
    traits.queen_over_need = number(table, taxon.code, "colony.queen_over_need", 1.15);
    traits.kept = number(table, taxon.code, "colony.kept", 0.8);
    traits.spare_cells = number(table, taxon.code, "colony.spare_cells", 0.1);
    traits.cells_per_worker = number(table, taxon.code, "colony.cells_per_worker", 2);
    traits.first_stage = number(table, taxon.code, "model.first_stage", 21);
    traits.separate_large = table.figure(taxon.code, "colony.single_comb") == nullptr;
    const double mild = number(table, "all", "model.mild_latitude", 36);
    traits.perennial =
        std::abs(latitude.value()) < mild ? number(table, taxon.code, "perennial.share", 0) : 0;
    return traits;
}

/// Latest day of a colony that outlives the winter, from its founding.
constexpr double kLongLife = 540;

void fill_colony(Course& course, const Traits& traits, const Chances& chances, double first)
{
    auto& colony = course.colony;
    // The stages keep their published shares; their sum is the published time to first workers.
    const double brood = course.first_workers - course.founding;
    const double scale = brood / (traits.egg + traits.larva + traits.sealed);
    colony.egg_days = traits.egg * scale;
    colony.larva_days = traits.larva * scale;
    colony.sealed_days = traits.sealed * scale;
    colony.large_ratio = std::max(1.0, draw(traits.gyne_ratio, chances[Gynes]));
    colony.brood_loss = std::clamp(draw(traits.loss, chances[Loss]) / 100, 0.0, 0.5);
    colony.worker_life = std::max(6.0, draw(traits.life, chances[Life]));
    colony.first_workers_on = brood;
    colony.first_workers = first;
    colony.founding_eggs = std::max(0.2, draw(traits.founding_eggs, chances[Interval]));
    colony.founding_cells =
        std::max(1.5 * first + 4, draw(traits.founding_cells, chances[Founding]));
    // A young colony does not shrink: its first workers live until their sisters replace them. The
    // hazard of three boxes nears 3 over the mean, so that so many eggs a day make good the deaths.
    const double alone = std::min(colony.founding_eggs, (colony.founding_cells - first) / brood);
    colony.worker_life = std::max(colony.worker_life, 3 * first / alone);
    colony.queen_most = traits.queen_over_need * course.peak_workers /
                        (colony.worker_life * (1 - colony.brood_loss));
    const double life_share = 0.5;  // the last eggs that matter are laid so far before the decline
    colony.switch_on = course.large_cells - course.founding;
    colony.fade_on = course.peak - course.founding - brood + 4;  // and the spread of the brood
    colony.kept = traits.kept;
    colony.decline_on = course.decline - course.founding;
    colony.stop_on = std::max(colony.decline_on - life_share * brood, colony.switch_on + 5);
    colony.end_on = course.end - course.founding;
    colony.large_per_small = std::max(0.05, draw(traits.large, chances[Large]));
    colony.fill_days = std::max(15.0, 0.6 * (colony.stop_on - colony.switch_on));
    colony.gyne_share = std::clamp(draw(traits.gynes, chances[Gynes]), 0.05, 0.95);
    colony.leave_days = std::max(3.0, draw(traits.leave, chances[Large]));
    colony.spare_cells = traits.spare_cells;
    colony.cells_per_worker = traits.cells_per_worker;
    colony.separate_large = traits.separate_large;
    if (chances[Winter].chance < traits.perennial) {
        colony.lives_on = true;
        colony.end_on = kLongLife;
        course.end = course.founding + kLongLife;
    }
}

/// The course at one point of the grid.
Course course_at(const Traits& traits, const Taxon& taxon, const Chances& chances)
{
    const double per_degree = std::max(0.0, draw(*traits.latitude_shift, chances[North]));
    const double year = draw(*traits.year_shift, chances[YearShift]);
    // Spring comes later towards the pole, autumn earlier; the middle of the season stands.
    const auto date = [&](const Range& range, Dimension dimension, int sign) {
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
    course.first_stage = traits.first_stage;
    course.worker_mass = Milligrams{std::max(1.0, draw(*traits.mass, chances[Mass]))};
    course.chance = chances[Chance].chance;
    fill_colony(course, traits, chances, first);
    return course;
}

/// The rest of the course's colony, from its decline to the end.
void live_on(Course& course, ColonyRun& run)
{
    const int last = static_cast<int>(std::ceil(course.end - course.founding)) + 1;
    while (run.colony.day() < last) {
        run.colony.step();
        run.days.push_back(run.colony.state());
    }
    const auto& state = run.colony.state();
    course.adults_made = state.adults_made;
    course.eggs_laid = state.eggs_laid;
    course.sexual_eggs = state.sexual_eggs;
}

/// A better queen; in Polistes more of them found.
void better_queen(ColonyParameters& colony, double by)
{
    colony.queen_most *= by;
    if (!colony.separate_large) {
        colony.founding_eggs *= by;
        colony.founding_cells *= by;
    }
}

}  // namespace

std::vector<Course> draw_courses(const TaxaTable& table, const Taxon& taxon, Latitude latitude,
                                 int count)
{
    const Traits traits = traits_of(table, taxon, latitude);
    std::vector<Course> courses;
    courses.reserve(static_cast<std::size_t>(count));
    assert(count > 0 && static_cast<std::size_t>(count) <= kMostCourses);
    for (int i = 0; i < count; ++i) {
        courses.push_back(course_at(traits, taxon, chances_of(static_cast<std::size_t>(i))));
        courses.back().weight = 1.0 / count;
    }
    return courses;
}

const std::vector<CourseFood>& FoodMemory::at(const TaxaTable& table, const Taxon& taxon,
                                              long anchor, int count)
{
    const auto [found, is_new] = known_.try_emplace({&taxon, anchor, count});
    if (is_new) {
        const Latitude latitude{static_cast<double>(anchor) * kStep};
        // Every other anchor begins where the middle one ended: the food changes little with
        // latitude. The middle one begins at what growth alone would ask for.
        const auto* near = anchor == kMiddle ? nullptr : &at(table, taxon, kMiddle, count);
        ColonyRun run;
        std::size_t i = 0;
        for (auto& course : draw_courses(table, taxon, latitude, count)) {
            auto& colony = course.colony;
            const double queen = colony.queen_most;
            if (near != nullptr) {
                better_queen(colony, std::exp((*near)[i].log_queen));
            }
            const double first = near != nullptr
                                     ? (*near)[i].log_food
                                     : std::log(food_of_growth(colony, course.peak_workers)) + 1;
            (void)calibrate_colony(colony, course.peak_workers, first, run);
            found->second.push_back(
                {std::log(colony.eggs_per_worker), std::log(colony.queen_most / queen)});
            ++i;
        }
    }
    return found->second;
}

Ensemble make_ensemble(const TaxaTable& table, const Taxon& taxon, Latitude latitude, int count)
{
    FoodMemory memory;
    return make_ensemble(table, taxon, latitude, count, memory);
}

Ensemble make_ensemble(const TaxaTable& table, const Taxon& taxon, Latitude latitude, int count,
                       FoodMemory& memory)
{
    Ensemble ensemble;
    ensemble.courses = draw_courses(table, taxon, latitude, count);
    auto& courses = ensemble.courses;
    double last = courses.front().end;
    ensemble.first_day = courses.front().founding;
    for (const auto& course : courses) {
        ensemble.first_day = std::min(ensemble.first_day, course.founding);
        last = std::max(last, course.end);
    }
    ensemble.first_day = std::floor(ensemble.first_day);
    ensemble.steps =
        static_cast<std::size_t>(std::ceil((last - ensemble.first_day) / Ensemble::kStep)) + 2;
    const std::size_t all = courses.size();
    ensemble.grid.assign(ensemble.steps * kParts * all, 0.0F);
    // Both halves of the world draw the same courses at the same distance from the equator.
    const double place = std::abs(latitude.value()) / FoodMemory::kStep;
    const auto anchor = static_cast<long>(std::floor(place));
    const double way = place - static_cast<double>(anchor);
    const auto& foods = memory.at(table, taxon, anchor, count);
    const auto& next_foods = way > 0 ? memory.at(table, taxon, anchor + 1, count) : foods;
    ColonyRun run;
    const auto& days = run.days;
    for (std::size_t c = 0; c < all; ++c) {
        auto& course = courses[c];
        better_queen(course.colony,
                     std::exp(std::lerp(foods[c].log_queen, next_foods[c].log_queen, way)));
        const auto peak =
            calibrate_colony(course.colony, course.peak_workers,
                             std::lerp(foods[c].log_food, next_foods[c].log_food, way), run);
        course.peak_workers = peak.workers;
        course.peak =
            std::clamp(course.founding + peak.day, course.large_cells, course.decline - 1);
        ensemble.foundings.push_back(course.founding);
        ensemble.first_workers.push_back(course.first_workers);
        ensemble.ends.push_back(course.end);
        live_on(course, run);
        for (std::size_t step = 0; step < ensemble.steps; ++step) {
            // Held before the first day and after the last: who asks is told nothing is there.
            const double at = std::clamp(
                ensemble.first_day + static_cast<double>(step) * Ensemble::kStep - course.founding,
                0.0, static_cast<double>(days.size() - 1));
            const auto day = std::min(static_cast<std::size_t>(at), days.size() - 2);
            const double part_way = at - static_cast<double>(day);
            for (std::size_t part = 0; part < kParts; ++part) {
                double value =
                    std::lerp(days[day].values[part], days[day + 1].values[part], part_way);
                if (part == static_cast<std::size_t>(Part::Workers) &&
                    at < std::ceil(course.colony.first_workers_on)) {
                    value = std::max(value, course.colony.first_workers);
                }
                ensemble.grid[(step * kParts + part) * all + c] = static_cast<float>(value);
            }
        }
    }
    return ensemble;
}

}  // namespace nestround::nature
