#include "planner/tour/traffic.hpp"

#include <algorithm>

namespace nestround::tour {

namespace {

constexpr std::int64_t kThousand = 1000;

}  // namespace

Traffic::Traffic(std::vector<Slot> slots, Time period) : slots_{std::move(slots)}, period_{period}
{
    std::int64_t sum = 0;
    for (std::size_t k = 0; k < slots_.size(); ++k) {
        at_.push_back(sum);
        if (k + 1 < slots_.size()) {
            sum += std::int64_t{slots_[k].speed} * (slots_[k + 1].from - slots_[k].from);
        }
    }
    if (!slots_.empty() && period_ > 0) {
        a_period_ = sum + slots_.back().speed * (period_ - slots_.back().from);
    }
}

std::int64_t Traffic::covered(Time t) const
{
    std::int64_t whole = 0;
    std::int64_t within = t;
    if (period_ > 0) {
        whole = t / period_ * a_period_;
        within = t % period_;
    }
    std::size_t k = slots_.size() - 1;
    while (slots_[k].from > within) {
        --k;
    }
    return whole + at_[k] + slots_[k].speed * (within - slots_[k].from);
}

Time Traffic::arrive_uneven(Time leave, Time drive) const
{
    if (leave >= kNever || drive >= kNever) {
        return kNever;
    }
    if (drive == 0) {
        return leave;
    }
    std::int64_t wanted = covered(leave) + kThousand * drive;
    std::int64_t base = 0;
    if (period_ > 0) {
        base = wanted / a_period_ * period_;
        wanted %= a_period_;
    }
    std::size_t k = slots_.size() - 1;
    while (at_[k] > wanted) {
        --k;
    }
    const std::int64_t more = wanted - at_[k];
    const std::int64_t moment =
        base + slots_[k].from + (more + slots_[k].speed - 1) / slots_[k].speed;
    return static_cast<Time>(std::min<std::int64_t>(moment, kNever));
}

Time Traffic::leave_by_uneven(Time arrival, Time drive) const
{
    if (arrival < 0 || drive >= kNever) {
        return -1;
    }
    if (drive == 0) {
        return arrival;
    }
    std::int64_t wanted = covered(arrival) - kThousand * drive;
    if (wanted < 0) {
        return -1;
    }
    std::int64_t base = 0;
    if (period_ > 0) {
        base = wanted / a_period_ * period_;
        wanted %= a_period_;
    }
    std::size_t k = slots_.size() - 1;
    while (at_[k] > wanted) {
        --k;
    }
    return static_cast<Time>(base + slots_[k].from + (wanted - at_[k]) / slots_[k].speed);
}

}  // namespace nestround::tour
