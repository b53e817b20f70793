#include "planner/yield/learning.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geocore/nature/season.hpp"

namespace nestround::yield {

namespace {

constexpr double kOuterTenth = 1.2815515655446004;  // of the normal distribution

double logit(double share) { return std::log(share / (1 - share)); }
double share_of(double value) { return 1 / (1 + std::exp(-value)); }

Spread<double> by_exp(double mean, double deviation)
{
    return {std::exp(mean - kOuterTenth * deviation), std::exp(mean),
            std::exp(mean + kOuterTenth * deviation)};
}

const Figure* share_row(const nature::TaxaTable& table, const std::string& taxon, NestKind kind)
{
    return table.figure(taxon.empty() ? "all" : taxon, "catch_share." + std::string{text(kind)});
}

}  // namespace

Learner::Learner(const nature::TaxaTable& table) : table_{&table}
{
    effect("level", row("learn.level_common", 0.25));
}

double Learner::row(std::string_view parameter, double otherwise) const
{
    const auto* figure = table_->figure("all", parameter);
    return figure == nullptr ? otherwise : figure->middle();
}

const std::string& Learner::taxon_of(const CatchCase& record) const
{
    return record.taxon.empty() ? record.nest.taxon : record.taxon;
}

std::size_t Learner::effect(const std::string& name, double deviation)
{
    const auto [at, is_new] = places_.try_emplace(name, mean_.size());
    if (is_new) {
        const std::size_t was = mean_.size();
        std::vector<double> grown((was + 1) * (was + 1), 0.0);
        for (std::size_t i = 0; i < was; ++i) {
            for (std::size_t j = 0; j < was; ++j) {
                grown[i * (was + 1) + j] = covariance_[i * was + j];
            }
        }
        grown.back() = deviation * deviation;
        covariance_ = std::move(grown);
        mean_.push_back(0);
    }
    return at->second;
}

std::string Learner::fault(const CatchCase& record) const
{
    if (record.nest.insecticide) {
        return "insecticide was used";
    }
    if (record.males) {
        return "males";
    }
    if (table_->find(taxon_of(record)) == nullptr) {
        return "species not known";
    }
    const bool counted = record.count.value_or(0) > 0;
    if (!counted && record.mass.value_or(Grams{0}).value() <= 0) {
        return "neither count nor mass";
    }
    return {};
}

std::optional<Learner::Expected> Learner::expected(const CatchCase& record) const
{
    const std::string& code = taxon_of(record);
    const auto* taxon = table_->find(code);
    if (taxon == nullptr) {
        return std::nullopt;
    }
    const double lat = record.place.lat.value();
    const long band = std::lround(lat * 4);
    const Latitude latitude{static_cast<double>(band) / 4};
    const int season =
        record.nest.season != 0 ? record.nest.season : nature::season_of(record.day, latitude);
    const auto day = static_cast<long>(nature::season_day(record.day, latitude, season));
    const std::string key = fmt::format("{} {} {} {}", code, band, day, text(record.nest.kind));
    auto found = calendar_.find(key);
    if (found == calendar_.end()) {
        const nature::Candidate only{taxon, 1};
        // Colonies take long to make: once for a taxon and a band, not for each day.
        auto& season_of_band = seasons_[{taxon, band}];
        if (season_of_band.courses().empty()) {
            season_of_band = nature::Season::make(*table_, std::span{&only, 1}, latitude);
        }
        const auto state = season_of_band.on(static_cast<double>(day));
        Expected value;
        value.log_wasps = -1;
        if (state.workers.middle >= 1) {
            const double low = std::max(1.0, state.workers.low);
            const double wide = std::log(std::max(low, state.workers.high) / low) / 2 / kOuterTenth;
            const auto* share = share_row(*table_, code, record.nest.kind);
            const double middle = std::clamp(share == nullptr ? 0.5 : share->middle(), 0.02, 0.98);
            const double least = row("learn.level_residual", 0.15);
            value.slope = 1 - middle;
            value.prior_logit = logit(middle);
            const double of_share = value.slope * row("learn.share_residual", 0.45);
            value.log_wasps = std::log(state.workers.middle * middle);
            value.variance = std::max(wide * wide, least * least) + of_share * of_share;
        }
        if (value.variance > 0 && state.sealed_small.middle >= 1) {
            const double low = std::max(1.0, state.sealed_small.low);
            const double wide =
                std::log(std::max(low, state.sealed_small.high) / low) / 2 / kOuterTenth;
            const auto* saved = table_->figure(code, "emergence.saved");
            const double share = saved == nullptr ? 0.7 : saved->middle();
            const double doubt =
                saved == nullptr ? 0.35
                                 : std::log(saved->highest() / saved->lowest()) / 2 / kOuterTenth;
            value.log_brood = std::log(state.sealed_small.middle * share);
            value.brood_variance = wide * wide + doubt * doubt;
        }
        found = calendar_.emplace(key, value).first;
    }
    return found->second.variance > 0 ? std::optional{found->second} : std::nullopt;
}

std::vector<Learner::Effect> Learner::share_effects(const std::string& taxon,
                                                    const std::string& method,
                                                    const std::string& crew, double by,
                                                    double& unknown_variance) const
{
    std::vector<Effect> out;
    const auto known = [&](const std::string& name, double deviation) {
        const auto at = places_.find(name);
        if (at == places_.end()) {
            unknown_variance += by * by * deviation * deviation;
        } else {
            out.push_back({at->second, by});
        }
    };
    // One that is not said is a mixture of those of the book.
    const auto any_of = [&](const std::string& group, double deviation) {
        double total = 0;
        for (const auto& [name, count] : uses_) {
            total += name.starts_with(group) ? static_cast<double>(count) : 0;
        }
        if (total == 0) {
            unknown_variance += by * by * deviation * deviation;
            return;
        }
        for (const auto& [name, count] : uses_) {
            if (name.starts_with(group)) {
                out.push_back({places_.at(name), by * static_cast<double>(count) / total});
            }
        }
    };
    known("share " + taxon, row("learn.share_species", 0.35));
    const double of_method = row("learn.share_method", 0.4);
    const double of_crew = row("learn.share_crew", 0.3);
    method.empty() ? any_of("method ", of_method) : known("method " + method, of_method);
    crew.empty() ? any_of("crew ", of_crew) : known("crew " + crew, of_crew);
    return out;
}

Learner::Gaussian Learner::of(const std::vector<Effect>& effects) const
{
    Gaussian sum;
    for (const auto& a : effects) {
        sum.mean += a.weight * mean_[a.at];
        for (const auto& b : effects) {
            sum.variance += a.weight * b.weight * covariance_[a.at * mean_.size() + b.at];
        }
    }
    return sum;
}

Learner::Gaussian Learner::mass_of(const std::string& taxon) const
{
    if (const auto found = masses_.find(taxon); found != masses_.end()) {
        return found->second;
    }
    const auto* figure = table_->figure(taxon.empty() ? "all" : taxon, "mass.worker");
    if (figure == nullptr) {
        return {};
    }
    const double wide = std::log(figure->highest() / figure->lowest()) / 2 / kOuterTenth;
    return {std::log(figure->middle()), std::max(wide * wide, 0.03 * 0.03)};
}

void Learner::add(const CatchCase& record)
{
    auto why = fault(record);
    const auto expect = why.empty() ? expected(record) : std::nullopt;
    if (why.empty() && !expect) {
        why = "no workers expected on that day";
    }
    if (why.empty() && record.brood && !(expect->brood_variance > 0)) {
        why = "no sealed brood expected on that day";
    }
    if (!why.empty()) {
        ++left_out_[why];
        return;
    }
    const std::string& taxon = taxon_of(record);
    const double kept = 1 - row("freezing_loss", 0.03);
    const auto mass = mass_of(taxon);
    const bool counted = record.count.value_or(0) > 0;
    const bool weighed = record.mass.value_or(Grams{0}).value() > 0;
    if (!counted && mass.mean == 0) {
        ++left_out_["no mass of a wasp is known"];
        return;
    }

    // The prior mass, not the learned one, turns grams into wasps: else order would matter.
    const auto* figure = table_->figure(taxon, "mass.worker");
    const double prior_mass = figure == nullptr ? std::exp(mass.mean) : figure->middle();
    double noise = record.brood ? expect->brood_variance : expect->variance;
    double wasps = 0;
    if (counted) {
        wasps = *record.count;
    } else {
        wasps = record.mass->value() * 1000 / kept / prior_mass;
        noise +=
            figure == nullptr
                ? 0.04
                : std::pow(std::log(figure->highest() / figure->lowest()) / 2 / kOuterTenth, 2);
    }
    const double seen =
        std::log(std::max(1.0, wasps)) - (record.brood ? expect->log_brood : expect->log_wasps);

    const double of_level = row("learn.level_species", 0.35);
    std::vector<Effect> effects{{effect("level", 0), 1}, {effect("level " + taxon, of_level), 1}};
    const auto share = [&](const std::string& name, double deviation) {
        effects.push_back({effect(name, deviation), expect->slope});
    };
    if (!record.brood) {
        share("share " + taxon, row("learn.share_species", 0.35));
    }
    double prior = noise + std::pow(row("learn.level_common", 0.25), 2) + of_level * of_level;
    const auto named = [&](const std::string& group, const std::string& word, double deviation) {
        if (word.empty()) {
            noise += std::pow(expect->slope * deviation, 2);
        } else {
            share(group + word, deviation);
            ++uses_[group + word];
        }
        prior += std::pow(expect->slope * deviation, 2);
    };
    if (!record.brood) {  // what emerges says nothing of the share that was caught
        named("method ", record.method, row("learn.share_method", 0.4));
        named("crew ", record.crew, row("learn.share_crew", 0.3));
    }
    ++uses_["taxon " + taxon];

    // Judged against the prior, so that the order of records still does not matter.
    const double far = std::abs(seen) / std::sqrt(prior);
    if (const double most = row("learn.outlier", 3.5); far > most) {
        noise *= std::pow(far / most, 2) * 4;
        ++outliers_;
    }

    const std::size_t n = mean_.size();
    std::vector<double> gain(n, 0.0);  // covariance times the effects
    for (std::size_t i = 0; i < n; ++i) {
        for (const auto& one : effects) {
            gain[i] += covariance_[i * n + one.at] * one.weight;
        }
    }
    double innovation = noise;
    double off = seen;
    for (const auto& one : effects) {
        innovation += one.weight * gain[one.at];
        off -= one.weight * mean_[one.at];
    }
    // Their sum is the same in any order of the records: it is that of the whole book at once.
    squares_ += off * off / innovation;
    for (std::size_t i = 0; i < n; ++i) {
        mean_[i] += gain[i] * off / innovation;
        for (std::size_t j = 0; j < n; ++j) {
            covariance_[i * n + j] -= gain[i] * gain[j] / innovation;
        }
    }
    if (counted && weighed) {
        const double one = std::log(record.mass->value() * 1000 / kept / *record.count);
        const double residual = row("learn.mass_residual", 0.08);
        auto& state = masses_.try_emplace(taxon, mass).first->second;
        const double k = state.variance / (state.variance + residual * residual);
        state.mean += k * (one - state.mean);
        state.variance *= 1 - k;
    }
    ++records_;
}

Spread<double> Learner::catch_share(const std::string& taxon, NestKind kind,
                                    const std::string& method, const std::string& crew) const
{
    const auto* figure = share_row(*table_, taxon, kind);
    const Spread<double> prior =
        figure == nullptr ? Spread<double>{0, 0.5, 1}
                          : Spread<double>{figure->lowest(), figure->middle(), figure->highest()};
    if (records_ == 0) {
        return prior;
    }
    double variance = std::pow(row("learn.share_residual", 0.45), 2);
    const auto learned = of(share_effects(taxon, method, crew, 1, variance));
    const double middle = logit(std::clamp(prior.middle, 0.02, 0.98)) + learned.mean;
    const double deviation = std::sqrt((variance + learned.variance) * scale());
    return {share_of(middle - kOuterTenth * deviation), share_of(middle),
            share_of(middle + kOuterTenth * deviation)};
}

Spread<double> Learner::level(const std::string& taxon) const
{
    if (records_ == 0) {
        return {1, 1, 1};
    }
    std::vector<Effect> effects{{places_.at("level"), 1}};
    double unknown = 0;
    if (const auto at = places_.find("level " + taxon); at != places_.end()) {
        effects.push_back({at->second, 1});
    } else {
        unknown = std::pow(row("learn.level_species", 0.35), 2);
    }
    const auto sum = of(effects);
    return by_exp(sum.mean, std::sqrt((sum.variance + unknown) * scale()));
}

std::optional<Spread<double>> Learner::mass_mg(const std::string& taxon) const
{
    if (!masses_.contains(taxon)) {
        const auto* figure = table_->figure(taxon.empty() ? "all" : taxon, "mass.worker");
        return figure == nullptr ? std::nullopt
                                 : std::optional{Spread<double>{figure->lowest(), figure->middle(),
                                                                figure->highest()}};
    }
    const auto mass = mass_of(taxon);
    const double residual = row("learn.mass_residual", 0.08);
    return by_exp(mass.mean, std::sqrt(mass.variance + residual * residual));
}

double Learner::scale() const
{
    // All variances share one unknown factor with a gamma prior on its inverse worth so many
    // records (normal-inverse-gamma, conjugate).
    const double prior = row("learn.scale_records", 12);
    return (prior + squares_) / (prior + static_cast<double>(records_));
}

std::size_t Learner::records_of(const std::string& taxon) const
{
    const auto found = uses_.find("taxon " + taxon);
    return found == uses_.end() ? 0 : found->second;
}

std::optional<CatchForecast> Learner::forecast(const CatchCase& record) const
{
    const auto expect = fault(record).empty() ? expected(record) : std::nullopt;
    const std::string& taxon = taxon_of(record);
    const auto mass = mass_of(taxon);
    if (!expect || mass.mean == 0) {
        return std::nullopt;
    }
    double variance = expect->variance;
    auto effects = share_effects(taxon, record.method, record.crew, expect->slope, variance);
    effects.push_back({places_.at("level"), 1});
    if (const auto at = places_.find("level " + taxon); at != places_.end()) {
        effects.push_back({at->second, 1});
    } else {
        variance += std::pow(row("learn.level_species", 0.35), 2);
    }
    const auto sum = of(effects);
    const double middle = expect->log_wasps + sum.mean;
    variance = (variance + sum.variance) * scale();
    const double kept = 1 - row("freezing_loss", 0.03);
    const double residual = row("learn.mass_residual", 0.08);
    const auto grams = by_exp(middle + mass.mean + std::log(kept / 1000),
                              std::sqrt(variance + mass.variance + residual * residual));
    return CatchForecast{by_exp(middle, std::sqrt(variance)),
                         {Grams{grams.low}, Grams{grams.middle}, Grams{grams.high}}};
}

std::vector<std::string> Learner::taxa() const
{
    std::vector<std::string> out;
    for (const auto& [name, count] : uses_) {
        if (name.starts_with("taxon ")) {
            out.push_back(name.substr(6));
        }
    }
    return out;
}

std::vector<std::string> Learner::methods() const
{
    std::vector<std::string> out;
    for (const auto& [name, count] : uses_) {
        if (name.starts_with("method ")) {
            out.push_back(name.substr(7));
        }
    }
    return out;
}

std::vector<std::string> Learner::crews() const
{
    std::vector<std::string> out;
    for (const auto& [name, count] : uses_) {
        if (name.starts_with("crew ")) {
            out.push_back(name.substr(5));
        }
    }
    return out;
}

Learner learn(std::span<const CatchCase> records, const nature::TaxaTable& table)
{
    Learner learner{table};
    for (const auto& record : records) {
        learner.add(record);
    }
    return learner;
}

}  // namespace nestround::yield
