#include "geocore/intake/traffic_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <string>
#include <string_view>

#include "geocore/base/calendar.hpp"
#include "geocore/base/error.hpp"
#include "geocore/intake/grid.hpp"

namespace nestround::intake {
namespace {

constexpr std::array<std::string_view, 7> kColumns{"days",   "from",   "to",  "class",
                                                   "factor", "source", "mark"};

/// Reads the cells of one row.
class RowReader {
public:
    RowReader(const Grid& grid, const GridRow& row) : grid_{grid}, row_{row} {}

    [[nodiscard]] roads::TrafficRow read() const
    {
        roads::TrafficRow traffic;
        const auto days = roads::parse_weekdays(cell("days"));
        if (!days) {
            refuse("days", "no days of the week; write them as Mo-Fr or Sa,Su");
        }
        traffic.days = *days;
        traffic.from_min = minute("from");
        traffic.to_min = minute("to");
        if (traffic.from_min >= traffic.to_min) {
            refuse("to", "not after 'from'; part a span at midnight into two rows");
        }
        if (const auto name = cell("class"); !name.empty() && name != "*") {
            traffic.road_class = roads::road_class(name);
            if (!traffic.road_class) {
                refuse("class", "no class of road; 'nestround roads speeds' lists them");
            }
        }
        const auto text = cell("factor");
        const auto [end, problem] =
            std::from_chars(text.data(), text.data() + text.size(), traffic.factor);
        if (problem != std::errc{} || end != text.data() + text.size() ||
            !(traffic.factor >= roads::kLeastSlowing && traffic.factor <= roads::kMostSlowing)) {
            refuse("factor", "no factor on driving time from 0.2 to 20");
        }
        return traffic;
    }

private:
    [[nodiscard]] std::string_view cell(std::string_view column) const
    {
        const auto at = std::find(grid_.header.begin(), grid_.header.end(), column);
        const auto index = static_cast<std::size_t>(at - grid_.header.begin());
        return index < row_.cells.size() ? std::string_view{row_.cells[index]} : "";
    }
    [[nodiscard]] int minute(std::string_view column) const
    {
        const auto time = parse_clock(cell(column));
        if (!time || time->since_midnight() > std::chrono::hours{24}) {
            refuse(column, "no clock time; write it as 07:30, and the end of a day as 24:00");
        }
        return static_cast<int>(time->since_midnight().count() / 60);
    }
    [[noreturn]] void refuse(std::string_view column, std::string_view why) const
    {
        throw Failure{
            ErrorCode::InvalidInput,
            fmt::format("row {}, column '{}': '{}' is {}", row_.number, column, cell(column), why),
            grid_.file};
    }

    const Grid& grid_;
    const GridRow& row_;
};

}  // namespace

roads::TrafficTable read_traffic(const std::filesystem::path& file)
{
    const auto grid = read_text_grid(file);
    for (const auto& name : grid.header) {
        if (std::find(kColumns.begin(), kColumns.end(), name) == kColumns.end()) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("'{}' is no column of a table of traffic; there are {}", name,
                                      fmt::join(kColumns, ", ")),
                          grid.file};
        }
    }
    for (const std::string_view needed : {"from", "to", "factor"}) {
        if (std::find(grid.header.begin(), grid.header.end(), needed) == grid.header.end()) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("the column '{}' is missing", needed), grid.file};
        }
    }
    if (!grid.refused.empty()) {
        throw Failure{ErrorCode::InvalidInput, grid.refused.front().text(), grid.file};
    }
    roads::TrafficTable table;
    for (const auto& row : grid.rows) {
        table.rows.push_back(RowReader{grid, row}.read());
    }
    if (table.rows.empty()) {
        throw Failure{ErrorCode::InvalidInput, "it has no row", grid.file};
    }
    return table;
}

}  // namespace nestround::intake
