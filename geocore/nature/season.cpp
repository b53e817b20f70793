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

constexpr int kLeastPerCandidate = 64;  // of each taxon of a mixture

/// The grid fills evenly from its beginning: a mixture takes the first courses of each ensemble.
int courses_each(std::size_t candidates)
{
    return std::max(kLeastPerCandidate, kEnsemble / static_cast<int>(candidates));
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

Spread<double> either(const Spread<double>& one, const Spread<double>& other)
{
    return {std::min(one.low, other.low), (one.middle + other.middle) / 2,
            std::max(one.high, other.high)};
}

ColonyDay either(const ColonyDay& one, const ColonyDay& other)
{
    ColonyDay both;
    for (std::size_t i = 0; i < kStages; ++i) {
        both.stage[i] = (one.stage[i] + other.stage[i]) / 2;
    }
    both.sexuals_out = (one.sexuals_out + other.sexuals_out) / 2;
    for (const auto part : {&ColonyDay::workers, &ColonyDay::eggs, &ColonyDay::larvae,
                            &ColonyDay::sealed_small, &ColonyDay::sealed_large, &ColonyDay::gynes,
                            &ColonyDay::males, &ColonyDay::cells, &ColonyDay::combs}) {
        both.*part = either(one.*part, other.*part);
    }
    return both;
}

void Ensemble::values(Part part, double day, std::span<double> out) const
{
    const double place = std::clamp((day - first_day) / kStep, 0.0, static_cast<double>(steps - 1));
    const auto step = std::min(static_cast<std::size_t>(place), steps - 2);
    const double part_way = place - static_cast<double>(step);
    const std::size_t all = courses.size();
    const float* before = grid.data() + (step * kParts + static_cast<std::size_t>(part)) * all;
    const float* after = before + kParts * all;
    const auto& begins = part == Part::Workers ? first_workers : foundings;
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double value = before[i] + part_way * (after[i] - before[i]);
        out[i] = day >= begins[i] && day < ends[i] ? value : 0;
    }
}

Season Season::make(const TaxaTable& table, std::span<const Candidate> candidates,
                    Latitude latitude)
{
    const int each = courses_each(candidates.size());
    std::vector<std::shared_ptr<const Ensemble>> ensembles;
    ensembles.reserve(candidates.size());
    for (const auto& candidate : candidates) {
        ensembles.push_back(std::make_shared<const Ensemble>(
            make_ensemble(table, *candidate.taxon, latitude, each)));
    }
    return make(candidates, ensembles);
}

Season Season::make(std::span<const Candidate> candidates,
                    std::span<const std::shared_ptr<const Ensemble>> ensembles)
{
    assert(!candidates.empty() && candidates.size() == ensembles.size());
    const auto each = static_cast<std::size_t>(courses_each(candidates.size()));
    Season season;
    for (std::size_t c = 0; c < candidates.size(); ++c) {
        const auto& all = ensembles[c]->courses;
        const std::size_t count = std::min(each, all.size());
        season.sections_.push_back({ensembles[c], season.courses_.size(), count});
        double total = 0;
        for (std::size_t i = 0; i < count; ++i) {
            total += all[i].weight;
        }
        for (std::size_t i = 0; i < count; ++i) {
            season.courses_.push_back(all[i]);
            season.courses_.back().weight = candidates[c].chance * all[i].weight / total;
        }
    }
    season.last_founding_ = season.courses_.front().founding;
    season.first_end_ = season.courses_.front().end;
    for (const auto& course : season.courses_) {
        season.weights_.push_back(course.weight);
        season.last_founding_ = std::max(season.last_founding_, course.founding);
        season.first_end_ = std::min(season.first_end_, course.end);
    }
    return season;
}

std::vector<double> Season::weights(std::optional<double> seen) const
{
    auto result = weights_;
    if (seen && fits(*seen)) {
        for (std::size_t i = 0; i < result.size(); ++i) {
            const auto& course = courses_[i];
            result[i] = *seen < course.founding || *seen >= course.end ? 0 : result[i];
        }
    }
    return result;
}

bool Season::fits(double seen) const
{
    return tells_nothing(seen) ||
           std::any_of(courses_.begin(), courses_.end(), [&](const Course& course) {
               return course.weight > 0 && seen >= course.founding && seen < course.end;
           });
}

bool Season::tells_nothing(double seen) const
{
    return seen >= last_founding_ && seen < first_end_;
}

void Season::values(Part part, double day, std::span<double> out) const
{
    assert(out.size() == courses_.size());
    for (const auto& section : sections_) {
        section.ensemble->values(part, day, out.subspan(section.first, section.count));
    }
}

