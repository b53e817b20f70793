#include "planner/tour/recreate.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace nestround::tour {

namespace {

constexpr double kBlink = 0.01;  ///< chance that a slot is overlooked
constexpr double kManyBlinks = 0.2;
constexpr double kRestless = 0.1;  ///< chance of many blinks; of musts out of turn

constexpr double kTrusting = 0.6;  ///< chance of spending on what a job makes possible
constexpr double kPatient = 0.3;   ///< chance of allowing losses

constexpr int kSweptFrom = 20;      ///< stops: shorter tours are looked through one by one
constexpr int kGranularFrom = 120;  ///< jobs
constexpr double kBestFirst = 0.5;
constexpr double kLocal = 0.8;        ///< chance of looking at jobs near the ruin only
constexpr double kLocalLarge = 0.95;  ///< the same from kLargeFrom jobs on
constexpr int kLargeFrom = 400;
constexpr std::size_t kNear = 20;  ///< jobs near to each

/// Seconds from the one to the other, and those that one must wait at the least between them.
[[nodiscard]] std::vector<std::vector<int>> near_in_time(const Flat& flat)
{
    std::vector<std::vector<int>> near;
    std::vector<std::pair<Time, int>> sorted;
    const auto count = std::min(static_cast<std::size_t>(flat.jobs - 1), kNear);
    for (int j = 0; j < flat.jobs; ++j) {
        sorted.clear();
        const Span mine{flat.windows(j).front().opens, flat.closes[j]};
        for (int other = 0; other < flat.jobs; ++other) {
            if (other != j) {
                const Span its{flat.windows(other).front().opens, flat.closes[other]};
                const Time apart = std::max({0, its.opens - mine.closes, mine.opens - its.closes});
                const Time drive = std::min(flat.drive(j, other), flat.drive(other, j));
                sorted.emplace_back(drive + apart / 2, other);
            }
        }
        std::partial_sort(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(count),
                          sorted.end());
        auto& row = near.emplace_back();
        for (std::size_t i = 0; i < count; ++i) {
            row.push_back(sorted[i].second);
        }
    }
    return near;
}

}  // namespace

