#include "planner/yield/outlook.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

#include "geocore/nature/courses.hpp"

namespace nestround::yield {

namespace {

using nature::Season;
using nature::Stage;

/// Latitude is heeded in steps of a degree: half of one is about a day of season, well within the
/// doubt of the calendars.
constexpr double kLatitudeStep = 1;

long band_of(Latitude latitude) { return std::lround(latitude.value() / kLatitudeStep); }

Latitude middle_of(long band) { return Latitude{static_cast<double>(band) * kLatitudeStep}; }

/// 10, 50 and 90 % by straight lines from 0 to 1; used to draw the share that is caught.
double share_at(const Spread<double>& share, double chance)
{
    const double low = std::clamp(share.low, 0.0, 1.0);
    const double middle = std::clamp(share.middle, low, 1.0);
    const double high = std::clamp(share.high, middle, 1.0);
    // Beyond the outer tenths the line goes on, and stops at nothing and at everything.
    const double slope_low = (middle - low) / 0.4;
    const double slope_high = (high - middle) / 0.4;
    const double drawn =
        chance < 0.5 ? middle - slope_low * (0.5 - chance) : middle + slope_high * (chance - 0.5);
    return std::clamp(drawn, 0.0, 1.0);
}

/// Steps that fill 0 to 1 evenly, apart from those that a course draws its own chances by.
constexpr double kPlastic = 0.7548776662466927;

/// A multiplier by its 10, 50 and 90 %, straight lines on its logarithm.
double level_at(const Spread<double>& level, double chance)
{
    const double part = (chance - 0.5) / 0.4;
    const double outer = part < 0 ? level.middle / level.low : level.high / level.middle;
    return level.middle * std::pow(outer, part);
}

/// What each course has on a day, before anything is known of the nest.
struct Samples {
    nature::Sample workers, sealed_workers, sealed_sexuals, gynes, males;
    nature::Sample grams, grams_in_7_days, grams_in_14_days;
};

std::string stage_words(const NestNumbers& numbers)
{
    nature::ColonyDay day;
    day.stage = numbers.stages;
    const Stage stage = day.likeliest();
    std::string words{text(stage)};
    if (numbers.sexuals_out > 0.5 && stage == Stage::Reproductives) {
        words += ", the first of them out";
    } else if (numbers.sexuals_out > 0.5 && stage == Stage::Decline) {
        words += ", queens and males leaving";
    }
    return words;
}

std::string percent(double share) { return fmt::format("{:.0f} %", share * 100); }

}  // namespace

struct Forecaster::Memory {
    const nature::TaxaTable* table;
    YieldSettings settings;
    using Place = std::tuple<std::string, std::string, long, long>;  // named, kind, lon box, band
    struct Colony {
        std::vector<nature::Candidate> candidates;
        Season season;
        Spread<double> catch_share;
        std::vector<std::string> notes;
        std::vector<std::string> cautions;
        std::string code;
        std::string name;
        std::optional<Metres> widest;
        Spread<double> level{1, 1, 1};  ///< what own catches multiply the workers by
        double mass = 1;                ///< and the mass of a wasp
        double typical_litres = 0;      ///< of a mature nest; 0: the outer size is not used
        double typical_cells = 0;
        double first = 0;  ///< middle days of founding and end
        double last = 0;
        std::map<long, Samples> samples;    // by day of the season
        std::map<long, NestNumbers> plain;  // the same, nothing known of the nest
        std::vector<double> weights, room;  // of the nest in hand
    };
    std::map<Place, Colony> colonies;
    std::map<std::pair<const nature::Taxon*, long>, std::shared_ptr<const nature::Ensemble>>
        ensembles;
    nature::FoodMemory foods;
    nature::LookFigures looks;
    std::map<std::string, bool> recognised;  // whether a name is that of one taxon

