#include "geocore/intake/time_zone.hpp"

#include <date/tz.h>
#include <fmt/format.h>

#include <stdexcept>

namespace nestround::intake {

namespace {

/// The system's tables; reading them can fail only when they are not installed.
void require_tables()
{
    try {
        (void)date::get_tzdb();
    } catch (const std::exception&) {
        throw Failure{ErrorCode::NotFound,
                      "the time zone tables of the system cannot be read; install tzdata",
                      "time zones"};
    }
}

Result<const date::time_zone*> find_zone(std::string_view zone)
{
    require_tables();
    try {
        return date::locate_zone(zone);
    } catch (const std::exception&) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is no time zone; write one as Europe/Zurich, or UTC", zone));
    }
}

}  // namespace

bool is_time_zone(std::string_view zone) { return find_zone(zone).has_value(); }

std::string system_time_zone()
{
    require_tables();
    try {
        return date::current_zone()->name();
    } catch (const std::runtime_error&) {
        return "UTC";
    }
}

Result<Instant> to_utc(Day day, ClockTime clock, std::string_view zone)
{
    const auto found = find_zone(zone);
    if (!found) {
        return tl::unexpected{found.error()};
    }
    const date::local_seconds local{day.time_since_epoch() + clock.since_midnight()};
    const date::local_info info = (*found)->get_info(local);
    // The first of the two offsets: before the change. In spring that moves a time which the clock
    // leaps over forward by the leap, in autumn it is the earlier of two.
    return Instant{local.time_since_epoch() - info.first.offset};
}

Result<LocalTime> to_local(Instant instant, std::string_view zone)
{
    const auto found = find_zone(zone);
    if (!found) {
        return tl::unexpected{found.error()};
    }
    const auto info = (*found)->get_info(instant);
    const Instant shifted = instant + info.offset;
    const Day day = std::chrono::floor<std::chrono::days>(shifted);
    return LocalTime{day, ClockTime{shifted - day}};
}

}  // namespace nestround::intake