Recreate::Recreate(const Flat& flat) : flat_{&flat}
{
    double prizes = 0;
    std::vector<std::int64_t> most(static_cast<std::size_t>(flat.jobs), 0);
    std::int64_t largest = 0;
    for (int j = 0; j < flat.jobs; ++j) {
        for (int v = 0; v < flat.cars_count; ++v) {
            most[j] = std::max(most[j], flat.value_of(j, v));
            largest = std::max(largest, most[j] - (flat.must[j] != 0 ? flat.bonus : 0));
        }
    }
    promise_.assign(static_cast<std::size_t>(flat.jobs), 0);
    for (int j = 0; j < flat.jobs; ++j) {
        for (int up = flat.leader[j]; up >= 0; up = flat.leader[up]) {
            promise_[up] += most[j];
        }
        for (int r = 0; r < flat.resources; ++r) {
            // What is loaded may be wanted further on, what is given off makes room.
            const bool moves = flat.carried[r] != 0 && flat.demand[j * flat.resources + r] != 0;
            promise_[j] += moves ? 2 * largest : 0;
        }
    }
    for (int j = 0; j < flat.jobs; ++j) {
        double prize = 0;
        Time away = kNever;
        for (int v = 0; v < flat.cars_count; ++v) {
            const auto value = flat.value_of(j, v) - (flat.must[j] != 0 ? flat.bonus : 0);
            prize = std::max(prize, static_cast<double>(value));
            away = std::min(away, flat.drive(flat.cars[v].start, j));
        }
        prize += 0.5 *
                 static_cast<double>(std::min(promise_[j], static_cast<std::int64_t>(4) * largest));
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
    local_ = flat.jobs >= kLargeFrom ? kLocalLarge : kLocal;
    powered_.resize(static_cast<std::size_t>(flat.jobs));
    is_simple_ = !flat.is_varied && !flat.has_links && !flat.has_live && !flat.has_shared &&
                 std::all_of(flat.cars.begin(), flat.cars.end(),
                             [](const Car& car) { return car.is_plain; });
    chosen_at_.assign(static_cast<std::size_t>(flat.jobs), 0);
    if (flat.jobs >= kGranularFrom) {
        near_ = near_in_time(flat);
    }
    mean_prize_ = std::max(prizes / std::max(flat.jobs, 1), 1e-9);
    for (int j = 0; j < flat.jobs; ++j) {
        prize_[j] /= mean_prize_;
        if (flat.must[j] != 0) {
            // It is taken whatever it brings: its prize says nothing about its turn.
            prize_[j] = 1;
        }
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

Slot Recreate::cheapest(const Route& route, int job, Random& random, SlotSweep& sweep)
{
    const auto end = sweep.cost.begin() + sweep.count;
    for (std::int32_t least = sweep.least; least != kNoSlot;) {
        const auto at = std::find(sweep.cost.begin(), end, least);
        if (!skips(random)) {
            return route.swept(job, sweep, static_cast<int>(at - sweep.cost.begin()));
        }
        *at = kNoSlot;
        least = *std::min_element(sweep.cost.begin(), end);
    }
    Slot none;
    none.cost = std::numeric_limits<double>::max();
    return none;
}

Slot Recreate::best_slot(const SearchState& state, const Route& route, int job, Random& random,
                         LiveScratch& scratch)
{
    Slot best;
    best.cost = std::numeric_limits<double>::max();
    const bool asks_others = flat_->has_links || flat_->has_shared;
    if (is_hopeless(route, job) || (asks_others && !state.admits(job, route.car()))) {
        return best;
    }
    bool has_any = false;
    if (route.has_room(job) && flat_->value_of(job, route.car()) + promise_[job] > 0) {
        SlotSweep& sweep = scratch.sweep;
        if (is_simple_ && route.size() >= kSweptFrom &&
            route.scan(job, static_cast<int>(drive_weight_), static_cast<int>(push_weight_),
                       sweep)) {
            if (sweep.least == kNoSlot) {
                note_hopeless(route, job);
                return best;
            }
            return cheapest(route, job, random, sweep);
        }
        route.for_each_slot(job, [&](Slot slot) {
            slot.cost = drive_weight_ * slot.drive + push_weight_ * slot.push;
            if (flat_->is_varied) {
                const auto gain = route.gain(job, slot);
                slot.cost -= gain_weight_ * static_cast<double>(gain);
                if (gain + trust(job) < least_gain_) {
                    has_any = true;
                    return;
                }
            }
            if (slot.cost >= best.cost || skips(random)) {
                has_any = true;
                return;
            }
            if (flat_->has_links || flat_->has_live) {
                has_any |= flat_->has_links;
                if (!state.is_kept(job, route.car(), slot, scratch) ||
                    (slot.over > 0 && route.gain(job, slot) + trust(job) < least_gain_)) {
                    return;
                }
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

void Recreate::choose(const SearchState& state, const std::vector<int>* around, Random& random)
{
    if (around == nullptr || near_.empty() || flat_->has_links || !random.chance(local_)) {
        chosen_ = state.idle();
        if (part_ != nullptr) {
            std::erase_if(chosen_, [&](int job) { return part_->has_job[job] == 0; });
        }
        return;
    }
    chosen_.clear();
    ++choice_;
    const auto add = [&](int job) {
        if (state.route_of(job) < 0 && chosen_at_[job] != choice_ &&
            (part_ == nullptr || part_->has_job[job] != 0)) {
            chosen_at_[job] = choice_;
            chosen_.push_back(job);
        }
    };
    for (const int job : *around) {
        add(job);
        for (const int other : near_[job]) {
            add(other);
        }
    }
}

void Recreate::apply(SearchState& state, double patience, Random& random, LiveScratch& scratch,
                     const std::vector<int>* around)
{
    choose(state, around, random);
    least_gain_ = 1;
    if (random.chance(kPatient)) {
        least_gain_ -= static_cast<std::int64_t>(random.uniform() * patience);
    }
    trusts_ = (!flat_->has_links && !flat_->has_carried) || random.chance(kTrusting);
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
        if (!is_open(route)) {
            continue;
        }
        if (route.profit() < 0) {
            // Stops that pay one by one need not pay for the way out; first visits may be wanted.
            std::vector<int> all;
            bool is_wanted = false;
            for (int position = 1; position <= route.size(); ++position) {
                all.push_back(route.job(position));
                is_wanted |= state.is_followed(all.back());
            }
            if (!is_wanted) {
                state.remove(all, scratch);
            }
        }
        for (;;) {
            std::int64_t worst = 0;
            int job = -1;
            for (int position = 1; position <= route.size(); ++position) {
                const int here = route.job(position);
                const std::int64_t worth = route.worth_of(position);
                if (worth < worst && !state.is_followed(here) && route.can_do_without(position)) {
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
            if (flat_->must[job] != 0) {
                // What is far out has few places to go to.
                key = (away_[job] + 1) * random.uniform(0.7, 1.3);
                break;
            }
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
    for (const int job : chosen_) {
        const double mine = key(job, way, power, random);
        // Before all others, and among themselves by key: 1e30 alone would swallow it.
        const bool first = musts_first_ && flat_->must[job] != 0;
        order_.emplace_back(first ? -1e30 * (1 + mine / (1 + mine)) : -mine, job);
    }
    std::sort(order_.begin(), order_.end());
    later_.clear();
    for (const auto& [unused, job] : order_) {
        const int leader = flat_->leader[job];
        const bool waits = leader >= 0 && state.route_of(leader) < 0;
        if (waits || (!place(state, job, random, scratch) && flat_->has_carried)) {
            later_.push_back(job);
        }
    }
    // Second visits whose first ones came only now, and jobs for which now something is loaded or
    // room is made; again as long as that helps others.
    for (bool is_new = !later_.empty(); is_new;) {
        is_new = false;
        for (auto& job : later_) {
            const int leader = job < 0 ? -1 : flat_->leader[job];
            if (job >= 0 && (leader < 0 || state.route_of(leader) >= 0) &&
                place(state, job, random, scratch)) {
                is_new = true;
                job = -1;
            }
        }
    }
}

bool Recreate::place(SearchState& state, int job, Random& random, LiveScratch& scratch)
{
    Slot best;
    best.cost = std::numeric_limits<double>::max();
    int where = -1;
    int idle_kind = -1;
    for (const auto& route : state.routes()) {
        if (!is_open(route)) {
            continue;
        }
        // Of idle vehicles between which nothing tells only the first is tried.
        if (route.size() == 0) {
            if (flat_->cars[route.car()].kind == idle_kind) {
                continue;
            }
            idle_kind = flat_->cars[route.car()].kind;
        }
        const Slot slot = best_slot(state, route, job, random, scratch);
        if (slot.position >= 0 && slot.cost < best.cost) {
            best = slot;
            where = route.car();
        }
    }
    if (where >= 0) {
        state.insert(job, where, best);
    }
    return where >= 0;
}

double Recreate::worth(int job, const Slot& slot, Random& random) const
{
    const double musts = musts_first_ && flat_->must[job] != 0 ? 1e12 : 1;
    const double cost = std::max(1.0, drive_weight_ * slot.drive + push_weight_ * slot.push);
    return musts * powered_[job] / cost * random.uniform(0.9, 1.1);
}

void Recreate::best_first(SearchState& state, Random& random, LiveScratch& scratch)
{
    const double power = random.uniform(1, 2.5);
    offers_.clear();
    for (const int job : chosen_) {
        powered_[job] = std::pow(prize_[job], power);
    }
    for (const auto& route : state.routes()) {
        if (!is_open(route)) {
            continue;
        }
        for (const int job : chosen_) {
            const Slot slot = best_slot(state, route, job, random, scratch);
            if (slot.position >= 0) {
                offers_.push_back({job, route.car(), slot, worth(job, slot, random)});
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
                offer.slot = is_simple_ && route.size() >= kSweptFrom
                                 ? slot_after(route, offer, taken.slot.position)
                                 : Slot{};
                if (offer.slot.position < 0) {
                    offer.slot = best_slot(state, route, offer.job, random, scratch);
                }
                if (offer.slot.position < 0) {
                    continue;
                }
                offer.worth = worth(offer.job, offer.slot, random);
            }
            offers_[kept++] = offer;
        }
        offers_.resize(kept);
        // Shared resources may have run out, and tours that wait for one another have moved.
        if (flat_->has_shared || flat_->has_links || flat_->has_carried) {
            renew_offers(state, taken, random, scratch);
        }
    }
}

Slot Recreate::slot_after(const Route& route, const Offer& offer, int position) const
{
    // Elsewhere slots only get dearer by an insertion, so three are looked at: the one that was
    // cheapest, and the two beside the new stop.
    Slot best;
    const int old = offer.slot.position + (offer.slot.position > position ? 1 : 0);
    for (const int at : {old, position, position + 1}) {
        Slot slot = route.slot(offer.job, at);
        slot.cost = drive_weight_ * slot.drive + push_weight_ * slot.push;
        if (slot.position >= 0 && (best.position < 0 || slot.cost < best.cost)) {
            best = slot;
        }
    }
    return best;
}

void Recreate::renew_offers(const SearchState& state, const Offer& taken, Random& random,
                            LiveScratch& scratch)
{
    std::size_t kept = 0;
    for (auto& offer : offers_) {
        // Jobs of the tour that grew are all asked again below where loads count.
        const bool is_asked = flat_->has_carried && offer.route == taken.route;
        const bool is_kept =
            !is_asked && state.admits(offer.job, offer.route) &&
            (!flat_->has_links || state.is_kept(offer.job, offer.route, offer.slot, scratch));
        if (is_kept) {
            offers_[kept++] = offer;
        }
    }
    offers_.resize(kept);
    for (const int job : state.idle()) {
        if (flat_->has_carried) {
            const Route& route = state.routes()[taken.route];
            const Slot slot = best_slot(state, route, job, random, scratch);
            if (slot.position >= 0) {
                offers_.push_back({job, taken.route, slot, worth(job, slot, random)});
            }
        }
    }
    for (const int job : flat_->followers[taken.job]) {
        for (const auto& route : state.routes()) {
            const Slot slot = best_slot(state, route, job, random, scratch);
            if (slot.position >= 0) {
                offers_.push_back({job, route.car(), slot, 1e6});
            }
        }
    }
}

}  // namespace nestround::tour
