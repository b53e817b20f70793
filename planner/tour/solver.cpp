#include "planner/tour/solver.hpp"

#include <algorithm>
#include <atomic>
#include <cassert>
#include <cmath>
#include <exception>
#include <memory>

#include "planner/tour/polish.hpp"
#include "planner/tour/recreate.hpp"
#include "planner/tour/route_pool.hpp"
#include "planner/tour/ruin.hpp"
#include "planner/tour/schedule.hpp"
#include "planner/tour/search_state.hpp"

namespace nestround::tour {

namespace {

constexpr double kHottest = 0.5;    ///< of the mean prize, at 100 jobs
constexpr double kHotter = 0.0036;  ///< more for each job away from that: measured, not derived
constexpr double kHottestEver = 1.2;
constexpr double kWaysAtStake = 4;    ///< of must-takes, in ways to the next stop: tried 0.4 to 5
constexpr double kHaste = 0.8;        ///< mean prizes that a whole shift is worth as a tie-break
constexpr double kHasteVaried = 0.2;  ///< the same where driving costs points already
constexpr double kColdest = 0.01;     ///< of the mean prize
constexpr double kPoolFrom = 0.3;     ///< share of the budget from which tours are remembered
constexpr double kFirstMix = 0.5;     ///< when they are first mixed
constexpr double kMixEvery = 0.0833;
constexpr std::uint64_t kMixWork = 20;  ///< looks for each iteration since the last mix
constexpr int kMeetings = 8;            ///< of searches side by side
constexpr int kPartMeetings = 24;       ///< where each search has tours of its own
constexpr int kPartJobs = 400;          ///< from so many jobs on they have
constexpr std::uint64_t kSeedStep = 0x9e3779b97f4a7c15U;
constexpr double kLooksAStep = 200;  ///< of the polish, in the time of an iteration of 100 jobs
constexpr std::uint64_t kFirstPolish = 400'000;    ///< looks: some twentieth of a second
constexpr std::uint64_t kMostPolish = 40'000'000;  ///< of one round, for the memory it takes
constexpr std::uint64_t kAskEvery = 64;  ///< iterations between looks at clock and callback

/// What the searches of one call share while they run.
struct Board {
    std::atomic<double> share{0};  ///< of the budget, by the caller's clock
    std::atomic<bool> stops{false};
};

/// When the caller's function throws, the other searches need not go on.
struct StopOnExit {
    Board& board;
    int before = std::uncaught_exceptions();

    ~StopOnExit()
    {
        if (std::uncaught_exceptions() > before) {
            board.stops.store(true);
        }
    }
};

class Search {
public:
    Search(const Problem& problem, const Flat& flat, const SolveOptions& options, int number,
           Board& board)
        : problem_{problem},
          options_{options},
          number_{number},
          board_{board},
          budget_{options.stop.iterations / static_cast<std::uint64_t>(options.searches)},
          search_share_{1 - std::clamp(options.polish_share, 0.0, 0.5)},
          flat_{flat},
          random_{options.seed + static_cast<std::uint64_t>(number) * kSeedStep},
          ruin_{flat_},
          recreate_{flat_},
          pool_{flat_},
          current_{flat_},
          trial_{flat_},
          best_{flat_}
    {
        // Side by side they mix at different times, each what all have found.
        next_mix_ += number * kMixEvery / options.searches;
        double sum = 0;
        std::int64_t span = 1;
        for (int j = 0; j < flat_.jobs; ++j) {
            double most = 0;
            for (const auto& prize : problem.job(static_cast<std::size_t>(j)).prize) {
                most = std::max(most, static_cast<double>(prize.value()));
            }
            // A must-take is in every plan: what its place costs is at stake, not its prize.
            sum += flat_.must[j] != 0 ? way_to(j) : most;
        }
        for (const auto& car : flat_.cars) {
            span = std::max<std::int64_t>(span, car.closes - car.opens);
        }
        hottest_ = std::min(kHottest + kHotter * std::abs(flat_.jobs - 100), kHottestEver);
        mean_prize_ = std::max(1.0, sum / std::max(1, flat_.jobs));
        // A tie-break: of equal plans the one that is done sooner has more room left.
        second_ =
            mean_prize_ * (flat_.is_varied ? kHasteVaried : kHaste) / static_cast<double>(span);
    }

    void begin()
    {
        for (std::size_t v = 0; v < options_.start.size() && v < flat_.cars.size(); ++v) {
            follow(static_cast<int>(v), options_.start[v]);
        }
        if (flat_.cars_count > 0) {
            recreate_.apply(current_, 0, random_, scratch_);
        }
        trial_ = current_;
        best_ = current_;
    }

