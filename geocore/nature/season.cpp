#include "geocore/nature/season.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numeric>

#include "geocore/nature/courses.hpp"

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

constexpr int kCourses = 256;           // of a single taxon
constexpr int kLeastPerCandidate = 64;  // of each taxon of a mixture

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
        for (auto& course : draw_courses(table, *candidate.taxon, latitude, each)) {
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
