#include "geocore/records/row_merge.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <utility>

namespace nestround {

namespace {

const FieldValue kNothing{};

const FieldValue& value(const FieldValues& cells, const std::string& column)
{
    const auto at = cells.find(column);
    return at == cells.end() ? kNothing : at->second;
}

/// Cautions: when two people who knew nothing of each other disagree, the careful one is heard.
constexpr std::array<std::string_view, 4> kCautions{"insecticide", "allergic", "near_door",
                                                    "must_take"};

/// A value that says nothing against one that does.
bool says_nothing(const std::string& column, const FieldValue& value)
{
    if (std::holds_alternative<std::monostate>(value)) {
        return true;
    }
    if (const auto* words = std::get_if<std::string>(&value)) {
        return *words == "unknown" || (column == "state" && *words == "waiting") ||
               ((column == "decision" || column == "state") && *words == "open");
    }
    const auto* number = std::get_if<std::int64_t>(&value);
    return number != nullptr && *number == 0 &&
           std::find(kCautions.begin(), kCautions.end(), column) != kCautions.end();
}

/// The latest version that both came from.
const RowVersion* common_past(const RowCase& row)
{
    const RowVersion* found = nullptr;
    for (const auto& version : row.our_past) {
        if ((found == nullptr || is_later(version, *found)) && holds(row.their_past, version)) {
            found = &version;
        }
    }
    return found;
}

struct Side {
    bool theirs = false;
    Grounds grounds = Grounds::Newer;
};

class Merge {
public:
    explicit Merge(const RowCase& row) : row_{row}, base_{common_past(row)} {}

    RowMerge run()
    {
        if (is_closed(row_.ours) && is_closed(row_.theirs)) {
            close(false);  // nothing that is closed is ever changed
        } else if (const auto whole = one_side()) {
            take(*whole);
        } else if (is_closed(row_.ours) || is_closed(row_.theirs)) {
            close(is_closed(row_.theirs));
        } else {
            fields();
        }
        keep_fixed();
        merged_.outcome = outcome();
        return std::move(merged_);
    }

private:
    void take(bool theirs) { merged_.cells = (theirs ? row_.theirs : row_.ours).cells; }

    /// Whether the row was changed on one side only: true for theirs.
    [[nodiscard]] std::optional<bool> one_side() const
    {
        const bool theirs_is_past = holds(row_.our_past, row_.theirs);
        const bool ours_is_past = holds(row_.their_past, row_.ours);
        if (theirs_is_past != ours_is_past) {
            return ours_is_past;
        }
        if (theirs_is_past) {
            return is_later(row_.theirs, row_.ours);
        }
        if (base_ == nullptr && !row_.shared_until.empty()) {
            const bool ours_is_old = row_.ours.changed_at <= row_.shared_until;
            const bool theirs_is_old = row_.theirs.changed_at <= row_.shared_until;
            if (ours_is_old != theirs_is_old) {
                return ours_is_old;
            }
        }
        return std::nullopt;
    }

    [[nodiscard]] bool is_closed(const RowVersion& version) const
    {
        return !row_.closing.empty() && value(version.cells, std::string{row_.closing}) != kNothing;
    }

    /// What is closed stands as a whole.
    void close(bool theirs_stands)
    {
        take(theirs_stands);
        for (const auto& column : differing()) {
            if (!says_nothing(column,
                              value((theirs_stands ? row_.ours : row_.theirs).cells, column))) {
                conflict(column, theirs_stands, Grounds::Sealed);
            }
        }
    }

    [[nodiscard]] std::vector<std::string> differing() const
    {
        std::vector<std::string> out;
        for (const auto& [column, value] : row_.ours.cells) {
            const auto other = row_.theirs.cells.find(column);
            if (other != row_.theirs.cells.end() && other->second != value) {
                out.push_back(column);
            }
        }
        return out;
    }

    void fields()
    {
        merged_.cells = row_.ours.cells;
        for (const auto& column : differing()) {
            const FieldValue& ours = value(row_.ours.cells, column);
            const FieldValue& theirs = value(row_.theirs.cells, column);
            bool is_disputed = true;
            Side side = by_rule(column, ours, theirs);
            if (base_ != nullptr && base_->cells.contains(column)) {
                const FieldValue& was = value(base_->cells, column);
                if (was == ours || was == theirs) {
                    side.theirs = was == ours;
                    is_disputed = false;
                }
            } else if (side.grounds == Grounds::Says) {
                is_disputed = false;  // nothing is lost by it
            }
            if (side.theirs) {
                merged_.cells[column] = theirs;
            }
            if (is_disputed) {
                conflict(column, side.theirs, side.grounds);
            }
        }
    }

    [[nodiscard]] Side by_rule(const std::string& column, const FieldValue& ours,
                               const FieldValue& theirs) const
    {
        const bool ours_is_silent = says_nothing(column, ours);
        if (ours_is_silent != says_nothing(column, theirs)) {
            return {ours_is_silent, Grounds::Says};
        }
        if (row_.rule != MergeRule::Newer) {
            return {row_.rule == MergeRule::Theirs, Grounds::Rule};
        }
        return {is_later(row_.theirs, row_.ours), Grounds::Newer};
    }

    void keep_fixed()
    {
        for (const auto& column : row_.fixed) {
            const auto at = merged_.cells.find(column);
            const FieldValue& ours = value(row_.ours.cells, column);
            if (at == merged_.cells.end() || at->second == ours) {
                continue;
            }
            at->second = ours;
            std::erase_if(merged_.conflicts,
                          [&](const FieldConflict& c) { return c.column == column; });
            conflict(column, false, Grounds::Sealed);
        }
    }

