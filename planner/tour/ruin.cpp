#include "planner/tour/ruin.hpp"

#include <algorithm>
#include <numeric>

namespace nestround::tour {

namespace {

constexpr int kNearest = 100;  ///< jobs looked at around the seed
constexpr int kLongestString = 10;
constexpr double kMeanRemoved = 8;
constexpr double kScattered = 0.1;     ///< chance of taking stops from all over instead
constexpr double kSplitChance = 0.5;   ///< of keeping some stops amid a string
constexpr double kSplitDeeper = 0.99;  ///< of stopping at each further one kept

}  // namespace

Ruin::Ruin(const Flat& flat) : flat_{&flat}, ruined_(static_cast<std::size_t>(flat.cars_count))
{
    std::vector<int> all(static_cast<std::size_t>(flat.jobs));
    std::iota(all.begin(), all.end(), 0);
    const std::size_t count = std::min<std::size_t>(all.size(), kNearest);
    for (int j = 0; j < flat.jobs; ++j) {
        const auto distance = [&](int other) {
            return other == j ? -1 : flat.drive(j, other) + flat.drive(other, j);
        };
        auto sorted = all;
        std::partial_sort(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(count),
                          sorted.end(), [&](int a, int b) {
                              return std::pair{distance(a), a} < std::pair{distance(b), b};
                          });
        sorted.resize(count);
        near_.push_back(std::move(sorted));
    }
}

void Ruin::apply(SearchState& state, Random& random, LiveScratch& scratch)
{
    gone_.clear();
    seed_ = -1;
    if (static_cast<int>(state.idle().size()) == flat_->jobs ||
        (part_ != nullptr && part_->jobs.empty())) {
        return;
    }
    if (random.chance(kScattered)) {
        take_scattered(state, random);
    } else {
        take_strings(state, random);
    }
    state.remove(gone_, scratch);
    if (seed_ >= 0) {
        gone_.push_back(seed_);
    }
}

void Ruin::take_scattered(const SearchState& state, Random& random)
{
    int served = 0;
    for (const auto& route : state.routes()) {
        served += part_ == nullptr || part_->has_car[route.car()] != 0 ? route.size() : 0;
    }
    if (served == 0) {
        return;
    }
    const int most = std::min(served, static_cast<int>(2 * kMeanRemoved));
    auto left = 1 + static_cast<int>(random.below(static_cast<std::uint64_t>(most)));
    const auto first = random.below(static_cast<std::uint64_t>(flat_->jobs));
    // Selection sampling: each served job is as likely as the next.
    int to_see = served;
    for (int i = 0; i < flat_->jobs && left > 0; ++i) {
        const int job = static_cast<int>((first + static_cast<std::uint64_t>(i)) %
                                         static_cast<std::uint64_t>(flat_->jobs));
        const int route = state.route_of(job);
        if (route < 0 || (part_ != nullptr && part_->has_car[route] == 0)) {
            continue;
        }
        if (random.below(static_cast<std::uint64_t>(to_see--)) < static_cast<std::uint64_t>(left)) {
            gone_.push_back(job);
            --left;
        }
    }
}

void Ruin::take_strings(const SearchState& state, Random& random)
{
    const int served = flat_->jobs - static_cast<int>(state.idle().size());
    int used = 0;
    for (const auto& route : state.routes()) {
        used += route.size() > 0 ? 1 : 0;
    }
    const double mean_length = static_cast<double>(served) / used;
    const double longest = std::min<double>(kLongestString, mean_length);
    const double most_strings = 4 * kMeanRemoved / (1 + longest) - 1;
    int strings = static_cast<int>(random.uniform(1, std::max(1.0, most_strings) + 1));
    std::fill(ruined_.begin(), ruined_.end(), 0);
    const int seed = seed_ =
        part_ == nullptr ? static_cast<int>(random.below(static_cast<std::uint64_t>(flat_->jobs)))
                         : part_->jobs[random.below(part_->jobs.size())];
    for (const int job : near_[seed]) {
        const int r = state.route_of(job);
        if (r < 0 || ruined_[r] != 0 || (part_ != nullptr && part_->has_car[r] == 0)) {
            continue;
        }
        const Route& route = state.routes()[r];
        const double most = std::min<double>(longest, route.size());
        take_string(route, job, static_cast<int>(random.uniform(1, most + 1)), random);
        ruined_[r] = 1;
        if (--strings == 0) {
            break;
        }
    }
}

void Ruin::take_string(const Route& route, int job, int length, Random& random)
{
    int at = 1;
    while (route.job(at) != job) {
        ++at;
    }
    int kept = 0;
    if (length > 1 && length < route.size() && random.chance(kSplitChance)) {
        kept = 1;
        while (length + kept < route.size() && !random.chance(kSplitDeeper)) {
            ++kept;
        }
    }
    const int span = length + kept;
    // The string holds `at` and lies within the tour.
    const int first_low = std::max(1, at - span + 1);
    const int first_high = std::min(at, route.size() - span + 1);
    const int first =
        first_low +
        static_cast<int>(random.below(static_cast<std::uint64_t>(first_high - first_low + 1)));
    const int keep_from =
        first + (kept == 0
                     ? span
                     : 1 + static_cast<int>(random.below(static_cast<std::uint64_t>(length - 1))));
    for (int i = first; i < first + span; ++i) {
        if (i < keep_from || i >= keep_from + kept) {
            gone_.push_back(route.job(i));
        }
    }
}

}  // namespace nestround::tour
