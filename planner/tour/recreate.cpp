#include "planner/tour/recreate.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace nestround::tour {

namespace {

constexpr double kBlink = 0.01;  ///< chance that a slot is overlooked
constexpr double kManyBlinks = 0.2;
constexpr double kRestless = 0.1;  ///< chance of many blinks; of musts out of turn
constexpr double kBestFirst = 0.5;
constexpr double kPatient = 0.3;  ///< chance of allowing losses

}  // namespace

Recreate::Recreate(const Flat& flat) : flat_{&flat}
{
    double prizes = 0;
    for (int j = 0; j < flat.jobs; ++j) {
        double prize = 0;
        Time away = kNever;
        for (int v = 0; v < flat.cars_count; ++v) {
            const auto value = flat.value_of(j, v) - (flat.must[j] != 0 ? flat.bonus : 0);
            prize = std::max(prize, static_cast<double>(value));
            away = std::min(away, flat.drive(flat.cars[v].start, j));
        }
        double window = 0;
        for (const auto& span : flat.windows(j)) {
            window += span.closes - span.opens + 1;
        }
        prize_.push_back(prize);
        window_.push_back(window);
        away_.push_back(away);
        service_.push_back(flat.cars_count > 0 ? flat.service_of(j, 0) : 0);
        prizes += prize;
    }
    double shifts = 0;
    for (const auto& car : flat.cars) {
        shifts += car.closes - car.opens;
    }
    worth_of_time_ = shifts / std::max(prizes, 1.0);
    hopeless_.assign(static_cast<std::size_t>(flat.jobs) * flat.cars_count, {0, 0});
    powered_.resize(static_cast<std::size_t>(flat.jobs));
    mean_prize_ = std::max(prizes / std::max(flat.jobs, 1), 1e-9);
    for (auto& prize : prize_) {
        prize /= mean_prize_;
    }
}

bool Recreate::skips(Random& random)
{
    // The gaps between blinks are geometric: one draw a blink, not one a slot.
    if (--until_blink_ > 0) {
        return false;
    }
    until_blink_ =
        1 + static_cast<std::int64_t>(std::log(1 - random.uniform()) / std::log(1 - kBlink));
    return true;
}

bool Recreate::is_hopeless(const Route& route, int job) const
{
    const auto& stamps = hopeless_[static_cast<std::size_t>(job) * flat_->cars_count + route.car()];
    return stamps[0] == route.stamp() || stamps[1] == route.stamp();
}

void Recreate::note_hopeless(const Route& route, int job)
{
    auto& stamps = hopeless_[static_cast<std::size_t>(job) * flat_->cars_count + route.car()];
    stamps = {route.stamp(), stamps[0]};
}

Slot Recreate::best_slot(const Route& route, int job, Random& random, LiveScratch& scratch)
{
    Slot best;
    best.cost = std::numeric_limits<double>::max();
    if (is_hopeless(route, job)) {
        return best;
    }
    bool has_any = false;
    if (route.has_room(job) && flat_->value_of(job, route.car()) > 0) {
        route.for_each_slot(job, [&](Slot slot) {
            slot.cost = drive_weight_ * slot.drive + push_weight_ * slot.push;
            if (flat_->is_varied) {
                const auto gain = route.gain(job, slot);
                slot.cost -= gain_weight_ * static_cast<double>(gain);
                if (gain < least_gain_) {
                    has_any = true;
                    return;
                }
            }
            if (slot.cost >= best.cost || skips(random)) {
                has_any = true;
                return;
            }
            if (flat_->has_live && !route.is_kept_alive(job, slot.position, scratch)) {
                return;
            }
            has_any = true;
            best = slot;
        });
    }
    if (!has_any) {
        note_hopeless(route, job);
    }
    return best;
}

void Recreate::apply(SearchState& state, double patience, Random& random, LiveScratch& scratch)
{
    least_gain_ = 1;
    if (random.chance(kPatient)) {
        least_gain_ -= static_cast<std::int64_t>(random.uniform() * patience);
    }
    const auto weights = random.below(4);
    drive_weight_ = weights == 0 ? 1 : static_cast<double>(weights) - 1;
    push_weight_ = weights == 0 ? 0 : 1;
    if (flat_->is_varied) {
        gain_weight_ = random.chance(0.3) ? 0 : worth_of_time_ * random.uniform(0, 4);
    }
    blink_ = random.chance(kRestless) ? kManyBlinks : kBlink;
    until_blink_ = std::min<std::int64_t>(until_blink_, static_cast<std::int64_t>(2 / blink_));
    musts_first_ = !random.chance(kRestless);
    if (random.chance(kBestFirst)) {
        best_first(state, random, scratch);
    } else {
        one_by_one(state, random, scratch);
    }
    if (flat_->is_varied) {
        prune(state, scratch);
    }
}

