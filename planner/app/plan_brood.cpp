#include "planner/app/plan_brood.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "geocore/base/error.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/own_catches.hpp"
#include "planner/app/taxa_in_use.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::app {

namespace {

constexpr int kForgotten = 60;  // days after which comb that nobody took out is not looked at
constexpr std::array<std::string_view, 7> kWeekdays{"sunday",   "monday", "tuesday", "wednesday",
                                                    "thursday", "friday", "saturday"};

std::vector<bool> marked_days(const std::vector<std::string>& words, const char* option, Day from,
                              int days)
{
    std::vector<bool> out(static_cast<std::size_t>(days), false);
    for (const auto& word : words) {
        const auto weekday = std::find(kWeekdays.begin(), kWeekdays.end(), word);
        const auto date = parse_day(word);
        if (weekday == kWeekdays.end() && !date) {
            throw Failure{
                ErrorCode::BadUsage,
                fmt::format("{} wants weekdays, as sunday, or dates, not '{}'", option, word)};
        }
        for (int d = 0; d < days; ++d) {
            const Day day = from + std::chrono::days{d};
            if (weekday != kWeekdays.end()
                    ? std::chrono::weekday{day} ==
                          std::chrono::weekday{static_cast<unsigned>(weekday - kWeekdays.begin())}
                    : day == *date) {
                out[static_cast<std::size_t>(d)] = true;
            }
        }
    }
    return out;
}

Instant midnight(Day day, const std::string& zone)
{
    return value_or_throw(intake::to_utc(day, ClockTime{}, zone));
}

/// Where comb stands from: what was written, else when its visit ended.
Instant stands_from(const CombPiece& piece, const Visit& visit)
{
    return piece.stands_from.value_or(visit.ended.value_or(visit.begun));
}

class BroodRoom {
public:
    BroodRoom(const book::Book& book, const Preferences& preferences, const BroodWishes& wishes)
        : book_{book},
          preferences_{preferences},
          wishes_{wishes},
          taxa_{taxa_in_use(book, preferences)},
          forecaster_{*taxa_, learned_settings(book, preferences, *taxa_, wishes.on)}
    {
        result_.input.on = wishes.on;
        result_.input.days = wishes.days;
        result_.input.settings = preferences.brood;
        result_.input.settings.ripening |= wishes.ripening;
        result_.input.settings.worth_per_gram = preferences.rank.worth_per_gram;
        result_.input.figures = brood::brood_figures(*taxa_, "all");
        result_.input.is_off = marked_days(wishes.off, "--off", wishes.on, wishes.days);
        result_.input.is_driving = marked_days(wishes.driving, "--driving", wishes.on, wishes.days);
        for (auto& habitat : book.habitats()) {
            index_[habitat.name] = result_.input.habitats.size();
            result_.input.habitats.push_back({std::move(habitat), {}});
        }
    }

    PlannedBrood take(bool forecast)
    {
        for (const auto& piece : book_.all_comb()) {
            add(piece, forecast);
        }
        return std::move(result_);
    }

private:
    brood::StandingHabitat& habitat_of(const CombPiece& piece)
    {
        const std::string name = piece.habitat.empty() ? "no habitat named" : piece.habitat;
        const auto [at, is_new] = index_.emplace(name, result_.input.habitats.size());
        if (is_new) {
            Habitat habitat;
            for (const auto& one : book_.habitats(true)) {
                habitat = one.name == name ? one : habitat;
            }
            habitat.name = name;
            result_.input.habitats.push_back({std::move(habitat), {}});
        }
        return result_.input.habitats[at->second];
    }

    void add(const CombPiece& piece, bool forecast)
    {
        const auto visit = book_.visit(piece.visit);
        if (!visit) {
            return;
        }
        const Instant from = stands_from(piece, *visit);
        const auto local = value_or_throw(intake::to_local(from, preferences_.time_zone));
        const auto today = midnight(wishes_.on, preferences_.time_zone);
        if (local.day > wishes_.on || (piece.stands_to && *piece.stands_to < today)) {
            return;
        }
        const int first_day = static_cast<int>((local.day - wishes_.on).count());
        const std::string key = book::short_key(piece.id.uuid());
        if (first_day < -kForgotten) {
            result_.notes.push_back(fmt::format(
                "comb {} stands since {}: nothing comes of it any more; close it with: nestround "
                "comb end BOOK {}",
                key, format_day(local.day), key));
            return;
        }
        const auto nest = book_.nest(visit->nest);
        const auto site = nest ? book_.site(nest->site) : std::nullopt;
        if (!nest || !site) {
            return;
        }
        auto& standing = habitat_of(piece);
        brood::StandingComb comb;
        comb.key = key;
        comb.name = site->label.empty() ? "a nest without a name" : site->label;
        comb.taxon = nest->taxon;
        const auto* taxon = taxa_->find(nest->taxon);
        comb.taxon_name = taxon == nullptr ? "unknown social wasp" : taxon->name;
        comb.first_day = first_day;
        for (const auto& count :
             {piece.eggs, piece.larvae, piece.sealed_small, piece.sealed_large, piece.empty}) {
            comb.cells += count.value_or(0);
        }
        const auto worth = preferences_.rank.worth_by_taxon.find(nest->taxon);
        comb.worth_per_gram = nest->insecticide ? 0
                              : worth == preferences_.rank.worth_by_taxon.end()
                                  ? preferences_.rank.worth_per_gram
                                  : worth->second;
        if (nest->insecticide) {
            comb.notes.push_back("the nest had insecticide: worth nothing for venom");
        }
        if (forecast) {
            fill(piece, *nest, *site, from, local.day, standing.habitat, comb);
        }
        standing.combs.push_back(std::move(comb));
    }

