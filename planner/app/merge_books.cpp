#include "planner/app/merge_books.hpp"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <span>

#include "geocore/place/gpb_geometry.hpp"

namespace nestround::app {

namespace {

using nlohmann::ordered_json;

std::string counted(std::size_t n, std::string_view what)
{
    return n == 0 ? std::string{} : fmt::format(", {} {}", n, what);
}

std::string grounds_in_words(const book::MergeConflict& conflict)
{
    if (conflict.grounds == "newer") {
        return "its row was changed later";
    }
    if (conflict.grounds == "rule") {
        return "as asked";
    }
    if (conflict.grounds == "says more") {
        return "the other says nothing, or less caution";
    }
    if (conflict.grounds == "sealed") {
        return "something sealed rests on it";
    }
    return "decided by hand";
}

std::string short_of(const std::string& id) { return id.substr(id.size() - 6); }

ordered_json value_json(const std::string& literal)
{
    const auto value = field_value_of(literal);
    if (!value) {
        return literal;
    }
    if (const auto* whole = std::get_if<std::int64_t>(&*value)) {
        return *whole;
    }
    if (const auto* number = std::get_if<double>(&*value)) {
        return *number;
    }
    if (std::holds_alternative<std::monostate>(*value)) {
        return nullptr;
    }
    return plain_value(literal);
}

}  // namespace

std::string plain_value(const std::string& literal)
{
    const auto value = field_value_of(literal);
    if (!value) {
        return literal;
    }
    if (std::holds_alternative<std::monostate>(*value)) {
        return "empty";
    }
    if (const auto* words = std::get_if<std::string>(&*value)) {
        return *words;
    }
    if (const auto* blob = std::get_if<Blob>(&*value)) {
        const std::vector<std::uint8_t> bytes{blob->bytes.begin(), blob->bytes.end()};
        const auto geometry = place::read_gpb(bytes);
        if (geometry && geometry->point) {
            const double lat = geometry->point->lat.value();
            const double lon = geometry->point->lon.value();
            return fmt::format("{:.6f} {}, {:.6f} {}", std::abs(lat), lat < 0 ? 'S' : 'N',
                               std::abs(lon), lon < 0 ? 'W' : 'E');
        }
        return fmt::format("{} bytes", bytes.size());
    }
    return literal;
}

std::vector<std::string> conflict_lines(const book::MergeConflict& conflict)
{
    const auto value = [&](const std::string& literal, const std::string& at,
                           std::string_view which) {
        const bool stands = conflict.stands == which;
        return fmt::format("    {} {:<7}{}{}{}", stands ? '*' : ' ', which, plain_value(literal),
                           at.empty() ? "" : fmt::format("  (row of {} UTC)", at.substr(0, 16)),
                           stands ? "  stands: " + grounds_in_words(conflict) : "");
    };
    return {fmt::format("  {}  {}{}", short_of(conflict.id), conflict.row,
                        conflict.field.empty() ? "" : ", " + conflict.field),
            value(conflict.first, conflict.first_at, "first"),
            value(conflict.second, conflict.second_at, "second")};
}

std::vector<std::string> merge_lines(const book::MergeReport& report, const std::string& ours,
                                     const std::string& theirs, bool look_only)
{
    std::vector<std::string> out;
    if (!report.changed_anything) {
        out.push_back(fmt::format("{} holds all that {} holds: nothing was changed", ours, theirs));
    } else if (look_only) {
        out.push_back(fmt::format("{} would take from {} (nothing was written):", ours, theirs));
    } else {
        out.push_back(fmt::format("{} took from {}:", ours, theirs));
    }
    bool any = false;
    for (const auto& tally : report.tables) {
        if (tally.table != "row_version" && tally.table != "merge_conflict") {
            any = true;
            out.push_back(fmt::format("  {}: {}", tally.table,
                                      fmt::format("{}{}{}", counted(tally.added, "new"),
                                                  counted(tally.changed, "changed"),
                                                  counted(tally.removed, "removed there"))
                                          .substr(2)));
        }
    }
    if (report.changed_anything && !any) {
        out.emplace_back("  no rows; only what they said before");
    }
    if (report.links > 0) {
        out.push_back(
            fmt::format("  {} sealed records joined the chain of this book", report.links));
    }
    for (const auto& note : report.notes) {
        out.push_back("  " + note);
    }
    if (!report.conflicts.empty()) {
        out.push_back(
            fmt::format("{} in both books, to different values; both are kept:",
                        report.conflicts.size() == 1
                            ? "1 field was changed"
                            : fmt::format("{} fields were changed", report.conflicts.size())));
        for (const auto& conflict : report.conflicts) {
            for (auto& line : conflict_lines(conflict)) {
                out.push_back(std::move(line));
            }
        }
        if (!look_only) {
            out.push_back(
                fmt::format("to decide otherwise: nestround book decide {} KEY --take "
                            "first|second",
                            ours));
        }
    }
    if (!report.settings.empty()) {
        out.push_back(fmt::format("settings that differ, each book keeps its own: {}",
                                  fmt::format("{}", fmt::join(report.settings, ", "))));
    }
    return out;
}

nlohmann::ordered_json conflict_json(const book::MergeConflict& conflict)
{
    return {
        {"key", conflict.id},
        {"row", conflict.row},
        {"table", conflict.table},
        {"row_id", conflict.row_id},
        {"field", conflict.field.empty() ? ordered_json(nullptr) : ordered_json(conflict.field)},
        {"first", value_json(conflict.first)},
        {"first_at", conflict.first_at},
        {"second", value_json(conflict.second)},
        {"second_at", conflict.second_at},
        {"stands", conflict.stands},
        {"grounds", conflict.grounds}};
}

nlohmann::ordered_json merge_json(const book::MergeReport& report)
{
    ordered_json tables = ordered_json::object();
    for (const auto& tally : report.tables) {
        tables[tally.table] = {
            {"new", tally.added}, {"changed", tally.changed}, {"removed", tally.removed}};
    }
    ordered_json conflicts = ordered_json::array();
    for (const auto& conflict : report.conflicts) {
        conflicts.push_back(conflict_json(conflict));
    }
    return {{"changed_anything", report.changed_anything},
            {"tables", tables},
            {"sealed_records", report.links},
            {"conflicts", conflicts},
            {"notes", report.notes},
            {"settings_that_differ", report.settings}};
}

}  // namespace nestround::app