void Recreate::prune(SearchState& state, LiveScratch& scratch)
{
    for (const auto& route : state.routes()) {
        for (;;) {
            std::int64_t worst = 0;
            int job = -1;
            for (int position = 1; position <= route.size(); ++position) {
                const std::int64_t worth = route.worth_of(position);
                if (worth < worst) {
                    worst = worth;
                    job = route.job(position);
                }
            }
            if (job < 0) {
                break;
            }
            state.remove({job}, scratch);
        }
    }
}

double Recreate::key(int job, int way, double power, Random& random) const
{
    double key = 0;
    switch (way) {
        case 0:
            key = random.uniform();
            break;
        case 1:
            key = std::pow(prize_[job], power) * random.uniform(0.7, 1.3);
            break;
        case 2:
            key = std::pow(prize_[job], power) / (service_[job] + window_[job] + 1) *
                  random.uniform(0.7, 1.3);
            break;
        default:
            key = std::pow(prize_[job], power) / (away_[job] + service_[job] + 1) *
                  random.uniform(0.7, 1.3);
            break;
    }
    return key;
}

void Recreate::one_by_one(SearchState& state, Random& random, LiveScratch& scratch)
{
    const int way = static_cast<int>(random.below(4));
    const double power = random.uniform(0.5, 2);
    order_.clear();
    for (const int job : state.idle()) {
        const double first = musts_first_ && flat_->must[job] != 0 ? 1e30 : 0;
        order_.emplace_back(-first - key(job, way, power, random), job);
    }
    std::sort(order_.begin(), order_.end());
    for (const auto& [unused, job] : order_) {
        Slot best;
        best.cost = std::numeric_limits<double>::max();
        int where = -1;
        int idle_kind = -1;
        for (const auto& route : state.routes()) {
            // Of idle vehicles between which nothing tells only the first is tried.
            if (route.size() == 0) {
                if (flat_->cars[route.car()].kind == idle_kind) {
                    continue;
                }
                idle_kind = flat_->cars[route.car()].kind;
            }
            const Slot slot = best_slot(route, job, random, scratch);
            if (slot.position >= 0 && slot.cost < best.cost) {
                best = slot;
                where = route.car();
            }
        }
        if (where >= 0) {
            state.insert(job, where, best);
        }
    }
}

void Recreate::best_first(SearchState& state, Random& random, LiveScratch& scratch)
{
    const double power = random.uniform(1, 2.5);
    const auto worth = [&](int job, const Slot& slot) {
        const double musts = musts_first_ && flat_->must[job] != 0 ? 1e12 : 1;
        const double cost = std::max(1.0, drive_weight_ * slot.drive + push_weight_ * slot.push);
        return musts * powered_[job] / cost * random.uniform(0.9, 1.1);
    };
    offers_.clear();
    for (const int job : state.idle()) {
        powered_[job] = std::pow(prize_[job], power);
    }
    for (const auto& route : state.routes()) {
        for (const int job : state.idle()) {
            const Slot slot = best_slot(route, job, random, scratch);
            if (slot.position >= 0) {
                offers_.push_back({job, route.car(), slot, worth(job, slot)});
            }
        }
    }
    while (!offers_.empty()) {
        const auto best =
            std::max_element(offers_.begin(), offers_.end(),
                             [](const Offer& a, const Offer& b) { return a.worth < b.worth; });
        const Offer taken = *best;
        state.insert(taken.job, taken.route, taken.slot);
        const Route& route = state.routes()[taken.route];
        std::size_t kept = 0;
        for (auto& offer : offers_) {
            if (offer.job == taken.job) {
                continue;
            }
            if (offer.route == taken.route) {
                offer.slot = best_slot(route, offer.job, random, scratch);
                if (offer.slot.position < 0) {
                    continue;
                }
                offer.worth = worth(offer.job, offer.slot);
            }
            offers_[kept++] = offer;
        }
        offers_.resize(kept);
    }
}

}  // namespace nestround::tour
