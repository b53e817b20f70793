/// \file habitat_log.hpp
/// \brief Temperature logs as loggers write them.
///
/// Purpose:  tables whose columns have a time, a temperature and perhaps a humidity, whatever they
///           are called; lines before the heading are passed over; gaps are told.
/// Units:    temperature in C or F by the heading or an option; humidity in percent.
/// Range:    dates 2026-08-04, 4.8.2026, 8/4/2026 or 4/8/2026 (the file or an option decides), with
///           seconds or AM and PM; one moment once.
/// Accuracy: as written.
/// Errors:   Failure when there is no such file, time or temperature, or when the order of day and
///           month stays open; else rows are refused with their reason.
/// Source:   own.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/intake/refused_row.hpp"
#include "geocore/records/harvest.hpp"

namespace nestround::intake {

enum class DateOrder { ByFile, DayFirst, MonthFirst };

struct LogOptions {
    std::string zone = "UTC";  ///< of times without an offset
    DateOrder order = DateOrder::ByFile;
    bool fahrenheit = false;  ///< where the heading does not say
};

struct LogGap {
    Instant from{};
    Instant to{};
};

struct LogBatch {
    std::string file;
    std::vector<HabitatReading> readings;  ///< by time, without a habitat
    std::vector<LogGap> gaps;              ///< longer than three hours
    std::vector<RefusedRow> refused;
    std::vector<std::string> notes;
};
[[nodiscard]] LogBatch read_habitat_log(const std::filesystem::path& file,
                                        const LogOptions& options);

}  // namespace nestround::intake