    /// Goes on until this share of the budget is used up.
    void run_until(double end)
    {
        if (flat_.jobs == 0 || flat_.cars_count == 0) {
            return;
        }
        for (; iteration_ < budget_ && !is_stopped_; ++iteration_) {
            if (iteration_ % kAskEvery == 0) {
                share_ = share_used();
                if (share_ >= end && share_ < 1) {
                    return;
                }
                if (share_ >= 1 || !goes_on()) {
                    is_stopped_ = true;
                    return;
                }
                temperature_ = mean_prize_ * hottest_ * std::pow(kColdest / hottest_, share_);
            }
            if (share_ >= next_mix_) {
                mix();
            }
            step(share_);
        }
    }

    /// Takes over what the other has found: its best plan where it is better, and its tours.
    void learn(const Search& other)
    {
        pool_.note(other.best_);
        pool_.learn(other.pool_);
        if (is_better(other.best_, best_)) {
            best_.take_back(other.best_);
            current_.take_back(other.best_);
            trial_.take_back(other.best_);
        }
    }

    void begin_as(const Search& other)
    {
        current_.take_back(other.current_);
        trial_.take_back(other.current_);
        best_.take_back(other.best_);
    }

    /// From now on works on these tours only, until join().
    void keep_to(Part part)
    {
        part_ = std::move(part);
        ruin_.keep_to(&part_);
        recreate_.keep_to(&part_);
        next_mix_ = 2;
        best_.take_back(current_);  // of this part, for the time being
    }

    [[nodiscard]] std::vector<Part> parts(int count)
    {
        return share_out(current_, flat_, ruin_.near(), count, random_);
    }

    /// What all have made of their tours, put together, becomes everyone's plan; `best` the best
    /// one seen. All began with the same plan.
    static void join(std::vector<std::unique_ptr<Search>>& searches, SearchState& best)
    {
        SearchState current = searches.front()->current_;
        SearchState good = searches.front()->best_;
        for (std::size_t i = 1; i < searches.size(); ++i) {
            const Search& other = *searches[i];
            adopt(current, other.current_, other.part_);
            adopt(good, other.best_, other.part_);
        }
        if (is_better(current, good)) {
            good.take_back(current);
        }
        if (is_better(good, best)) {
            best.take_back(good);
        }
        for (auto& one : searches) {
            one->current_.take_back(current);
            one->trial_.take_back(current);
        }
    }

    /// Ends work on a part: the search knows `best` as its own.
    void end_parts(const SearchState& best)
    {
        ruin_.keep_to(nullptr);
        recreate_.keep_to(nullptr);
        best_.take_back(best);
        current_.take_back(best);
        trial_.take_back(best);
        pool_.note(best_);
    }

    [[nodiscard]] const SearchState& best() const { return best_; }
    void learn_tours(const Search& other) { pool_.learn(other.pool_); }

    Solution finish()
    {
        if (flat_.jobs > 0 && flat_.cars_count > 0) {
            mix();
        }
        Solution solution;
        solution.iterations = iteration_;
        solution.stopped = is_stopped_;
        fill(solution);
        return solution;
    }

    [[nodiscard]] std::uint64_t iterations() const { return iteration_; }

private:
    /// What is at stake with a must-take: some ways from the nearest others to it, at what they
    /// cost.
    [[nodiscard]] double way_to(int j) const
    {
        constexpr std::size_t kNear = 5;
        std::vector<Time> ways;
        for (int other = 0; other < flat_.jobs; ++other) {
            const Time way = flat_.drive(other, j);
            if (other != j && way < kNever) {
                ways.push_back(way);
            }
        }
        std::int64_t cost = 0;
        for (const auto& car : flat_.cars) {
            cost = std::max<std::int64_t>(cost, car.cost);
        }
        const std::size_t near = std::min(kNear, ways.size());
        std::partial_sort(ways.begin(), ways.begin() + static_cast<std::ptrdiff_t>(near),
                          ways.end());
        double sum = 0;
        for (std::size_t i = 0; i < near; ++i) {
            sum += static_cast<double>(ways[i]);
        }
        return near == 0
                   ? 0
                   : kWaysAtStake * sum / static_cast<double>(near) * static_cast<double>(cost);
    }

    [[nodiscard]] static bool is_better(const SearchState& a, const SearchState& b)
    {
        return a.profit() > b.profit() || (a.profit() == b.profit() && a.busy() < b.busy());
    }

    /// Takes the tours of the part over from `from`.
    static void adopt(SearchState& to, const SearchState& from, const Part& part)
    {
        for (std::size_t car = 0; car < part.has_car.size(); ++car) {
            if (part.has_car[car] != 0) {
                [[maybe_unused]] const bool cleared = to.assign(static_cast<int>(car), {});
            }
        }
        for (std::size_t car = 0; car < part.has_car.size(); ++car) {
            if (part.has_car[car] != 0) {
                const Route& route = from.routes()[car];
                std::vector<int> jobs;
                for (int i = 1; i <= route.size(); ++i) {
                    jobs.push_back(route.job(i));
                }
                [[maybe_unused]] const bool kept = to.assign(static_cast<int>(car), jobs);
                assert(kept);
            }
        }
    }

