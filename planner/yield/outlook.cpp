#include "planner/yield/outlook.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>

#include "geocore/nature/season.hpp"

namespace nestround::yield {

namespace {

using nature::Season;
using nature::Stage;

/// Latitude is heeded in steps of a quarter of a degree, about half a day of season.
constexpr double kLatitudeStep = 0.25;

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

/// What a group of nests that differ in nothing the model heeds has in common on a day.
struct Common {
    std::string stage;
    Spread<double> workers;
    Spread<Grams> grams;
    Grams in_7_days{};
    Grams in_14_days{};
    bool fits = true;  ///< the day first seen goes with the calendar
};

/// What each course has on a day, before anything is known of the nest.
struct Samples {
    nature::Sample workers;
    nature::Sample grams;
    nature::Sample grams_in_7_days;
    nature::Sample grams_in_14_days;
};

constexpr long kUnseen = -100000;

std::string stage_words(const nature::ColonyDay& day)
{
    const Stage stage = day.likeliest();
    std::string words{text(stage)};
    if (day.sexuals_out > 0.5 && stage == Stage::Reproductives) {
        words += ", the first of them out";
    } else if (day.sexuals_out > 0.5 && stage == Stage::Decline) {
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
        Spread<double> level{1, 1, 1};    ///< what own catches multiply the workers by
        double mass = 1;                  ///< and the mass of a wasp
        std::map<long, Samples> samples;  // by day of the season
        std::map<std::tuple<long, long>, Common> days;  // by day of the season and day first seen
    };
    std::map<Place, Colony> colonies;

    Colony& colony(const Nest& nest, LonLat place);
    [[nodiscard]] Colony make_colony(const Nest& nest, LonLat place) const;
    [[nodiscard]] nature::Sample grams(const Colony& colony, double day) const;
    const Samples& samples(Colony& colony, long day) const;
    Common& common(Colony& colony, long day, long seen) const;
};

Forecaster::Memory::Colony Forecaster::Memory::make_colony(const Nest& nest, LonLat place) const
{
    const std::string kind{text(nest.kind)};
    auto candidates = nature::candidates(*table, nest.taxon, kind, place);
    Season season = Season::make(*table, candidates, place.lat);
    Colony colony{
        std::move(candidates), std::move(season), {}, {}, {}, {}, {}, {}, {1, 1, 1}, 1, {}, {}};
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
    const long box = table->recognise(nest.taxon) != nullptr
                         ? 0
                         : static_cast<long>(std::floor(place.lon.value() / 10));
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
    std::vector<double> values;
    values.reserve(colony.season.courses().size());
    double drawn = 0.5;
    for (const auto& course : colony.season.courses()) {
        drawn = std::fmod(drawn + kPlastic, 1.0);
        values.push_back(course.workers(day) * level_at(colony.level, drawn) * colony.mass *
                         share_at(colony.catch_share, course.chance) *
                         nestround::grams(course.worker_mass).value() * kept);
    }
    return nature::make_sample(std::move(values));
}

const Samples& Forecaster::Memory::samples(Colony& colony, long day) const
{
    auto [found, is_new] = colony.samples.try_emplace(day);
    if (is_new) {
        const auto on = static_cast<double>(day);
        found->second = {colony.season.workers(on), grams(colony, on), grams(colony, on + 7),
                         grams(colony, on + 14)};
    }
    return found->second;
}

Common& Forecaster::Memory::common(Colony& colony, long day, long seen) const
{
    auto [found, is_new] = colony.days.try_emplace(std::tuple{day, seen});
    auto& common = found->second;
    if (is_new) {
        const auto on = static_cast<double>(day);
        std::optional<double> seen_on;
        if (seen != kUnseen) {
            seen_on = static_cast<double>(seen);
            common.fits = colony.season.fits(*seen_on);
        }
        const auto& all = samples(colony, day);
        const auto state = colony.season.on(on, all.workers, seen_on);
        common.stage = stage_words(state);
        const double level = colony.level.middle;
        common.workers = {state.workers.low * level, state.workers.middle * level,
                          state.workers.high * level};
        const auto spread = colony.season.spread(all.grams, seen_on);
        common.grams = {Grams{spread.low}, Grams{spread.middle}, Grams{spread.high}};
        common.in_7_days = Grams{colony.season.spread(all.grams_in_7_days, seen_on).middle};
        common.in_14_days = Grams{colony.season.spread(all.grams_in_14_days, seen_on).middle};
    }
    return common;
}

Forecaster::Forecaster(const nature::TaxaTable& table, YieldSettings settings)
    : memory_{std::make_unique<Memory>(Memory{&table, std::move(settings), {}})}
{
}
Forecaster::~Forecaster() = default;
Forecaster::Forecaster(Forecaster&&) noexcept = default;
Forecaster& Forecaster::operator=(Forecaster&&) noexcept = default;

NestOutlook Forecaster::outlook(const Nest& nest, LonLat place, Day on)
{
    auto& colony = memory_->colony(nest, place);
    const int season = nest.season != 0 ? nest.season : nature::season_of(on, place.lat);
    const auto day = static_cast<long>(nature::season_day(on, place.lat, season));

    long seen = kUnseen;
    std::string seen_note;
    if (nest.first_seen) {
        const double on_day = nature::season_day(*nest.first_seen, place.lat, season);
        if (*nest.first_seen > on) {
            seen_note = "first seen after the day of the forecast: not heeded";
        } else if (!colony.season.tells_nothing(on_day)) {
            seen = static_cast<long>(on_day);
        }
    }
    const auto& common = memory_->common(colony, day, seen);

    NestOutlook result;
    result.taxon = colony.code;
    result.taxon_name = colony.name;
    result.stage = common.stage;
    result.workers = common.workers;
    result.grams = common.grams;
    result.in_7_days = common.in_7_days;
    result.in_14_days = common.in_14_days;
    result.notes = colony.notes;
    result.cautions = colony.cautions;
    if (!seen_note.empty()) {
        result.notes.push_back(std::move(seen_note));
    } else if (seen != kUnseen && !common.fits) {
        result.notes.push_back(fmt::format(
            "first seen on {}, when no such colony should have been alive: not heeded; is the wasp "
            "named rightly?",
            format_day(*nest.first_seen)));
    }
    if (nest.width && colony.widest && *nest.width > *colony.widest) {
        result.notes.push_back(fmt::format(
            "{:.0f} cm across is wider than the {:.0f} cm that the table knows for such a nest: "
            "please check; the forecast does not use the width",
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
