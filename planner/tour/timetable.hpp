/// \file timetable.hpp
/// \brief The earliest times at which several tours can be kept that wait for one another.
///
/// Purpose:  second visits tie tours together, and traffic makes live cargo's rides depend on the
///           clock. All such rules push a beginning later, never sooner, so there is one schedule
///           in which every stop begins as early as in any other: the least fixed point, found by
///           driving all tours again and again from what the last round has pushed.
/// Units:    as timing.hpp.
/// Range:    any number of tours; a tour with a pause multiplies the work by its stops.
/// Accuracy: exact for given places of the pauses; all places are tried as long as `kMostWays`
///           combinations suffice, beyond that some schedules may be overlooked, never a wrong one
///           accepted.
/// Cost:     a few rounds over all stops.
/// Errors:   none.
/// Source:   own; rounds without a new window are those of Bellman and Ford, which bounds them.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "planner/tour/timing.hpp"
#include "planner/tour/traffic.hpp"

namespace nestround::tour {

/// One tour: its stops and its day. `closes` of the shift is the latest arrival home.
struct TimetableRow {
    std::vector<Step> steps;
    Frame frame;
    Time paid_from = kNever;           ///< overtime begins
    std::int64_t cost_per_second = 0;  ///< of overtime
};

/// The stop `to` begins at least `least` and at most `most` after `from` has ended.
struct TimetableLink {
    int from_row;
    int from_stop;
    int to_row;
    int to_stop;
    Time least;
    Time most;  ///< or kNoLimit
};

class Timetable {
public:
    static constexpr std::uint64_t kMostWays = 20000;

    /// One Times a row, those with the least overtime, then the soonest home; nothing when no
    /// schedule keeps all rules.
    [[nodiscard]] std::optional<std::vector<Times>> solve(std::span<const TimetableRow> rows,
                                                          std::span<const TimetableLink> links,
                                                          const Traffic& traffic);

private:
    /// For the places of pauses in pause_after_; false: cannot be kept.
    bool settle(std::span<const TimetableRow> rows, std::span<const TimetableLink> links,
                const Traffic& traffic);
    /// Drives one tour with the openings as raised so far; false: cannot be kept.
    bool drive(const TimetableRow& row, std::size_t r, const Traffic& traffic);
    bool raise(std::size_t stop, std::int64_t to);
    [[nodiscard]] std::vector<Times> times(std::span<const TimetableRow> rows,
                                           const Traffic& traffic) const;

    std::vector<std::size_t> first_;  ///< stop of each row in the vectors below
    std::vector<Time> raised_;        ///< begins no sooner
    std::vector<Time> start_;
    std::vector<int> window_;  ///< index of the window that it begins in
    std::vector<Time> home_;
    std::vector<Time> pause_begin_;
    std::vector<int> pause_after_;
    bool has_new_window_ = false;
    bool is_raised_ = false;
};

}  // namespace nestround::tour