    Colony& colony(const Nest& nest, LonLat place);
    Colony make_colony(const Nest& nest, LonLat place);
    [[nodiscard]] nature::Sample grams(const Colony& colony, double day) const;
    const Samples& samples(Colony& colony, long day) const;
    /// The day of the season, moved by what the weather of the year did to it.
    [[nodiscard]] double day_of(const Colony& colony, Day day, Latitude latitude, int season) const;
    bool weigh(Colony& colony, const Nest& nest, Latitude latitude, Day on, int season,
               std::span<const nature::Observation> seen, bool& fits) const;
    static NestNumbers numbers_of(const Colony& colony, const Samples& all, double day,
                                  std::span<const double> weights);
};

Forecaster::Memory::Colony Forecaster::Memory::make_colony(const Nest& nest, LonLat place)
{
    const std::string kind{text(nest.kind)};
    auto candidates = nature::candidates(*table, nest.taxon, kind, place);
    std::vector<std::shared_ptr<const nature::Ensemble>> parts;
    for (const auto& one : candidates) {
        auto& ensemble = ensembles[{one.taxon, band_of(place.lat)}];
        if (ensemble == nullptr) {
            ensemble = std::make_shared<const nature::Ensemble>(
                nature::make_ensemble(*table, *one.taxon, place.lat, nature::kEnsemble, foods));
        }
        parts.push_back(ensemble);
    }
    Season season = Season::make(candidates, parts);
    Colony colony{std::move(candidates),
                  std::move(season),
                  {},
                  {},
                  {},
                  {},
                  {},
                  {},
                  {1, 1, 1},
                  1,
                  0,
                  0,
                  0,
                  0,
                  {},
                  {},
                  {},
                  {}};
    const auto dates = colony.season.dates();
    colony.first = dates.founding.middle;
    colony.last = dates.end.middle;
    colony.weights.resize(colony.season.courses().size());
    colony.room.resize(colony.weights.size());
    const auto* first = colony.candidates.front().taxon;
    const bool known = colony.candidates.size() == 1;

    const auto* share = table->figure(first->code, "catch_share." + kind);
    const bool use_own = known && settings.learned && settings.learned->records() > 0;
    if (settings.catch_share) {
        colony.catch_share = *settings.catch_share;
    } else if (use_own) {
        colony.catch_share = settings.learned->catch_share(first->code, nest.kind);
    } else if (share != nullptr) {
        colony.catch_share = {share->lowest(), share->middle(), share->highest()};
    } else {
        colony.catch_share = {0, 0.5, 1};
    }

    auto& notes = colony.notes;
    if (known) {
        colony.code = first->code;
        colony.name = first->name;
        const auto weakest = [&](std::string_view parameter) {
            const auto* row = table->figure(first->code, parameter);
            return row == nullptr ? std::string{"missing"} : std::string{text(row->mark)};
        };
        notes.push_back(
            fmt::format("rests on the calendar ({}) and numbers ({}) of {}, worker mass ({})",
                        weakest("calendar.peak"), weakest("workers.peak"), first->name,
                        weakest("mass.worker")));
    } else {
        const bool one_genus = std::all_of(
            colony.candidates.begin(), colony.candidates.end(),
            [&](const nature::Candidate& one) { return one.taxon->genus == first->genus; });
        colony.name = one_genus ? first->genus + " of unknown species" : "unknown social wasp";
        auto sorted = colony.candidates;
        std::stable_sort(sorted.begin(), sorted.end(),
                         [](const auto& a, const auto& b) { return a.chance > b.chance; });
        std::string list;
        for (std::size_t i = 0; i < std::min<std::size_t>(3, sorted.size()); ++i) {
            list += fmt::format("{}{} {}", i == 0 ? "" : ", ", sorted[i].taxon->name,
                                percent(sorted[i].chance));
        }
        notes.push_back(
            fmt::format("the wasp is not known: the forecast mixes {} taxa that nest so here "
                        "({}{}) and is wide",
                        sorted.size(), list, sorted.size() > 3 ? ", ..." : ""));
        if (!nest.taxon.empty() && !one_genus) {
            notes.push_back(
                fmt::format("taxon '{}' is not in the table (see taxa list)", nest.taxon));
        }
    }
    if (use_own) {
        const auto& own = *settings.learned;
        colony.level = own.level(first->code);
        const auto mass = own.mass_mg(first->code);
        if (const auto* row = table->figure(first->code, "mass.worker"); mass && row != nullptr) {
            colony.mass = mass->middle / row->middle();
        }
        notes.push_back(fmt::format(
            "rests on {} own records, {} of them of {}: share caught {} to {}, colonies {:.2f} "
            "times the calendar's",
            own.records(), own.records_of(first->code), first->name,
            percent(colony.catch_share.low), percent(colony.catch_share.high),
            colony.level.middle));
    } else if (!settings.catch_share) {
        notes.push_back(fmt::format("the share that is caught ({} to {}) is {}",
                                    percent(colony.catch_share.low),
                                    percent(colony.catch_share.high),
                                    share == nullptr                ? "not known"
                                    : share->mark == Mark::Practice ? "from practice, not measured"
                                                                    : "an assumption"));
    }
    if (const double at = std::abs(place.lat.value()); at < 23.5) {
        notes.emplace_back("so near the equator the calendars that are known say little");
    } else if (const auto* mild = table->figure("all", "model.mild_latitude");
               mild != nullptr && at < mild->middle() && known) {
        if (const auto* lives_on = table->figure(first->code, "perennial")) {
            notes.push_back("a colony may outlive a mild winter here: " + lives_on->words);
        }
    }
    if (known) {
        if (const auto* size = table->figure(first->code, "size_caution")) {
            notes.push_back(size->words);
        }
        for (const auto& level : table->chain(first->code)) {
            for (const auto* row : table->own_rows(level)) {
                if (row->parameter == "caution" && row->words != "") {
                    colony.cautions.push_back(row->words);
                }
            }
        }
        if (const auto* width = table->figure(first->code, "nest.width_most")) {
            colony.widest = Metres{width->highest() / 100};
        }
        const auto* width = table->figure(first->code, "nest.width");
        const auto* length = table->figure(first->code, "nest.length");
        if (width != nullptr && length != nullptr) {
            colony.typical_litres =
                nature::nest_litres(Metres{width->middle() / 100}, Metres{length->middle() / 100});
            double total = 0;
            for (const auto& course : colony.season.courses()) {
                const auto& p = course.colony;
                total += course.weight * course.peak_workers * (1 + p.large_per_small) *
                         (p.egg_days + p.larva_days + p.sealed_days) / p.worker_life;
            }
            colony.typical_cells = total;
        }
    } else {
        for (const auto* row : table->own_rows("all")) {
            if (row->parameter == "caution") {
                colony.cautions.push_back(row->words);
            }
        }
    }
    return colony;
}

Forecaster::Memory::Colony& Forecaster::Memory::colony(const Nest& nest, LonLat place)
{
    const long band = band_of(place.lat);
    // The part of the world matters only for unknown wasps and changes slowly: boxes of 10 degrees,
    // whose edges lie on those of the regions.
    auto named = recognised.find(nest.taxon);
    if (named == recognised.end()) {
        named = recognised.emplace(nest.taxon, table->recognise(nest.taxon) != nullptr).first;
    }
    const long box = named->second ? 0 : static_cast<long>(std::floor(place.lon.value() / 10));
    Place key{nest.taxon, std::string{text(nest.kind)}, box, band};
    auto found = colonies.find(key);
    if (found == colonies.end()) {
        // Made for the middle of the box, so that the order of questions changes no answer.
        const LonLat middle{Longitude{static_cast<double>(box) * 10 + 5}, middle_of(band)};
        found = colonies.emplace(std::move(key), make_colony(nest, middle)).first;
    }
    return found->second;
}

nature::Sample Forecaster::Memory::grams(const Colony& colony, double day) const
{
    const auto* loss = table->figure("all", "freezing_loss");
    const double kept = 1 - (loss == nullptr ? 0 : loss->middle());
    const auto courses = colony.season.courses();
    std::vector<double> values(courses.size());
    colony.season.values(nature::Part::Workers, day, values);
    double drawn = 0.5;
    for (std::size_t i = 0; i < values.size(); ++i) {
        drawn = std::fmod(drawn + kPlastic, 1.0);
        values[i] *= level_at(colony.level, drawn) * colony.mass *
                     share_at(colony.catch_share, courses[i].chance) *
                     nestround::grams(courses[i].worker_mass).value() * kept;
    }
    return nature::make_sample(std::move(values));
}

const Samples& Forecaster::Memory::samples(Colony& colony, long day) const
{
    auto [found, is_new] = colony.samples.try_emplace(day);
    if (is_new) {
        const auto on = static_cast<double>(day);
        const auto of = [&](nature::Part part) { return colony.season.sample(part, on); };
        found->second = {of(nature::Part::Workers),     of(nature::Part::SealedSmall),
                         of(nature::Part::SealedLarge), of(nature::Part::Gynes),
                         of(nature::Part::Males),       grams(colony, on),
                         grams(colony, on + 7),         grams(colony, on + 14)};
    }
    return found->second;
}

double Forecaster::Memory::day_of(const Colony& colony, Day day, Latitude latitude,
                                  int season) const
{
    const double calendar = nature::season_day(day, latitude, season);
    if (settings.shift == nullptr) {
        return calendar;
    }
    return calendar - std::round(settings.shift->on(calendar, colony.first, colony.last));
}

/// Weighs the courses by all that is known of the nest; false when that changes nothing.
bool Forecaster::Memory::weigh(Colony& colony, const Nest& nest, Latitude latitude, Day on,
                               int season, std::span<const nature::Observation> seen,
                               bool& fits) const
{
    const auto prior = colony.season.weights();
    std::copy(prior.begin(), prior.end(), colony.weights.begin());
    bool told = false;
    auto figures = looks;
    figures.level = colony.level.middle;
    const auto heed = [&](const nature::Observation& one) {
        const auto done = nature::weigh(colony.season, figures, one, colony.weights, colony.room,
                                        colony.typical_litres, colony.typical_cells);
        told =
            told || done.heeded == nature::Heeded::Told || done.heeded == nature::Heeded::Softened;
        return done.heeded != nature::Heeded::Contradicts;
    };
    if (nest.first_seen && *nest.first_seen <= on) {
        nature::Observation first;
        first.day = day_of(colony, *nest.first_seen, latitude, season);
        fits = colony.season.fits(first.day) && heed(first);
    }
    if (nest.width && nest.length && colony.typical_litres > 0) {
        nature::Observation size;
        size.look = nature::Look::Size;
        // Nobody wrote when it was measured: the day asked about reads least into it.
        size.day = day_of(colony, on, latitude, season);
        size.value = nature::nest_litres(*nest.width, *nest.length);
        (void)heed(size);
    }
    for (const auto& one : seen) {
        fits = heed(one) && fits;
    }
    return told;
}

NestNumbers Forecaster::Memory::numbers_of(const Colony& colony, const Samples& all, double day,
                                           std::span<const double> weights)
{
    NestNumbers numbers;
    numbers.stages = colony.season.stages(day, weights);
    const auto courses = colony.season.courses();
    for (std::size_t i = 0; i < weights.size(); ++i) {
        numbers.sexuals_out += day >= courses[i].sexuals && day < courses[i].end ? weights[i] : 0;
    }
    const double level = colony.level.middle;
    const auto of = [&](const nature::Sample& part) {
        const auto spread = Season::spread(part, weights);
        return Spread<double>{spread.low * level, spread.middle * level, spread.high * level};
    };
    numbers.workers = of(all.workers);
    numbers.sealed_workers = of(all.sealed_workers);
    numbers.sealed_sexuals = of(all.sealed_sexuals);
    numbers.gynes = of(all.gynes);
    numbers.males = of(all.males);
    numbers.grams = Season::spread(all.grams, weights);
    numbers.in_7_days = Season::median(all.grams_in_7_days, weights);
    numbers.in_14_days = Season::median(all.grams_in_14_days, weights);
    return numbers;
}

NestNumbers either(const NestNumbers& one, const NestNumbers& other)
{
    NestNumbers both;
    for (std::size_t i = 0; i < both.stages.size(); ++i) {
        both.stages[i] = (one.stages[i] + other.stages[i]) / 2;
    }
    both.sexuals_out = (one.sexuals_out + other.sexuals_out) / 2;
    for (const auto part :
         {&NestNumbers::workers, &NestNumbers::sealed_workers, &NestNumbers::sealed_sexuals,
          &NestNumbers::gynes, &NestNumbers::males, &NestNumbers::grams}) {
        both.*part = nature::either(one.*part, other.*part);
    }
    both.in_7_days = (one.in_7_days + other.in_7_days) / 2;
    both.in_14_days = (one.in_14_days + other.in_14_days) / 2;
    return both;
}

Forecaster::Forecaster(const nature::TaxaTable& table, YieldSettings settings)
    : memory_{std::make_unique<Memory>(
          Memory{&table, std::move(settings), {}, {}, {}, nature::LookFigures::of(table), {}})}
{
}
Forecaster::~Forecaster() = default;
Forecaster::Forecaster(Forecaster&&) noexcept = default;
Forecaster& Forecaster::operator=(Forecaster&&) noexcept = default;

NestNumbers Forecaster::numbers(const Nest& nest, LonLat place, Day on,
                                std::span<const nature::Observation> seen)
{
    auto& colony = memory_->colony(nest, place);
    const int season = nest.season != 0 ? nest.season : nature::season_of(on, place.lat);
    const auto day = static_cast<long>(memory_->day_of(colony, on, place.lat, season));
    const auto& all = memory_->samples(colony, day);
    bool fits = true;
    const bool told = memory_->weigh(colony, nest, place.lat, on, season, seen, fits);
    if (!fits) {
        // One of wasp, calendar and sight is wrong, and nobody knows which: hold all of them.
        auto numbers = Memory::numbers_of(colony, all, static_cast<double>(day), colony.weights);
        numbers = either(numbers, Memory::numbers_of(colony, all, static_cast<double>(day),
                                                     colony.season.weights()));
        if (!nest.taxon.empty() && colony.candidates.size() == 1) {
            Nest any = nest;
            any.taxon.clear();
            any.season = season;
            numbers = either(numbers, this->numbers(any, place, on, seen));
        }
        numbers.fits = false;
        return numbers;
    }
    if (told) {
        auto numbers = Memory::numbers_of(colony, all, static_cast<double>(day), colony.weights);
        numbers.fits = fits;
        return numbers;
    }
    auto [found, is_new] = colony.plain.try_emplace(day);
    if (is_new) {
        found->second =
            Memory::numbers_of(colony, all, static_cast<double>(day), colony.season.weights());
    }
    auto numbers = found->second;
    numbers.fits = fits;
    return numbers;
}

NestCourses Forecaster::courses(const Nest& nest, LonLat place, Day on,
                                std::span<const nature::Observation> seen)
{
    auto& colony = memory_->colony(nest, place);
    const int season = nest.season != 0 ? nest.season : nature::season_of(on, place.lat);
    bool fits = true;
    (void)memory_->weigh(colony, nest, place.lat, on, season, seen, fits);
    return {&colony.season, memory_->day_of(colony, on, place.lat, season),
            colony.weights, colony.catch_share,
            colony.level,   colony.mass};
}

NestOutlook Forecaster::outlook(const Nest& nest, LonLat place, Day on)
{
    return outlook(nest, place, on, {});
}

NestOutlook Forecaster::outlook(const Nest& nest, LonLat place, Day on,
                                std::span<const nature::Observation> seen)
{
    const auto numbers = this->numbers(nest, place, on, seen);
    const auto& colony = memory_->colony(nest, place);
    NestOutlook result;
    result.taxon = colony.code;
    result.taxon_name = colony.name;
    result.stage = stage_words(numbers);
    result.stages = numbers.stages;
    result.stage_chance = *std::max_element(numbers.stages.begin(), numbers.stages.end());
    result.sexuals_out = numbers.sexuals_out;
    result.workers = numbers.workers;
    result.sealed_workers = numbers.sealed_workers;
    result.sealed_sexuals = numbers.sealed_sexuals;
    result.gynes = numbers.gynes;
    result.males = numbers.males;
    result.grams = {Grams{numbers.grams.low}, Grams{numbers.grams.middle},
                    Grams{numbers.grams.high}};
    result.in_7_days = Grams{numbers.in_7_days};
    result.in_14_days = Grams{numbers.in_14_days};
    result.notes = colony.notes;
    if (memory_->settings.shift != nullptr) {
        const auto& words = memory_->settings.shift->words;
        result.notes.insert(result.notes.end(), words.begin(), words.end());
    }
    result.cautions = colony.cautions;
    if (nest.first_seen && *nest.first_seen > on) {
        result.notes.emplace_back("first seen after the day of the forecast: not heeded");
    } else if (nest.first_seen && !numbers.fits) {
        result.notes.push_back(fmt::format(
            "first seen on {}, when no such colony should have been alive: the forecast is widened "
            "to any wasp that nests so here; is the wasp named rightly?",
            format_day(*nest.first_seen)));
    }
    if (nest.width && colony.widest && *nest.width > *colony.widest) {
        result.notes.push_back(fmt::format(
            "{:.0f} cm across is wider than the {:.0f} cm that the table knows for such a nest: "
            "please check",
            nest.width->value() * 100, colony.widest->value() * 100));
    }
    if (nest.insecticide) {
        result.venom = false;
        result.grams = {};
        result.in_7_days = {};
        result.in_14_days = {};
        result.notes.emplace_back("insecticide was used: nothing of it may go to a laboratory");
    }
    return result;
}

NestOutlook outlook(const nature::TaxaTable& table, const Nest& nest, LonLat place, Day on,
                    const YieldSettings& settings)
{
    return Forecaster{table, settings}.outlook(nest, place, on);
}

}  // namespace nestround::yield
