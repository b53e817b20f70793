#include "planner/app/build_places.hpp"

#include <filesystem>

#include "geocore/base/error.hpp"
#include "geocore/gazetteer/place_file.hpp"
#include "geocore/intake/addresses_osm.hpp"
#include "geocore/intake/roads_osm.hpp"

namespace nestround::app {
namespace {

template <class T>
void append(std::vector<T>& to, std::vector<T>& from)
{
    to.insert(to.end(), std::make_move_iterator(from.begin()), std::make_move_iterator(from.end()));
}

void add_word(std::string& to, const std::string& word)
{
    if (!word.empty() && to.find(word) == std::string::npos) {
        to += (to.empty() ? "" : "; ") + word;
    }
}

}  // namespace

PlacesReport build_places(const PlacesToBuild& wish, const intake::Progress& progress)
{
    place::RawAddresses all;
    PlacesReport report;
    for (const auto& input : wish.inputs) {
        std::error_code problem;
        if (std::filesystem::equivalent(input, wish.output, problem)) {
            throw Failure{ErrorCode::BadUsage, "is both the input and the output", input};
        }
        auto raw = intake::is_osm_file(input) ? intake::read_osm_addresses(input, progress)
                                              : intake::read_layer_addresses(input, wish.columns);
        report.files.emplace_back(raw.source, raw.houses.size() + raw.runs.size() +
                                                  raw.stretches.size() + raw.settlements.size());
        append(all.houses, raw.houses);
        append(all.runs, raw.runs);
        append(all.stretches, raw.stretches);
        append(all.settlements, raw.settlements);
        add_word(all.source, raw.source);
        add_word(all.attribution, wish.attribution.empty() ? raw.attribution : wish.attribution);
    }
    if (progress) {
        progress("joining addresses", -1);
    }
    if (wish.inputs.size() > 1) {
        report.doubles = place::drop_doubles(all);
    }
    const auto list = place::join_addresses(all);
    if (list.spots.empty()) {
        throw Failure{ErrorCode::InvalidInput,
                      "holds no street names, house numbers or settlements", all.source};
    }
    if (progress) {
        progress("writing", -1);
    }
    gazetteer::save_places(wish.output, list, all.source, all.attribution);
    for (const auto& spot : list.spots) {
        ++(spot.kind == "street" ? report.streets : report.settlements);
    }
    report.houses = list.houses.size();
    for (const auto& house : list.houses) {
        report.filled_in += house.filled_in ? 1 : 0;
    }
    report.left_out = list.left_out;
    return report;
}

}  // namespace nestround::app
