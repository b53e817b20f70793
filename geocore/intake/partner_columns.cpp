#include "geocore/intake/partner_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>
#include <string_view>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/intake/fields.hpp"
#include "geocore/intake/partner_layer.hpp"

namespace nestround::intake {

namespace {

struct Names {
    const char* ours;
    std::vector<std::string_view> theirs;  ///< the first that is there is taken
};

const std::vector<Names>& vocabulary()
{
    static const std::vector<Names> list{
        {"key",
         {"occurrenceid", "uniqueid", "uuid", "guid", "nestid", "recordid", "id", "key",
          "catalognumber"}},
        {"lon", {"decimallongitude", "longitude", "lon", "long", "lng", "londeg"}},
        {"lat", {"decimallatitude", "latitude", "lat", "latdeg"}},
        {"x", {"x", "easting", "eastings", "xcoord"}},
        {"y", {"y", "northing", "northings", "ycoord"}},
        {"datum", {"geodeticdatum"}},
        {"taxon",
         {"scientificname", "acceptedscientificname", "taxon", "taxonname", "species",
          "speciesname", "wasp", "vernacularname", "commonname"}},
        {"genus", {"genus"}},
        {"epithet", {"specificepithet"}},
        {"date",
         {"eventdate", "date", "observedon", "observationdate", "dateobserved", "reported",
          "reportedon", "foundon", "datefound", "seenon", "received", "timestamp", "begin"}},
        {"year", {"year"}},
        {"month", {"month"}},
        {"day", {"day"}},
        {"season", {"season"}},
        {"uncertainty_m",
         {"coordinateuncertaintyinmeters", "uncertaintym", "accuracym", "precisionm", "radiusm"}},
        {"uncertainty_ft", {"uncertaintyft", "accuracyft", "radiusft"}},
        {"count", {"nests", "nestcount", "numberofnests"}},
        {"quantity", {"organismquantity"}},
        {"quantity_type", {"organismquantitytype"}},
        {"status", {"occurrencestatus"}},
        {"footprint", {"footprintwkt"}},
        {"generalised", {"datageneralizations"}},
        {"square", {"square"}},
    };
    return list;
}

constexpr std::array<std::string_view, 5> kWithoutUnit{"uncertainty", "accuracy", "precision",
                                                       "radius", "error"};

/// Letters and digits alone, in lower case.
std::string squeezed(std::string_view name)
{
    std::string out;
    for (const char c : folded(name)) {
        if (c != '_' && c != '.') {
            out += c;
        }
    }
    return out;
}

bool names_it(std::string_view theirs, std::string_view spelling, std::size_t limit)
{
    const auto found = squeezed(theirs);
    return found == spelling || (limit > 0 && theirs.size() == limit &&
                                 spelling.size() > found.size() && spelling.starts_with(found));
}

}  // namespace

const std::vector<std::string>& partner_columns()
{
    static const auto list = [] {
        std::vector<std::string> out;
        for (const auto& one : vocabulary()) {
            out.emplace_back(one.ours);
        }
        return out;
    }();
    return list;
}

ChosenColumns choose_columns(const std::vector<std::string>& header, std::size_t name_limit,
                             const std::map<std::string, std::string>& mapping,
                             const std::string& file)
{
    ChosenColumns out;
    std::set<std::string> used;
    for (const auto& [ours, wanted] : mapping) {
        const auto& known = partner_columns();
        if (std::find(known.begin(), known.end(), ours) == known.end()) {
            throw Failure{ErrorCode::BadUsage,
                          fmt::format("no column '{}' is known here; known are {}", shown(ours),
                                      joined(known)),
                          "--column"};
        }
        const auto at = std::find_if(header.begin(), header.end(), [&](const std::string& name) {
            return name == wanted || folded(name) == folded(wanted);
        });
        if (at == header.end()) {
            std::vector<std::string> there;
            for (std::size_t i = 0; i < header.size() && i < 40; ++i) {
                there.push_back(shown(header[i]));
            }
            throw Failure{
                ErrorCode::BadUsage,
                fmt::format("{} has no column '{}'; it has {}", file, shown(wanted), joined(there)),
                "--column"};
        }
        out.theirs[ours] = *at;
        used.insert(*at);
    }
    for (const auto& one : vocabulary()) {
        for (const auto spelling : one.theirs) {
            const auto at = std::find_if(header.begin(), header.end(), [&](const auto& name) {
                return !used.contains(name) && names_it(name, spelling, name_limit);
            });
            if (at != header.end() && !out.theirs.contains(one.ours)) {
                out.theirs[one.ours] = *at;
                used.insert(*at);
            }
        }
    }
    for (const auto& name : header) {
        if (used.contains(name)) {
            continue;
        }
        const auto plain = squeezed(name);
        if (std::find(kWithoutUnit.begin(), kWithoutUnit.end(), plain) != kWithoutUnit.end() &&
            !out.theirs.contains("uncertainty_m")) {
            out.notes.push_back(
                fmt::format("column '{0}' names no unit and is not read; if it is in "
                            "metres, say --column uncertainty_m={0}",
                            shown(name)));
        }
        out.unused.push_back(shown(name));
    }
    return out;
}

}  // namespace nestround::intake
