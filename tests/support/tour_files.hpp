/// \file tour_files.hpp
/// \brief Reads the published orienteering problems with time windows, and their reference values.
///
/// The files may not be shipped; they are looked for in `../shared/data/tours` beside the source
/// tree, and whoever needs them skips loudly where they are absent. Format: two header lines, then
/// number, x, y, service, profit, ignored fields, and last the opening and closing of the window
/// for the start of service. Row 0 is the depot; its closing is the latest return. The travel time
/// is the Euclidean distance truncated to one decimal (Solomon's) or two (Cordeau's, files pr*).
#pragma once

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "planner/tour/problem.hpp"

namespace nestround::test {

inline std::filesystem::path tour_folder()
{
    return std::filesystem::path{NESTROUND_SOURCE_DIR} / ".." / "shared" / "data" / "tours";
}

inline bool has_tour_files() { return std::filesystem::exists(tour_folder() / "reference.csv"); }

struct TourRow {
    std::int64_t x, y, service, profit, opens, closes;  ///< in the file's smallest unit
};

/// The decimal text as a whole number of 10^-digits; digits beyond are refused.
inline std::int64_t scaled(const std::string& text, int digits)
{
    const double value = std::stod(text) * std::pow(10.0, digits);
    return static_cast<std::int64_t>(std::llround(value));
}

/// `tours` vehicles from row 0. Times are tenths or hundredths of the file's unit.
inline tour::ProblemInput read_tour_file(const std::string& name, std::size_t tours)
{
    const bool is_cordeau = name.rfind("pr", 0) == 0;
    const int time_digits = is_cordeau ? 2 : 1;
    // Coordinates have up to three decimals; distances are worked out in thousandths.
    constexpr int kPlaceDigits = 3;
    std::ifstream file{tour_folder() / (name + ".txt")};
    if (!file) {
        throw std::runtime_error{"no tour file " + name};
    }
    std::string line;
    std::getline(file, line);
    std::getline(file, line);
    std::vector<TourRow> rows;
    while (std::getline(file, line)) {
        std::istringstream words{line};
        std::vector<std::string> fields;
        for (std::string word; words >> word;) {
            fields.push_back(word);
        }
        if (fields.size() < 7) {
            continue;
        }
        const std::size_t n = fields.size();
        rows.push_back({scaled(fields[1], kPlaceDigits), scaled(fields[2], kPlaceDigits),
                        scaled(fields[3], time_digits), scaled(fields[4], 0),
                        scaled(fields[n - 2], time_digits), scaled(fields[n - 1], time_digits)});
    }
    tour::ProblemInput input;
    input.travel.rows = input.travel.columns = rows.size();
    // floor(sqrt(d2) / 10^(3 - digits)) in integers: the largest t with (t * unit)^2 <= d2.
    const std::int64_t unit = is_cordeau ? 10 : 100;
    for (const auto& a : rows) {
        for (const auto& b : rows) {
            const std::int64_t d2 = (a.x - b.x) * (a.x - b.x) + (a.y - b.y) * (a.y - b.y);
            auto t = static_cast<std::int64_t>(std::sqrt(static_cast<double>(d2)) /
                                               static_cast<double>(unit));
            while (t * unit * (t * unit) > d2) {
                --t;
            }
            while ((t + 1) * unit * ((t + 1) * unit) <= d2) {
                ++t;
            }
            input.travel.duration_s.push_back(static_cast<std::uint32_t>(t));
            input.travel.length_m.push_back(static_cast<std::uint32_t>(t));
        }
    }
    for (std::size_t i = 1; i < rows.size(); ++i) {
        tour::Job job;
        job.name = name + " row " + std::to_string(i);
        job.place = i;
        job.prize = {tour::Points{rows[i].profit}};
        job.service = {seconds{rows[i].service}};
        job.windows = {{seconds{rows[i].opens}, seconds{rows[i].closes}}};
        input.jobs.push_back(std::move(job));
    }
    for (std::size_t v = 0; v < tours; ++v) {
        tour::Vehicle vehicle;
        vehicle.name = "tour " + std::to_string(v + 1);
        vehicle.shift = {seconds{rows[0].opens}, seconds{rows[0].closes}};
        input.vehicles.push_back(std::move(vehicle));
    }
    return input;
}

struct TourReference {
    std::string instance;
    std::size_t tours = 0;
    std::int64_t total_profit = 0;
    std::optional<std::int64_t> proven;
    std::int64_t certified = 0;               ///< a checked plan of that value exists
    std::optional<std::int64_t> from_memory;  ///< for reports only
    /// The best value known, proven or not.
    [[nodiscard]] std::int64_t best() const
    {
        return proven ? *proven : std::max(certified, from_memory.value_or(0));
    }
};

inline std::vector<TourReference> read_tour_references()
{
    std::ifstream file{tour_folder() / "reference.csv"};
    std::string line;
    std::getline(file, line);
    std::vector<TourReference> result;
    while (std::getline(file, line)) {
        std::istringstream cells{line};
        std::vector<std::string> c;
        for (std::string cell; std::getline(cells, cell, ',');) {
            c.push_back(cell);
        }
        if (c.size() < 9) {
            continue;
        }
        TourReference row;
        row.instance = c[0];
        row.tours = std::stoul(c[1]);
        row.total_profit = std::stoll(c[2]);
        if (!c[6].empty()) {
            row.proven = std::stoll(c[6]);
        }
        if (!c[7].empty()) {
            row.from_memory = std::stoll(c[7]);
        }
        row.certified = std::stoll(c[8]);
        result.push_back(std::move(row));
    }
    return result;
}

}  // namespace nestround::test
