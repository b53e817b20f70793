/// \file fields.hpp
/// \brief What the words in a cell mean, and which cell of a row holds what.
///
/// Purpose:  columns are found by name once a file, cells are read with their fault noted once a
///           row; every reader of tables is built of these.
/// Units:    lengths by the suffix of the column's name: _m, _cm, _ft, _in; masses _kg, _g, _lb.
/// Range:    as each function says; NaN and infinity are no numbers.
/// Accuracy: exact conversion.
/// Errors:   Columns throws Failure; a RowReader keeps the first fault of its row.
/// Source:   own.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/intake/grid.hpp"

namespace nestround::intake {

[[nodiscard]] std::string_view trimmed(std::string_view text);
/// Lower case, with _ for blanks and hyphens: how names of columns are compared.
[[nodiscard]] std::string folded(std::string_view text);
[[nodiscard]] std::optional<double> number(std::string_view text, bool decimal_comma = false);
/// yes, no, true, false, y, n, 1, 0.
[[nodiscard]] std::optional<bool> yes_no(std::string_view text);
/// Year-month-day, the date of a moment, year/month/day, and (in archives) yyyymmdd.
[[nodiscard]] std::optional<Day> loose_day(std::string_view text);
/// 64-bit FNV-1a as 16 hexadecimal digits: the same on every machine and in every version.
[[nodiscard]] std::string digest(std::string_view text);
/// `text` for a message: cut when long, without line ends.
[[nodiscard]] std::string shown(std::string_view text);

/// What a reader looks for: names, other spellings of them, and measures whose names end in a unit.
struct Vocabulary {
    std::vector<std::string> names;
    std::vector<std::string> lengths;  ///< "height": height_m, height_cm, height_ft, height_in
    std::vector<std::string> masses;   ///< "mass": mass_kg, mass_g, mass_lb
    std::map<std::string, std::string> spellings;  ///< "longitude" -> "lon"
};

class Columns {
public:
    /// `mapping`: our name -> the file's.
    Columns(const Grid& grid, const Vocabulary& words,
            const std::map<std::string, std::string>& mapping = {});

    [[nodiscard]] bool has(const std::string& name) const { return places_.contains(name); }
    [[nodiscard]] std::optional<std::size_t> index(const std::string& name) const;
    /// The file's name of ours, for messages.
    [[nodiscard]] std::string shown_name(const std::string& name) const;
    /// Throws unless all are there; the message lists the columns found.
    void require(const std::vector<std::string>& names) const;
    /// A measure's column and what to multiply by to have metres or grams.
    struct Measure {
        std::string name;
        double factor = 1;
    };
    [[nodiscard]] std::optional<Measure> measure(const std::string& name) const;
    /// Columns of the file that nothing reads.
    [[nodiscard]] std::vector<std::string> unused() const;
    [[nodiscard]] const Grid& grid() const { return grid_; }

private:
    void place(const std::string& name, const std::string& header_name, bool mapped);
    void place_measures(const std::vector<std::string>& names, bool lengths);

    const Grid& grid_;
    std::map<std::string, std::size_t> places_;
    std::map<std::string, Measure> measures_;
};

/// Reads the cells of one row. After the first fault everything still answers, with nothing.
class RowReader {
public:
    RowReader(const Columns& columns, const GridRow& row) : columns_{columns}, row_{row} {}

    [[nodiscard]] std::string text(const std::string& column) const;
    [[nodiscard]] std::optional<double> number(const std::string& column);
    /// A number within bounds, in words of `unit`.
    [[nodiscard]] std::optional<double> number(const std::string& column, double low, double high,
                                               std::string_view unit);
    [[nodiscard]] std::optional<int> count(const std::string& column, int low, int high);
    /// Metres or grams; bounds likewise.
    [[nodiscard]] std::optional<double> measure(const std::string& name, double low, double high,
                                                std::string_view unit);
    [[nodiscard]] std::optional<Day> day(const std::string& column);
    [[nodiscard]] bool yes(const std::string& column);

    void refuse(const std::string& column, std::string reason, std::string way_out);
    [[nodiscard]] const std::optional<RefusedRow>& fault() const { return fault_; }
    [[nodiscard]] const GridRow& row() const { return row_; }

private:
    const Columns& columns_;
    const GridRow& row_;
    std::optional<RefusedRow> fault_;
};

/// "a, b, c".
[[nodiscard]] std::string joined(const std::vector<std::string>& names);

}  // namespace nestround::intake