    /// Puts the jobs in as far as they can be kept in this order.
    void follow(int v, const std::vector<std::size_t>& jobs)
    {
        for (const auto j : jobs) {
            const int job = static_cast<int>(j);
            const Route& route = current_.routes()[v];
            if (job >= flat_.jobs || current_.route_of(job) >= 0 || !route.has_room(job)) {
                continue;
            }
            const int position = route.size();
            Slot slot = route.slot(job, position);
            if (slot.position >= 0 && current_.admits(job, v) &&
                current_.is_kept(job, v, slot, scratch_)) {
                current_.insert(job, v, slot);
            }
        }
    }

    [[nodiscard]] double share_used() const
    {
        const double share = static_cast<double>(iteration_) / static_cast<double>(budget_);
        if (!options_.stop.share_used) {
            return share;
        }
        if (number_ == 0) {
            board_.share.store(options_.stop.share_used() / search_share_);
        }
        return std::max(share, board_.share.load());
    }

    [[nodiscard]] bool goes_on() const
    {
        if (number_ > 0 || !options_.progress) {
            return !board_.stops.load();
        }
        Progress progress;
        progress.iteration = iteration_ * static_cast<std::uint64_t>(options_.searches);
        progress.served = static_cast<std::size_t>(flat_.jobs) - best_.idle().size();
        std::int64_t objective = best_.profit();
        for (int j = 0; j < flat_.jobs; ++j) {
            if (flat_.must[j] != 0) {
                best_.route_of(j) >= 0 ? objective -= flat_.bonus
                                       : static_cast<std::int64_t>(++progress.missing_musts);
            }
        }
        progress.objective = Points{objective};
        // While tours are shared out, the best plan of a part may be behind the best of all.
        if (shown_.served == 0 ||
            std::pair{-static_cast<std::ptrdiff_t>(progress.missing_musts), progress.objective} >
                std::pair{-static_cast<std::ptrdiff_t>(shown_.missing_musts), shown_.objective}) {
            shown_ = progress;
        }
        shown_.iteration = progress.iteration;
        if (!options_.progress(shown_)) {
            board_.stops.store(true);
        }
        return !board_.stops.load();
    }

    [[nodiscard]] double fitness(const SearchState& state) const
    {
        return static_cast<double>(state.profit() - best_.profit()) -
               second_ * static_cast<double>(state.busy());
    }

    /// The best of all tours remembered, put together; the search goes on from there.
    void mix()
    {
        next_mix_ += kMixEvery;
        const std::uint64_t work = kMixWork * (iteration_ - last_mix_);
        last_mix_ = iteration_;
        const auto orders = pool_.better_mix(best_.profit(), work);
        if (!orders) {
            return;
        }
        SearchState mixed{flat_};
        for (std::size_t v = 0; v < orders->size(); ++v) {
            [[maybe_unused]] const bool kept = mixed.assign(static_cast<int>(v), (*orders)[v]);
            assert(kept);
        }
        recreate_.apply(mixed, 0, random_, scratch_);
        current_ = mixed;
        trial_ = mixed;
        best_ = std::move(mixed);
    }

    void step(double share)
    {
        ruin_.apply(trial_, random_, scratch_);
        recreate_.apply(trial_, 2 * mean_prize_, random_, scratch_, &ruin_.around());
        const double drop = fitness(current_) - fitness(trial_);
        if (drop < -temperature_ * std::log(1 - random_.uniform())) {
            current_.take_back(trial_);
            if (share >= kPoolFrom) {
                pool_.note(current_);
            }
            if (is_better(current_, best_)) {
                best_.take_back(current_);
            }
        } else {
            trial_.take_back(current_);
        }
    }

    void fill(Solution& solution) const
    {
        std::vector<std::vector<std::size_t>> orders;
        for (const auto& route : best_.routes()) {
            auto& jobs = orders.emplace_back();
            for (int i = 1; i <= route.size(); ++i) {
                jobs.push_back(static_cast<std::size_t>(route.job(i)));
            }
        }
        auto tours = schedule_all(problem_, orders);
        if (!tours) {
            throw Failure{ErrorCode::Internal, "the search kept tours that cannot be scheduled"};
        }
        solution.plan = plan_of(problem_, std::move(*tours));
    }

