#include "planner/tour/all_orders.hpp"

#include <algorithm>
#include <vector>

#include "planner/tour/schedule.hpp"

namespace nestround::tour {

namespace {

class AllOrders {
public:
    AllOrders(const Problem& problem, std::uint64_t& work)
        : problem_{problem},
          work_{work},
          bonus_{must_bonus(problem)},
          orders_(problem.vehicles().size()),
          is_taken_(problem.jobs().size(), false),
          used_(problem.resources(), 0)
    {
        for (std::size_t j = 0; j < problem.jobs().size(); ++j) {
            std::int64_t most = 0;
            for (std::size_t v = 0; v < problem.vehicles().size(); ++v) {
                if (problem.may_serve(j, v)) {
                    most = std::max(most, worth(j, v));
                }
            }
            most_.push_back(most);
        }
    }

    std::optional<Plan> run()
    {
        best_ = schedule_all(problem_, orders_).value();
        vehicle(0, 0);
        if (work_ == 0) {
            return std::nullopt;
        }
        return plan_of(problem_, std::move(best_));
    }

private:
    [[nodiscard]] std::int64_t worth(std::size_t j, std::size_t v) const
    {
        return problem_.prize(j, v).value() + (problem_.job(j).must_take ? bonus_ : 0);
    }

    /// Begins the tour of the next vehicle.
    void vehicle(std::size_t v, std::int64_t value)
    {
        if (v == orders_.size()) {
            finish();
            return;
        }
        std::vector<std::int64_t> load(problem_.resources(), 0);
        extend(v, problem_.vehicle(v).shift.opens, problem_.vehicle(v).start_place, value, load);
    }

    /// With the tour as it is, and with each further job at its end. `free_at` is never too late.
    void extend(std::size_t v, seconds free_at, std::size_t here, std::int64_t value,
                const std::vector<std::int64_t>& load)
    {
        std::int64_t most = value;
        for (std::size_t j = 0; j < is_taken_.size(); ++j) {
            most += is_taken_[j] ? 0 : most_[j];
        }
        if (most <= best_value_ || work_ == 0) {
            return;
        }
        --work_;
        vehicle(v + 1, value);
        const Vehicle& car = problem_.vehicle(v);
        for (std::size_t j = 0; j < is_taken_.size(); ++j) {
            const std::size_t there = problem_.job(j).place;
            if (is_taken_[j] || !problem_.may_serve(j, v) || !problem_.is_linked(here, there)) {
                continue;
            }
            const auto drive = static_cast<Time>(problem_.drive(here, there).count());
            seconds begin{problem_.traffic().arrive(static_cast<Time>(free_at.count()), drive)};
            const auto windows = problem_.windows(j);
            const auto window = std::find_if(windows.begin(), windows.end(),
                                             [&](const Window& w) { return begin <= w.closes; });
            auto more = load;
            if (window == windows.end() || !loads(j, car, more)) {
                continue;
            }
            begin = std::max(begin, window->opens);
            orders_[v].push_back(j);
            is_taken_[j] = true;
            extend(v, begin + problem_.service(j, v), there,
                   value + worth(j, v) - drive * car.cost_per_second.value(), more);
            is_taken_[j] = false;
            orders_[v].pop_back();
            for (std::size_t r = 0; r < used_.size(); ++r) {
                used_[r] -= problem_.demand(j, r);
            }
        }
    }

    /// Loads the job; when that is too much, nothing is changed but `load`.
    bool loads(std::size_t j, const Vehicle& car, std::vector<std::int64_t>& load)
    {
        bool fits = true;
        for (std::size_t r = 0; r < load.size(); ++r) {
            load[r] += problem_.demand(j, r);
            const auto limit = problem_.shared_limit(r);
            fits = fits && (car.capacity.empty() || load[r] <= car.capacity[r]) &&
                   (!problem_.is_carried(r) || load[r] >= 0) &&
                   (!limit || used_[r] + problem_.demand(j, r) <= *limit);
        }
        for (std::size_t r = 0; r < load.size() && fits; ++r) {
            used_[r] += problem_.demand(j, r);
        }
        return fits;
    }

    void finish()
    {
        for (std::size_t j = 0; j < is_taken_.size(); ++j) {
            const auto& follows = problem_.job(j).follows;
            if (is_taken_[j] && follows && !is_taken_[follows->job]) {
                return;
            }
        }
        auto tours = schedule_all(problem_, orders_);
        if (!tours) {
            return;
        }
        std::int64_t value = 0;
        for (const auto& tour : *tours) {
            value += value_of(problem_, tour).value();
            for (const auto& visit : tour.visits) {
                value += problem_.job(visit.job).must_take ? bonus_ : 0;
            }
        }
        if (value > best_value_) {
            best_value_ = value;
            best_ = std::move(*tours);
        }
    }

    const Problem& problem_;
    std::uint64_t& work_;
    std::int64_t bonus_;
    std::vector<std::vector<std::size_t>> orders_;
    std::vector<bool> is_taken_;
    std::vector<std::int64_t> used_;  ///< of each resource, by all
    std::vector<std::int64_t> most_;  ///< that a job can bring
    std::int64_t best_value_ = 0;
    std::vector<Tour> best_;
};

}  // namespace

std::optional<Plan> best_of_all_orders(const Problem& problem, std::uint64_t& work)
{
    return AllOrders{problem, work}.run();
}

}  // namespace nestround::tour
