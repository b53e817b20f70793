#include "planner/app/find_place.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geocore/place/coordinate_text.hpp"
#include "geocore/place/geodesic.hpp"
#include "geocore/place/open_location_code.hpp"

namespace nestround::app {

namespace {

using Places = std::vector<FoundPlace>;

std::string degrees(LonLat at)
{
    return fmt::format("{:.5f}, {:.5f}", at.lat.value(), at.lon.value());
}

std::string trimmed(std::string_view text)
{
    const auto first = text.find_first_not_of(" \t,");
    const auto last = text.find_last_not_of(" \t,");
    return first == std::string_view::npos ? std::string{}
                                           : std::string{text.substr(first, last - first + 1)};
}

void tell_distance(FoundPlace& place, const PlaceSources& sources)
{
    if (sources.near) {
        place.away = place::geodesic_distance(*sources.near, place.at);
    }
}

std::optional<Result<Places>> by_coordinates(const std::string& text, const PlaceSources& sources)
{
    const auto reading = place::read_coordinates(text);
    if (!reading) {
        return std::nullopt;
    }
    if (!is_on_earth(reading->at)) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is not on Earth; latitude comes first", text));
    }
    FoundPlace place;
    place.shown = text;
    place.how = place::text(reading->notation);
    place.at = reading->at;
    place.uncertainty = reading->uncertainty;
    if (reading->longitude_first) {
        place.remark = "latitude first is not on Earth; read as longitude, latitude";
        place.exact = false;
    }
    tell_distance(place, sources);
    if (reading->swapped) {
        const bool grid = reading->notation == place::Notation::Utm;
        const std::string other = degrees(*reading->swapped);
        const auto far = [&](LonLat at) { return place::geodesic_distance(*sources.near, at); };
        if (!sources.near) {
            place.remark = fmt::format(
                "{}; if not, {}",
                grid ? "S read as a band of the north" : "read as latitude, longitude", other);
        } else if (far(*reading->swapped) < far(place.at)) {
            place.remark = fmt::format(
                "{} is nearer; {}", other,
                grid ? "is S the southern half?" : "are latitude and longitude swapped?");
            place.exact = false;
        }
    }
    return Places{place};
}

/// The whole code from a short one: by the place named behind it, else by where one is.
Result<std::string> whole_code(const std::string& code, const std::string& behind,
                               const PlaceSources& sources)
{
    if (place::plus_code_kind(code) == place::PlusCode::Full) {
        return code;
    }
    if (!behind.empty()) {
        auto wide = sources;
        const auto around = find_places(behind, wide);
        if (!around) {
            return tl::unexpected{around.error()};
        }
        const auto best = std::find_if(around->begin(), around->end(),
                                       [](const FoundPlace& place) { return place.exact; });
        if (best == around->end()) {
            return fail(ErrorCode::InvalidInput,
                        fmt::format("plus code {}: no place named '{}' is known", code, behind));
        }
        return place::recover_plus_code(code, best->at);
    }
    if (sources.near) {
        return place::recover_plus_code(code, *sources.near);
    }
    return fail(ErrorCode::InvalidInput,
                fmt::format("plus code {} is a short one; write the place it belongs to behind it, "
                            "or give --near LAT,LON",
                            code));
}

std::optional<Result<Places>> by_plus_code(const std::string& text, const PlaceSources& sources)
{
    const auto blank = text.find_first_of(" ,");
    const std::string code = text.substr(0, blank);
    if (place::plus_code_kind(code) == place::PlusCode::None) {
        return std::nullopt;
    }
    const std::string behind =
        blank == std::string::npos ? std::string{} : trimmed(text.substr(blank));
    const auto whole = whole_code(code, behind, sources);
    const auto area = whole ? place::decode_plus_code(*whole) : tl::unexpected{whole.error()};
    if (!area) {
        return tl::unexpected{area.error()};
    }
    FoundPlace place;
    place.shown = place::recover_plus_code(*whole, {}).value();
    place.how = "plus code";
    place.at = area->centre();
    place.uncertainty = place::geodesic_distance({Longitude{area->west}, Latitude{area->south}},
                                                 {Longitude{area->east}, Latitude{area->north}}) *
                        0.5;
    tell_distance(place, sources);
    return Places{place};
}

FoundPlace from_answer(const gazetteer::Answer& answer)
{
    FoundPlace place;
    place.shown = answer.shown;
    place.how = gazetteer::text(answer.found);
    place.at = answer.at;
    place.uncertainty = answer.uncertainty;
    place.exact = answer.exact();
    place.extra = answer.extra;
    place.remark = answer.remark;
    place.away = answer.away;
    const auto add = [&](const std::string& more) {
        place.remark += (place.remark.empty() ? "" : "; ") + more;
    };
    if (answer.edits > 0) {
        add("not quite as written");
    }
    if (!answer.unmatched.empty()) {
        add(fmt::format("'{}' fits nothing", answer.unmatched));
    }
    return place;
}

std::string listed(const Places& places, std::size_t most)
{
    std::string out;
    for (std::size_t i = 0; i < std::min(most, places.size()); ++i) {
        out += fmt::format("{}{} ({})", i == 0 ? "" : "; ", places[i].shown, degrees(places[i].at));
    }
    return out + (places.size() > most ? "; ..." : "");
}

}  // namespace