    const Problem& problem_;
    const SolveOptions& options_;
    int number_;
    Board& board_;
    std::uint64_t budget_;
    double search_share_;  ///< of the caller's clock
    std::uint64_t iteration_ = 0;
    double share_ = 0;
    bool is_stopped_ = false;
    const Flat& flat_;
    Random random_;
    LiveScratch scratch_;
    Ruin ruin_;
    Recreate recreate_;
    RoutePool pool_;
    Part part_;
    mutable Progress shown_;
    double next_mix_ = kFirstMix;
    std::uint64_t last_mix_ = 0;
    SearchState current_;
    SearchState trial_;
    SearchState best_;
    double mean_prize_ = 1;
    double second_ = 0;  ///< points a second
    double hottest_ = kHottest;
    double temperature_ = 0;
};

/// The rest of the budget goes to the best tour of each vehicle by itself: in one go where
/// iterations are the budget, else in growing rounds as long as the clock allows.
void polish(const Problem& problem, const SolveOptions& options, Solution& solution)
{
    if (!options.stop.share_used) {
        const double share = options.polish_share / (1 - options.polish_share);
        const double work = kLooksAStep * share * static_cast<double>(options.stop.iterations);
        solution.plan = polished(problem, std::move(solution.plan),
                                 static_cast<std::uint64_t>(std::min(work, 1.0 * kMostPolish)),
                                 static_cast<std::size_t>(options.searches), options.side_by_side)
                            .plan;
        return;
    }
    std::uint64_t work = kFirstPolish;
    for (double before = options.stop.share_used(); before < 1;) {
        auto round = polished(problem, std::move(solution.plan), work,
                              static_cast<std::size_t>(options.searches), options.side_by_side);
        solution.plan = std::move(round.plan);
        const double now = options.stop.share_used();
        if (round.is_complete || work == kMostPolish) {
            return;
        }
        // No round begins that the rest of the time would not hold.
        const double room = (1 - now) / std::max(1e-9, now - before);
        const double next = static_cast<double>(work) * std::min(2.0, room);
        work = static_cast<std::uint64_t>(std::min(next, 1.0 * kMostPolish));
        if (work < kFirstPolish) {
            return;
        }
        before = now;
    }
}

}  // namespace

Solution solve(const Problem& problem, const SolveOptions& options)
{
    SolveOptions own = options;
    own.searches = std::max(1, options.searches);
    own.polish_share = can_polish(problem) ? std::clamp(options.polish_share, 0.0, 0.5) : 0;
    const Flat flat{problem};
    Board board;
    std::vector<std::unique_ptr<Search>> searches;
    for (int number = 0; number < own.searches; ++number) {
        searches.push_back(std::make_unique<Search>(problem, flat, own, number, board));
        searches.back()->begin();
    }
    const bool in_parts = own.searches > 1 && flat.jobs >= kPartJobs &&
                          flat.cars_count >= 2 * own.searches && !flat.has_links &&
                          !flat.has_shared;
    const double meetings = in_parts ? kPartMeetings : own.searches > 1 ? kMeetings : 1;
    SearchState best = searches.front()->best();
    for (std::size_t i = 1; i < searches.size() && in_parts; ++i) {
        searches[i]->begin_as(*searches.front());
    }
    for (int meeting = 1; meeting <= meetings; ++meeting) {
        const double end = meeting < meetings ? meeting / meetings : 2;
        if (in_parts) {
            auto parts = searches.front()->parts(own.searches);
            for (auto& one : searches) {
                one->keep_to(std::move(parts[static_cast<std::size_t>(&one - searches.data())]));
            }
        }
        std::vector<std::function<void()>> tasks;
        for (auto& one : searches) {
            tasks.emplace_back([&board, &one, end] {
                const StopOnExit guard{board};
                one->run_until(end);
            });
        }
        if (own.side_by_side) {
            own.side_by_side(tasks);
        } else {
            std::for_each(tasks.begin(), tasks.end(), [](const auto& task) { task(); });
        }
        if (in_parts) {
            Search::join(searches, best);
            continue;
        }
        for (auto& one : searches) {
            for (auto& other : searches) {
                if (one != other) {
                    one->learn(*other);
                }
            }
        }
    }
    if (in_parts) {
        for (std::size_t i = 1; i < searches.size(); ++i) {
            searches.front()->learn_tours(*searches[i]);
        }
        searches.front()->end_parts(best);
    }
    std::uint64_t iterations = 0;
    for (const auto& one : searches) {
        iterations += one->iterations();
    }
    Solution solution = searches.front()->finish();
    solution.iterations = iterations;
    if (own.polish_share > 0 && !board.stops.load()) {
        polish(problem, own, solution);
    }
    for (const auto j : solution.plan.unserved) {
        if (problem.job(j).must_take) {
            solution.missing_musts.push_back(j);
        }
    }
    return solution;
}

}  // namespace nestround::tour
