#include "geocore/intake/calls.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "geocore/intake/call_row.hpp"
#include "geocore/intake/layer_grid.hpp"

namespace nestround::intake {

namespace {

constexpr double kNone = std::numeric_limits<double>::quiet_NaN();

Grid read_grid(const std::filesystem::path& file, const CallMapping& mapping)
{
    const std::string kind = folded(file.extension().string());
    const bool text = kind == ".csv" || kind == ".tsv" || kind == ".txt" || kind == ".gz";
    return text ? read_text_grid(file) : read_layer_grid(file, mapping.layer, mapping.crs);
}

/// The numbers in a row's lon and lat; NaN where there is none, with `fault` saying so.
RawPoint columns_point(const Columns& columns, const GridRow& row, std::optional<RefusedRow>& fault)
{
    RowReader reader{columns, row};
    const auto x = reader.number("lon");
    const auto y = reader.number("lat");
    if (!x) {
        reader.refuse("lon", "is empty", "give the place of the nest");
    }
    if (!y) {
        reader.refuse("lat", "is empty", "give the place of the nest");
    }
    fault = reader.fault();
    return {x.value_or(kNone), y.value_or(kNone)};
}

struct Places {
    std::vector<LonLat> of_row;
    std::vector<std::optional<RefusedRow>> fault_of_row;
};

/// Where each row is: its feature's point, else its columns.
Places places_of(const Grid& grid, const Columns& columns, const CallMapping& mapping)
{
    Places out;
    std::vector<RawPoint> raw;
    const bool by_column = columns.has("lon") && columns.has("lat");
    for (const auto& row : grid.rows) {
        auto& fault = out.fault_of_row.emplace_back();
        const bool needed = !row.point && by_column;
        raw.push_back(needed ? columns_point(columns, row, fault) : RawPoint{kNone, kNone});
    }
    std::vector<LonLat> placed;
    if (by_column && !grid.has_points && !mapping.crs.empty()) {
        placed = to_wgs84(raw, mapping.crs, grid.file);
    } else {
        if (!grid.has_points) {
            require_degrees(raw, grid.file);
        }
        for (const auto& point : raw) {
            placed.push_back({Longitude{point.x}, Latitude{point.y}});
        }
    }
    for (std::size_t i = 0; i < grid.rows.size(); ++i) {
        out.of_row.push_back(grid.rows[i].point.value_or(placed[i]));
        if (!grid.rows[i].point && !grid.rows[i].point_fault.empty() && out.fault_of_row[i]) {
            // Neither the feature nor its columns say where: the feature's fault is the plainer.
            out.fault_of_row[i] =
                RefusedRow{grid.rows[i].number, "", grid.rows[i].point_fault, "give it one point"};
        }
    }
    return out;
}

/// Neither a point nor anything in the columns of coordinates, but an address.
bool lacks_place(const Columns& columns, const GridRow& row)
{
    const RowReader reader{columns, row};
    return !row.point && reader.text("lon").empty() && reader.text("lat").empty() &&
           !reader.text("address").empty();
}

std::optional<AddressPlace> place_by_address(const Columns& columns, const GridRow& row,
                                             const CallMapping& mapping,
                                             std::optional<RefusedRow>& fault)
{
    const auto found = mapping.address(RowReader{columns, row}.text("address"));
    fault.reset();
    if (!found) {
        fault = RefusedRow{row.number, columns.shown_name("address"), found.error().message,
                           "or give its lon and lat"};
        return std::nullopt;
    }
    return *found;
}

void note_unused(const Columns& columns, CallBatch& batch)
{
    const auto unused = columns.unused();
    if (!unused.empty()) {
        batch.notes.push_back("columns that nothing reads: " + joined(unused));
    }
}

/// Refuses a call that has the key of an earlier one in the same file.
class Keys {
public:
    std::optional<RefusedRow> clash(const CallRow& row, const Columns& columns)
    {
        const auto [place, is_new] = rows_.emplace(row.sheet.call.source_key, row.row);
        if (is_new) {
            return std::nullopt;
        }
        if (columns.has("key")) {
            return RefusedRow{row.row, columns.shown_name("key"),
                              fmt::format("'{}' is the key of row {} as well",
                                          shown(row.sheet.call.source_key), place->second),
                              "give each call a key of its own, or remove the second"};
        }
        return RefusedRow{row.row, "",
                          fmt::format("same place, day and species as row {}", place->second),
                          "remove it, or tell them apart by a column key"};
    }

private:
    std::map<std::string, std::size_t> rows_;
};

}  // namespace

CallMapping call_mapping(const std::map<std::string, std::string>& settings)
{
    static constexpr std::string_view kPrefix = "calls.columns.";
    CallMapping mapping;
    for (const auto& [name, value] : settings) {
        if (name.starts_with(kPrefix)) {
            mapping.columns[name.substr(kPrefix.size())] = value;
        } else if (name == "calls.layer") {
            mapping.layer = value;
        } else if (name == "calls.crs") {
            mapping.crs = value;
        }
    }
    return mapping;
}

CallBatch read_calls(const std::filesystem::path& file, const CallMapping& mapping)
{
    Grid grid = read_grid(file, mapping);
    const Columns columns{grid, call_vocabulary(), mapping.columns};
    const bool by_address = mapping.address && columns.has("address");
    if (!grid.has_points && !by_address) {
        columns.require({"lon", "lat"});
    }
    if (!mapping.received) {
        columns.require({"received"});
    }
    CallBatch batch;
    batch.file = file.filename().string();
    batch.notes = grid.notes;
    batch.refused = grid.refused;
    note_unused(columns, batch);
    Places places = places_of(grid, columns, mapping);
    Keys keys;
    for (std::size_t i = 0; i < grid.rows.size(); ++i) {
        std::optional<AddressPlace> found;
        if (by_address && lacks_place(columns, grid.rows[i])) {
            found = place_by_address(columns, grid.rows[i], mapping, places.fault_of_row[i]);
            if (found) {
                places.of_row[i] = found->at;
            }
        }
        if (places.fault_of_row[i]) {
            batch.refused.push_back(*places.fault_of_row[i]);
            continue;
        }
        auto row = read_call_row(columns, grid.rows[i], places.of_row[i], mapping);
        if (!row) {
            batch.refused.push_back(row.error());
        } else if (auto clash = keys.clash(*row, columns)) {
            batch.refused.push_back(*clash);
        } else {
            if (found) {
                row->sheet.site.place_uncertainty = found->uncertainty;
                row->sheet.site.note = found->note;
                row->flags.push_back(found->note);
            }
            batch.rows.push_back(std::move(*row));
        }
    }
    std::stable_sort(batch.refused.begin(), batch.refused.end(),
                     [](const RefusedRow& a, const RefusedRow& b) { return a.row < b.row; });
    if (batch.rows.empty() && batch.refused.empty()) {
        batch.notes.emplace_back("the file holds no rows");
    }
    return batch;
}

}  // namespace nestround::intake
