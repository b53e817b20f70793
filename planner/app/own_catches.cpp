#include "planner/app/own_catches.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "planner/app/place_heat.hpp"

namespace nestround::app {

namespace {

double median(std::vector<double> values)
{
    if (values.empty()) {
        return 0;
    }
    std::sort(values.begin(), values.end());
    const std::size_t half = values.size() / 2;
    return values.size() % 2 == 1 ? values[half] : (values[half - 1] + values[half]) / 2;
}

/// Brood goes on hatching for about its sealed days: a count made before that is not all of it.
constexpr std::chrono::days kHatched{10};

/// What came of the combs of a visit; nothing before most of it can have emerged.
std::optional<yield::CatchCase> brood_of(const book::HarvestRow& row, Day before)
{
    int workers = 0;
    bool counted = false;
    Day last{};
    for (const auto& one : row.collections) {
        const Day day = std::chrono::floor<std::chrono::days>(one.collected_at);
        if (day >= before || !one.workers) {
            continue;
        }
        workers += *one.workers;
        counted = true;
        last = std::max(last, day);
    }
    const Day begun = std::chrono::floor<std::chrono::days>(row.visit.begun);
    if (!counted || workers < 1 || last < begun + kHatched) {
        return std::nullopt;
    }
    yield::CatchCase record;
    record.brood = true;
    record.count = workers;
    record.known = last;
    return record;
}

/// From when on a record may be learned from.
Day known_on(const yield::CatchCase& record)
{
    return record.known == Day{} ? record.day : record.known;
}

struct Mean {
    double sum = 0;
    int count = 0;
};

}  // namespace

std::vector<yield::CatchCase> own_catches(const book::Book& book, Day before)
{
    std::map<CrewId, std::string> crews;
    for (const auto& crew : book.crews(true)) {
        crews[crew.id] = crew.name;
    }
    std::vector<yield::CatchCase> out;
    std::unordered_map<CallId, Instant> worked_at;
    book.each_harvest([&](const book::HarvestRow& row) {
        const Visit& visit = row.visit;
        const Day begun = std::chrono::floor<std::chrono::days>(visit.begun);
        // A second visit finds a part of the colony only: it tells nothing of a whole one. Rows of
        // one moment, as lists of catches bring them, are one visit; one that brought nothing left
        // the colony whole.
        const bool brought = !row.catches.empty() || !row.collections.empty();
        const bool is_second =
            visit.call && brought &&
            worked_at.try_emplace(*visit.call, visit.begun).first->second < visit.begun;
        if (begun >= before || is_second) {
            return;
        }
        for (const auto& one : row.catches) {
            if (std::chrono::floor<std::chrono::days>(one.frozen_at) >= before) {
                continue;
            }
            yield::CatchCase record;
            record.nest = row.nest;
            record.taxon = one.taxon;
            record.place = row.place;
            record.day = begun;
            record.method = text(visit.method);
            record.crew = visit.crew ? crews[*visit.crew] : std::string{};
            record.mass = one.mass;
            record.count = one.count;
            record.males = one.note.starts_with("males");
            record.known = record.day;
            out.push_back(std::move(record));
        }
        if (auto brood = brood_of(row, before)) {
            brood->nest = row.nest;
            brood->taxon = row.catches.empty() ? std::string{} : row.catches.front().taxon;
            brood->place = row.place;
            brood->day = begun;
            out.push_back(std::move(*brood));
        }
    });
    std::stable_sort(out.begin(), out.end(),
                     [](const auto& a, const auto& b) { return known_on(a) < known_on(b); });
    return out;
}

yield::YieldSettings learned_settings(const book::Book& book, const Preferences& preferences,
                                      const nature::TaxaTable& table, Day before)
{
    auto settings = preferences.yield;
    const auto records = own_catches(book, before);
    if (!records.empty()) {
        settings.learned = std::make_shared<const yield::Learner>(yield::learn(records, table));
    }
    if (preferences.heat.any()) {
        // One shift for the book's region, at its first depot: years differ more than places do.
        const auto crews = book.crews();
        nature::SeasonShift shift;
        if (crews.empty() || !book.weather_range()) {
            shift.words.emplace_back(
                "the season is not moved by the weather, though the settings ask for it: the book "
                "has no crew or no weather");
        } else {
            const LonLat depot = crews.front().depot;
            const auto weather = place_weather(book, table, depot, std::nullopt, before);
            shift = nature::season_shift(table, preferences.heat, weather.days, depot.lat,
                                         nature::season_of(before, depot.lat));
        }
        settings.shift = std::make_shared<const nature::SeasonShift>(std::move(shift));
    }
    return settings;
}

Backtest backtest(const std::vector<yield::CatchCase>& records, const nature::TaxaTable& table)
{
    Backtest result;
    yield::Learner learner{table};
    std::map<std::string, Mean> means;
    std::vector<double> errors;
    std::vector<double> naive_errors;
    std::vector<double> same;
    std::vector<std::pair<std::string, double>> seen_today;
    for (std::size_t i = 0; i < records.size();) {
        // All of a day are forecast before any of it is learned from.
        std::size_t end = i;
        while (end < records.size() && known_on(records[end]) == known_on(records[i])) {
            ++end;
        }
        seen_today.clear();
        for (std::size_t k = i; k < end; ++k) {
            const auto& record = records[k];
            if (record.brood) {
                continue;  // learned from, not forecast
            }
            const auto forecast = learner.forecast(record);
            if (!forecast || !record.mass || record.mass->value() <= 0) {
                ++result.left_out;
                continue;
            }
            const std::string taxon = record.taxon.empty() ? record.nest.taxon : record.taxon;
            BacktestRow row{record.day, taxon, forecast->grams, *record.mass, {}};
            const auto& own = means[taxon];
            const auto& all = means[""];
            const auto& naive = own.count > 0 ? own : all;
            const double caught = record.mass->value();
            errors.push_back(std::abs(row.forecast.middle.value() - caught) / caught);
            if (naive.count > 0) {
                row.naive = Grams{naive.sum / naive.count};
                naive_errors.push_back(std::abs(row.naive.value() - caught) / caught);
                same.push_back(errors.back());
            }
            result.below += caught < row.forecast.low.value() ? 1 : 0;
            result.above += caught > row.forecast.high.value() ? 1 : 0;
            seen_today.emplace_back(taxon, caught);
            result.rows.push_back(std::move(row));
        }
        for (const auto& [taxon, caught] : seen_today) {
            for (const auto& name : {taxon, std::string{}}) {
                means[name].sum += caught;
                ++means[name].count;
            }
        }
        for (; i < end; ++i) {
            learner.add(records[i]);
        }
    }
    result.inside = result.rows.size() - result.above - result.below;
    result.error = median(errors);
    result.naive_error = median(naive_errors);
    result.error_of_same = median(same);
    return result;
}

}  // namespace nestround::app