    void fill(const CombPiece& piece, const Nest& nest, const Site& site, Instant from,
              Day first_day, const Habitat& habitat, brood::StandingComb& comb)
    {
        auto& input = comb.input;
        input.figures = brood::brood_figures(*taxa_, nest.taxon);
        const auto courses = forecaster_.courses(nest, site.place, first_day);
        input.growth = brood::sealed_growth(*courses.season, courses.day, courses.weights);
        auto& b = input.brood;
        b.eggs = piece.eggs.value_or(0);
        b.larvae = piece.larvae.value_or(0);
        b.sealed_small = piece.sealed_small.value_or(0);
        b.sealed_large = piece.sealed_large.value_or(0);
        b.doubt = piece.doubt;
        b.sealed_least = piece.sealed_least_days;
        b.sealed_most = piece.sealed_most_days;
        b.nurses = piece.nurses.value_or(false);
        if (!input.figures.separate_large) {
            b.sexual_small = brood::sexual_share(*courses.season, courses.day, courses.weights);
        }
        warmth(habitat, from, first_day, comb);
        for (const auto& row : book_.collections(piece.id)) {
            brood::Taken taken;
            taken.day =
                static_cast<double>(
                    (row.collected_at - midnight(first_day, preferences_.time_zone)).count()) /
                86400;
            if (row.collected_at >
                midnight(wishes_.on + std::chrono::days{1}, preferences_.time_zone)) {
                continue;  // not known on that day
            }
            if (row.workers) {
                taken.workers = *row.workers;
            }
            if (row.reproductives) {
                taken.reproductives = *row.reproductives;
            }
            if (!row.workers && !row.reproductives && row.mass) {
                // Weighed together: by the mass of workers, and the more in doubt for it.
                constexpr double kMassDoubt = 0.25;
                taken.workers = row.mass->value() * 1000 / input.figures.worker_mg;
                taken.doubt = kMassDoubt;
            }
            input.taken.push_back(taken);
        }
    }

    void warmth(const Habitat& habitat, Instant from, Day first_day, brood::StandingComb& comb)
    {
        auto& input = comb.input;
        brood::WarmthInput wanted;
        wanted.midnight = midnight(first_day, preferences_.time_zone);
        wanted.stands_from = from;
        wanted.days = wishes_.days - comb.first_day;
        wanted.set_point = habitat.set_point;
        wanted.otherwise = Celsius{taxa_->figure("all", "incubator.temperature")->middle()};
        std::vector<HabitatReading> log;
        if (!habitat.id.is_nil()) {
            log = book_.habitat_readings(
                habitat.id, wanted.midnight - std::chrono::hours{3},
                midnight(wishes_.on + std::chrono::days{1}, preferences_.time_zone));
        }
        wanted.log = log;
        if (!log.empty() && !habitat.set_point) {
            // What comes is as the last three days were.
            double sum = 0;
            int count = 0;
            for (const auto& reading : log) {
                if (log.back().at - reading.at <= std::chrono::hours{72}) {
                    sum += reading.temperature.value();
                    ++count;
                }
            }
            wanted.set_point = Celsius{sum / count};
        }
        input.warmth = brood::warm_days(wanted, input.figures);
        if (log.empty() && !habitat.set_point) {
            input.figures.days_factor.low *= 0.92;
            input.figures.days_factor.high *= 1.12;
            comb.notes.push_back(fmt::format(
                "nobody wrote down how warm it is: {:g} C is taken; give the habitat a set point "
                "or import its log",
                wanted.otherwise.value()));
        }
        if (input.warmth.gap_hours > 1) {
            comb.notes.push_back(
                fmt::format("the log has gaps of {:.0f} h in all: there the {} was taken",
                            input.warmth.gap_hours, habitat.set_point ? "set point" : "mean"));
        }
        if (input.warmth.cold_hours > 1) {
            comb.notes.push_back(fmt::format(
                "{:.0f} h below {:g} C, or to come: there the rule of development is stretched",
                input.warmth.cold_hours, input.figures.range_low));
        }
        if (input.warmth.hot_hours > 0) {
            comb.notes.push_back(
                fmt::format("{:.0f} h above {:g} C, up to {:.1f} C, or to come: brood dies of it",
                            input.warmth.hot_hours, input.figures.most, input.warmth.hottest));
        }
    }

    const book::Book& book_;
    const Preferences& preferences_;
    const BroodWishes& wishes_;
    Taxa taxa_;
    yield::Forecaster forecaster_;
    std::map<std::string, std::size_t> index_;
    PlannedBrood result_;
};

}  // namespace

PlannedBrood plan_brood(const book::Book& book, const Preferences& preferences,
                        const BroodWishes& wishes)
{
    constexpr int kMost = 200;
    if (wishes.days < 1 || wishes.days > kMost) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("--days wants 1 to {} days, not {}", kMost, wishes.days)};
    }
    auto planned = BroodRoom{book, preferences, wishes}.take(true);
    planned.plan = brood::plan_brood(planned.input);
    return planned;
}

brood::Room room_on(const book::Book& book, const Preferences& preferences, Day on)
{
    BroodWishes wishes;
    wishes.on = on;
    wishes.days = 1;
    return brood::room_of(BroodRoom{book, preferences, wishes}.take(false).input.habitats);
}

}  // namespace nestround::app
