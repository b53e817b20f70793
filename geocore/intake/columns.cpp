#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/intake/fields.hpp"

namespace nestround::intake {

namespace {

using Suffix = std::pair<std::string_view, double>;
constexpr std::array<Suffix, 4> kLengths{
    {{"_m", 1.0}, {"_cm", 0.01}, {"_ft", 0.3048}, {"_in", 0.0254}}};
constexpr std::array<Suffix, 3> kMasses{{{"_kg", 1000.0}, {"_g", 1.0}, {"_lb", 453.59237}}};

[[noreturn]] void refuse(const Grid& grid, std::string message)
{
    throw Failure{ErrorCode::InvalidInput, std::move(message), grid.file};
}

std::vector<std::string> suffixed(const std::string& name, bool lengths)
{
    std::vector<std::string> out;
    if (lengths) {
        for (const auto& [suffix, factor] : kLengths) {
            out.push_back(name + std::string{suffix});
        }
    } else {
        for (const auto& [suffix, factor] : kMasses) {
            out.push_back(name + std::string{suffix});
        }
    }
    return out;
}

double factor_of(const std::string& name, bool lengths)
{
    const auto in = [&](const auto& table) {
        for (const auto& [suffix, factor] : table) {
            if (name.ends_with(suffix)) {
                return factor;
            }
        }
        return 1.0;
    };
    return lengths ? in(kLengths) : in(kMasses);
}

}  // namespace

Columns::Columns(const Grid& grid, const Vocabulary& words,
                 const std::map<std::string, std::string>& mapping)
    : grid_{grid}
{
    std::vector<std::string> ours = words.names;
    for (const auto& name : words.lengths) {
        const auto more = suffixed(name, true);
        ours.insert(ours.end(), more.begin(), more.end());
    }
    for (const auto& name : words.masses) {
        const auto more = suffixed(name, false);
        ours.insert(ours.end(), more.begin(), more.end());
    }
    for (const auto& [name, theirs] : mapping) {
        if (std::find(ours.begin(), ours.end(), name) == ours.end()) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("the mapping names '{}', which is no column known here; "
                                      "known are {}",
                                      name, joined(ours)),
                          "settings"};
        }
        place(name, theirs, true);
    }
    for (const auto& name : ours) {
        if (!mapping.contains(name)) {
            place(name, name, false);
        }
    }
    for (const auto& [spelling, name] : words.spellings) {
        if (!places_.contains(name)) {
            place(name, spelling, false);
        }
    }
    place_measures(words.lengths, true);
    place_measures(words.masses, false);
}

void Columns::place(const std::string& name, const std::string& header_name, bool mapped)
{
    std::string wanted = folded(header_name);
    const auto matches = [&](const std::string& found) {
        const std::string theirs = folded(found);
        return theirs == wanted || (grid_.name_limit > 0 && theirs.size() == grid_.name_limit &&
                                    wanted.size() > theirs.size() && wanted.starts_with(theirs));
    };
    std::optional<std::size_t> at;
    for (std::size_t i = 0; i < grid_.header.size(); ++i) {
        if (!matches(grid_.header[i])) {
            continue;
        }
        if (at) {
            refuse(grid_,
                   fmt::format("column '{}' stands twice; rename or remove one", grid_.header[i]));
        }
        at = i;
    }
    if (at) {
        places_[name] = *at;
    } else if (mapped) {
        refuse(grid_, fmt::format("the mapping expects a column '{}' for {}; the file has {}",
                                  header_name, name, joined(grid_.header)));
    }
}

void Columns::place_measures(const std::vector<std::string>& names, bool lengths)
{
    for (const auto& name : names) {
        for (const auto& full : suffixed(name, lengths)) {
            if (!places_.contains(full)) {
                continue;
            }
            if (measures_.contains(name)) {
                refuse(grid_, fmt::format("both '{}' and '{}' are there; keep one",
                                          shown_name(measures_.at(name).name), shown_name(full)));
            }
            measures_[name] = {full, factor_of(full, lengths)};
        }
        const auto bare = [&](const std::string& h) { return folded(h) == name; };
        if (!measures_.contains(name) &&
            std::any_of(grid_.header.begin(), grid_.header.end(), bare)) {
            refuse(grid_, fmt::format("column '{}' names no unit; rename it to one of {}", name,
                                      joined(suffixed(name, lengths))));
        }
    }
}

std::optional<std::size_t> Columns::index(const std::string& name) const
{
    const auto found = places_.find(name);
    return found == places_.end() ? std::nullopt : std::optional{found->second};
}

std::string Columns::shown_name(const std::string& name) const
{
    const auto at = index(name);
    return at ? grid_.header[*at] : name;
}

void Columns::require(const std::vector<std::string>& names) const
{
    std::vector<std::string> missing;
    for (const auto& name : names) {
        if (!has(name)) {
            missing.push_back(name);
        }
    }
    if (!missing.empty()) {
        std::vector<std::string> there;
        for (std::size_t i = 0; i < grid_.header.size() && i < 40; ++i) {
            there.push_back(shown(grid_.header[i]));
        }
        refuse(grid_, fmt::format("has no column {}; it has {} (rename it, or name it in the "
                                  "mapping)",
                                  joined(missing), joined(there)));
    }
}

std::optional<Columns::Measure> Columns::measure(const std::string& name) const
{
    const auto found = measures_.find(name);
    return found == measures_.end() ? std::nullopt : std::optional{found->second};
}

std::vector<std::string> Columns::unused() const
{
    std::vector<std::string> out;
    for (std::size_t i = 0; i < grid_.header.size(); ++i) {
        const bool used = std::any_of(places_.begin(), places_.end(),
                                      [&](const auto& place) { return place.second == i; });
        if (!used && !grid_.header[i].empty()) {
            out.push_back(shown(grid_.header[i]));
        }
    }
    return out;
}

}  // namespace nestround::intake