void Season::cells(double day, std::span<double> out) const
{
    values(Part::LargeCells, day, out);
    constexpr std::size_t most = 512;
    std::array<double, most> small{};
    for (const auto& section : sections_) {
        assert(section.count <= most);
        const std::span<double> here{small.data(), section.count};
        section.ensemble->values(Part::SmallCells, day, here);
        for (std::size_t i = 0; i < section.count; ++i) {
            out[section.first + i] += here[i];
        }
    }
}

Sample Season::sample(Part part, double day) const
{
    std::vector<double> found(courses_.size());
    values(part, day, found);
    return make_sample(std::move(found));
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
    return seen ? spread(sample, weights(seen)) : spread(sample, weights_);
}

namespace {

/// The values below which the shares of the weight lie, least share first. Each value stands at the
/// middle of its weight; straight lines between.
template <std::size_t N>
std::array<double, N> quantiles(const Sample& sample, std::span<const double> weights,
                                std::array<double, N> shares)
{
    assert(sample.values.size() == weights.size());
    const double total = std::accumulate(weights.begin(), weights.end(), 0.0);
    for (auto& share : shares) {
        share *= total;
    }
    std::array<double, N> found{};
    std::size_t next = 0;
    double before = 0;
    double last_place = 0;
    double last_value = 0;
    for (const auto place : sample.order) {
        const double w = weights[place];
        if (!(w > 0)) {
            continue;
        }
        const double value = sample.values[place];
        const double here = before + w / 2;
        for (; next < N && here >= shares[next]; ++next) {
            found[next] = before > 0 ? std::lerp(last_value, value,
                                                 (shares[next] - last_place) / (here - last_place))
                                     : value;
        }
        if (next == N) {
            break;
        }
        before += w;
        last_place = here;
        last_value = value;
    }
    for (; next < N; ++next) {
        found[next] = last_value;
    }
    return found;
}

}  // namespace

Spread<double> Season::spread(const Sample& sample, std::span<const double> weights)
{
    const auto found = quantiles(sample, weights, std::array{0.1, 0.5, 0.9});
    return {found[0], found[1], found[2]};
}

double Season::median(const Sample& sample, std::span<const double> weights)
{
    return quantiles(sample, weights, std::array{0.5}).front();
}

std::array<double, kStages> Season::stages(double day, std::span<const double> weights) const
{
    std::array<double, kStages> result{};
    double total = 0;
    for (std::size_t i = 0; i < courses_.size(); ++i) {
        total += weights[i];
        result[static_cast<std::size_t>(courses_[i].stage(day))] += weights[i];
    }
    for (auto& chance : result) {
        chance /= total;
    }
    return result;
}

ColonyDay Season::on(double day, std::optional<double> seen) const
{
    return seen ? on(day, weights(seen)) : on(day, weights_);
}

ColonyDay Season::on(double day, std::span<const double> weights) const
{
    ColonyDay result;
    result.stage = stages(day, weights);
    double total = 0;
    for (std::size_t i = 0; i < courses_.size(); ++i) {
        total += weights[i];
        result.sexuals_out += day >= courses_[i].sexuals && day < courses_[i].end ? weights[i] : 0;
    }
    result.sexuals_out /= total;
    const auto of = [&](Part part) { return spread(sample(part, day), weights); };
    result.workers = of(Part::Workers);
    result.eggs = of(Part::Eggs);
    result.larvae = of(Part::Larvae);
    result.sealed_small = of(Part::SealedSmall);
    result.sealed_large = of(Part::SealedLarge);
    result.gynes = of(Part::Gynes);
    result.males = of(Part::Males);
    std::vector<double> number(courses_.size());
    cells(day, number);
    std::vector<double> combs(number.size());
    for (std::size_t i = 0; i < number.size(); ++i) {
        combs[i] = courses_[i].colony.separate_large ? combs_of(number[i]) : number[i] >= 1 ? 1 : 0;
    }
    result.cells = spread(make_sample(std::move(number)), weights);
    result.combs = spread(make_sample(std::move(combs)), weights);
    return result;
}

SeasonDates Season::dates() const { return dates(weights_); }

SeasonDates Season::dates(std::span<const double> weights) const
{
    const auto of = [&](double Course::*date) {
        std::vector<double> values;
        values.reserve(courses_.size());
        for (const auto& course : courses_) {
            values.push_back(course.*date);
        }
        return spread(make_sample(std::move(values)), weights);
    };
    return {of(&Course::founding), of(&Course::first_workers), of(&Course::large_cells),
            of(&Course::sexuals),  of(&Course::peak),          of(&Course::decline),
            of(&Course::end)};
}

}  // namespace nestround::nature