Result<std::vector<FoundPlace>> find_places(const std::string& text, const PlaceSources& sources)
{
    const std::string said = trimmed(text);
    if (auto found = by_coordinates(said, sources)) {
        return *found;
    }
    if (auto found = by_plus_code(said, sources)) {
        return *found;
    }
    if (sources.places == nullptr) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is no coordinates and no plus code; to find addresses name a "
                                "file of places with --places, or set places.file",
                                said));
    }
    gazetteer::Question question{said, sources.near, sources.typing, sources.limit};
    Places places;
    for (const auto& answer : sources.places->find(question)) {
        places.push_back(from_answer(answer));
    }
    return places;
}

Result<FoundPlace> place_of(const std::string& text, const PlaceSources& sources)
{
    const auto all = find_places(text, sources);
    if (!all) {
        return tl::unexpected{all.error()};
    }
    Places fitting;
    for (const auto& place : *all) {
        if (place.exact && (fitting.empty() || (place.extra == fitting.front().extra &&
                                                place.how == fitting.front().how))) {
            fitting.push_back(place);
        }
    }
    if (all->empty()) {
        return fail(
            ErrorCode::InvalidInput,
            fmt::format("'{}' is not found; write it as the map does, or give coordinates", text));
    }
    if (fitting.empty() && all->front().shown == trimmed(text)) {
        return fail(ErrorCode::InvalidInput, fmt::format("'{}': {}", text, all->front().remark));
    }
    if (fitting.empty()) {
        return fail(
            ErrorCode::InvalidInput,
            fmt::format("'{}' is not found as written; nearest: {}", text, listed(*all, 3)));
    }
    if (fitting.size() > 1) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' may be {} places: {}; add the town, or give coordinates",
                                text, fitting.size(), listed(fitting, 4)));
    }
    const auto& place = fitting.front();
    if (place.uncertainty && *place.uncertainty > kMostUncertain) {
        return fail(ErrorCode::InvalidInput,
                    fmt::format("'{}' is found only as a {}, uncertain by {:.0f} m; add the house "
                                "number, or give coordinates",
                                text, place.how, place.uncertainty->value()));
    }
    return place;
}

std::string how_found(const FoundPlace& place, const std::string& text)
{
    std::string out = fmt::format("place found as {} from '{}'", place.how, text);
    if (place.uncertainty) {
        out += fmt::format(", within {:.0f} m", std::ceil(place.uncertainty->value()));
    }
    return out + (place.remark.empty() ? "" : "; " + place.remark);
}

}  // namespace nestround::app