    void conflict(const std::string& column, bool theirs_stands, Grounds grounds)
    {
        const FieldConflict found{column, theirs_stands, grounds};
        merged_.conflicts.insert(
            std::upper_bound(merged_.conflicts.begin(), merged_.conflicts.end(), found,
                             [](const auto& a, const auto& b) { return a.column < b.column; }),
            found);
    }

    [[nodiscard]] RowMerge::Outcome outcome() const
    {
        if (same_content(merged_.cells, row_.ours.cells)) {
            return RowMerge::Outcome::Ours;
        }
        return same_content(merged_.cells, row_.theirs.cells) ? RowMerge::Outcome::Theirs
                                                              : RowMerge::Outcome::Mixed;
    }

    const RowCase& row_;
    const RowVersion* base_;
    RowMerge merged_;
};

int digit(char c)
{
    if (c >= '0' && c <= '9') {
        return c - '0';
    }
    const char lower = static_cast<char>(c | 0x20);
    return lower >= 'a' && lower <= 'f' ? lower - 'a' + 10 : -1;
}

tl::unexpected<Error> no_row()
{
    return fail(ErrorCode::InvalidInput, "this is no row as a book keeps it");
}

/// Takes the literal at the front of `text` away.
Result<FieldValue> take_literal(std::string_view& text)
{
    if (text.starts_with('\'')) {
        std::string words;
        for (std::size_t at = 1; at < text.size(); ++at) {
            if (text[at] != '\'') {
                words += text[at];
            } else if (at + 1 < text.size() && text[at + 1] == '\'') {
                words += text[++at];
            } else {
                text.remove_prefix(at + 1);
                return FieldValue{std::move(words)};
            }
        }
        return no_row();
    }
    const std::string_view word = text.substr(0, text.find(' '));
    text.remove_prefix(word.size());
    if (word == "NULL") {
        return FieldValue{};
    }
    if (word.starts_with("X'") && word.ends_with('\'') && word.size() % 2 == 1) {
        Blob blob;
        for (std::size_t at = 2; at + 1 < word.size(); at += 2) {
            const int high = digit(word[at]);
            const int low = digit(word[at + 1]);
            if (high < 0 || low < 0) {
                return no_row();
            }
            blob.bytes += static_cast<char>(high * 16 + low);
        }
        return FieldValue{std::move(blob)};
    }
    const char* const end = word.data() + word.size();
    std::int64_t whole = 0;
    if (const auto read = std::from_chars(word.data(), end, whole);
        read.ec == std::errc{} && read.ptr == end) {
        return FieldValue{whole};
    }
    double number = 0;
    const auto read = std::from_chars(word.data(), end, number);
    if (read.ec != std::errc{} || read.ptr != end || !std::isfinite(number)) {
        return no_row();
    }
    return FieldValue{number};
}

}  // namespace

bool same_content(const FieldValues& a, const FieldValues& b)
{
    return std::all_of(a.begin(), a.end(), [&](const auto& entry) {
        const auto other = b.find(entry.first);
        return other == b.end() || other->second == entry.second;
    });
}

bool holds(std::span<const RowVersion> versions, const RowVersion& version)
{
    return std::any_of(versions.begin(), versions.end(), [&](const RowVersion& past) {
        return past.changed_at == version.changed_at && same_content(past.cells, version.cells);
    });
}

bool is_later(const RowVersion& a, const RowVersion& b)
{
    return a.changed_at != b.changed_at ? a.changed_at > b.changed_at : a.cells > b.cells;
}

RowMerge merge_versions(const RowCase& row)
{
    if (same_content(row.ours.cells, row.theirs.cells)) {
        return {RowMerge::Outcome::Same, row.ours.cells, {}};
    }
    return Merge{row}.run();
}

std::string literal(const FieldValue& value)
{
    struct Write {
        std::string operator()(std::monostate /*nothing*/) const { return "NULL"; }
        std::string operator()(std::int64_t number) const { return fmt::format("{}", number); }
        std::string operator()(double number) const
        {
            std::string out = fmt::format("{}", number);
            return out.find_first_of(".en") == std::string::npos ? out + ".0" : out;
        }
        std::string operator()(const std::string& words) const
        {
            std::string out = "'";
            for (const char c : words) {
                out += c;
                if (c == '\'') {
                    out += c;
                }
            }
            return out + "'";
        }
        std::string operator()(const Blob& blob) const
        {
            std::string out = "X'";
            for (const char byte : blob.bytes) {
                out += fmt::format("{:02X}", static_cast<unsigned char>(byte));
            }
            return out + "'";
        }
    };
    return std::visit(Write{}, value);
}

Result<FieldValue> field_value_of(std::string_view text)
{
    auto value = take_literal(text);
    if (value && !text.empty()) {
        return no_row();
    }
    return value;
}

Result<FieldValues> values_of(std::string_view text)
{
    FieldValues cells;
    while (!text.empty()) {
        const auto space = text.find(' ');
        if (space == 0 || space == std::string_view::npos) {
            return no_row();
        }
        std::string column{text.substr(0, space)};
        text.remove_prefix(space + 1);
        auto value = take_literal(text);
        if (!value) {
            return tl::unexpected<Error>{value.error()};
        }
        cells.insert_or_assign(std::move(column), std::move(*value));
        if (!text.empty()) {
            if (text.front() != ' ') {
                return no_row();
            }
            text.remove_prefix(1);
        }
    }
    return cells;
}

std::string_view text(Grounds grounds)
{
    switch (grounds) {
        case Grounds::Newer:
            return "newer";
        case Grounds::Rule:
            return "rule";
        case Grounds::Says:
            return "says more";
        case Grounds::Sealed:
            return "sealed";
    }
    return "";
}

}  // namespace nestround
