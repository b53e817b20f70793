// The sites as an OGC API - Features service, for a GIS. No field of a client is in it, and none of
// a site but its place.
#include <array>
#include <cctype>
#include <charconv>
#include <cmath>
#include <set>

#include "planner/desk/server_routes.hpp"

namespace nestround::desk {
namespace {

constexpr const char* kCrs = "http://www.opengis.net/def/crs/OGC/1.3/CRS84";
constexpr std::size_t kUsualPage = 100;
constexpr std::size_t kLargestPage = 10000;

struct Collection {
    const char* id;
    const char* title;
    const char* description;
};
constexpr std::array kCollections{
    Collection{"nests", "Nests", "One colony in one season, with what became of it"},
    Collection{"calls", "Calls", "Each call that asked for a nest to be taken"},
};

/// Where the desk is for whoever asks.
std::string root(const Request& request)
{
    const auto host = request.header("Host");
    const auto scheme = request.header("Nestround-Scheme");
    return (scheme.empty() ? "http" : scheme) + "://" + host + "/ogc";
}

Json link(const std::string& to, const char* relation, const char* type, const std::string& title)
{
    return Json{{"href", to}, {"rel", relation}, {"type", type}, {"title", title}};
}

/// A parameter that is not known is an error, not passed over: the standard asks for it.
void only(const Request& request, const std::set<std::string>& known)
{
    for (const auto& [name, value] : request.query) {
        if (known.count(name) == 0) {
            throw Refusal{400, "unknown_parameter", "there is no parameter " + name, name};
        }
    }
    const auto form = request.asked("f");
    if (form && *form != "json") {
        throw Refusal{400, "unknown_form", "the only form is json", "f"};
    }
}

Answer landing(Desk&, const Request& request)
{
    only(request, {"f"});
    const auto here = root(request);
    return json(Json{
        {"title", "Nestround"},
        {"description", "Nests of social wasps and the calls about them, from one book"},
        {"links",
         Json::array({link(here, "self", "application/json", "This document"),
                      link(here.substr(0, here.size() - 4) + "/api/openapi.json", "service-desc",
                           "application/vnd.oai.openapi+json;version=3.1", "The interface"),
                      link(here + "/conformance", "conformance", "application/json",
                           "What of the standard is there"),
                      link(here + "/collections", "data", "application/json", "The data")})}});
}

Answer conformance(Desk&, const Request& request)
{
    only(request, {"f"});
    return json(Json{{"conformsTo",
                      {"http://www.opengis.net/spec/ogcapi-features-1/1.0/conf/core",
                       "http://www.opengis.net/spec/ogcapi-features-1/1.0/conf/geojson"}}});
}

Json described(Desk& desk, const Request& request, const Collection& collection)
{
    const auto here = root(request) + "/collections/" + collection.id;
    Json body{
        {"id", collection.id},
        {"title", collection.title},
        {"description", collection.description},
        {"itemType", "feature"},
        {"crs", Json::array({kCrs})},
        {"links",
         Json::array({link(here, "self", "application/json", collection.title),
                      link(here + "/items", "items", "application/geo+json", collection.title)})}};
    const auto extent = desk.read([](const book::Book& book) { return book.extent(); });
    if (extent) {
        body["extent"] = Json{{"spatial",
                               {{"bbox", Json::array({Json::array({extent->west, extent->south,
                                                                   extent->east, extent->north})})},
                                {"crs", kCrs}}}};
    }
    return body;
}

Answer collections(Desk& desk, const Request& request)
{
    only(request, {"f"});
    Json body;
    body["links"] = Json::array(
        {link(root(request) + "/collections", "self", "application/json", "This document")});
    body["collections"] = Json::array();
    for (const auto& one : kCollections) {
        body["collections"].push_back(described(desk, request, one));
    }
    return json(body);
}

const Collection& named(const Request& request)
{
    for (const auto& one : kCollections) {
        if (request.parameter("collection") == one.id) {
            return one;
        }
    }
    throw Refusal{404, "no_such_collection", "the collections are nests and calls", {}};
}

Answer collection(Desk& desk, const Request& request)
{
    only(request, {"f"});
    return json(described(desk, request, named(request)));
}

std::size_t count_of(const Request& request, const char* name, std::size_t otherwise,
                     std::size_t least)
{
    const auto text = request.asked(name);
    if (!text) {
        return otherwise;
    }
    std::size_t value = 0;
    const auto read = std::from_chars(text->data(), text->data() + text->size(), value);
    if (read.ec != std::errc{} || read.ptr != text->data() + text->size() || value < least) {
        throw Refusal{400, "bad_parameter", std::string{name} + " is no count", name};
    }
    return value;
}

std::optional<book::NestFilter::Window> window(const Request& request)
{
    const auto text = request.asked("bbox");
    if (!text) {
        return std::nullopt;
    }
    const Refusal bad{400, "bad_parameter",
                      "bbox is west,south,east,north in degrees, with two heights or without",
                      "bbox"};
    std::vector<double> numbers;
    const char* at = text->data();
    const char* const end = at + text->size();
    for (;;) {
        double value = 0;
        const auto read = std::from_chars(at, end, value);
        if (read.ec != std::errc{} || !std::isfinite(value)) {
            throw bad;
        }
        numbers.push_back(value);
        if (read.ptr == end) {
            break;
        }
        if (*read.ptr != ',') {
            throw bad;
        }
        at = read.ptr + 1;
    }
    if (numbers.size() == 6) {
        numbers = {numbers[0], numbers[1], numbers[3], numbers[4]};
    }
    if (numbers.size() != 4 || numbers[1] > numbers[3]) {
        throw bad;
    }
    return book::NestFilter::Window{numbers[0], numbers[1], numbers[2], numbers[3]};
}

struct Span {
    std::optional<Day> from;
    std::optional<Day> to;
};

Span span_of(const Request& request)
{
    Span out;
    const auto text = request.asked("datetime");
    if (!text) {
        return out;
    }
    const auto side = [](std::string_view word) -> std::optional<Day> {
        if (word.empty() || word == "..") {
            return std::nullopt;
        }
        const auto day = parse_day(word.substr(0, 10));
        if (!day || (word.size() > 10 && word[10] != 'T')) {
            throw Refusal{
                400, "bad_parameter",
                "datetime is an instant or two with a slash between, '..' for an open end",
                "datetime"};
        }
        return *day;
    };
    const auto slash = text->find('/');
    const std::string_view whole{*text};
    out.from = side(whole.substr(0, slash));
    out.to = slash == std::string::npos ? out.from : side(whole.substr(slash + 1));
    if (out.from && out.to && *out.from > *out.to) {
        throw Refusal{400, "bad_parameter", "datetime ends before it begins", "datetime"};
    }
    return out;
}

bool holds(const Span& span, const std::optional<Day>& begin, const std::optional<Day>& end)
{
    if (!span.from && !span.to) {
        return true;
    }
    return begin && (!span.to || *begin <= *span.to) && (!span.from || !end || *end >= *span.from);
}

bool holds(const std::optional<book::NestFilter::Window>& window, LonLat place)
{
    if (!window) {
        return true;
    }
    const double lon = place.lon.value();
    const double lat = place.lat.value();
    // West of east: the window lies across the antimeridian.
    const bool between = window->west <= window->east ? lon >= window->west && lon <= window->east
                                                      : lon >= window->west || lon <= window->east;
    return between && lat >= window->south && lat <= window->north;
}

template <class Value>
Json or_null(const std::optional<Value>& value)
{
    if (!value) {
        return nullptr;
    }
    if constexpr (std::is_same_v<Value, Day>) {
        return format_day(*value);
    } else {
        return value->value();
    }
}

Json feature(const std::string& id, LonLat place, Json properties)
{
    return Json{
        {"type", "Feature"},
        {"id", id},
        {"geometry",
         {{"type", "Point"}, {"coordinates", Json::array({place.lon.value(), place.lat.value()})}}},
        {"properties", std::move(properties)}};
}

Json nest_feature(const book::NestRow& row)
{
    return feature(row.nest.id.text(), row.place,
                   Json{{"season", row.nest.season},
                        {"taxon", row.nest.taxon},
                        {"kind", text(row.nest.kind)},
                        {"height_m", or_null(row.nest.height)},
                        {"state", row.state ? Json(text(*row.state)) : Json{}},
                        {"received", or_null(row.received)},
                        {"closed", or_null(row.closed)},
                        {"caught_g", or_null(row.caught)}});
}

Json call_feature(const CallSheet& sheet)
{
    return feature(sheet.call.id.text(), sheet.site.place,
                   Json{{"nest", sheet.nest.id.text()},
                        {"season", sheet.nest.season},
                        {"taxon", sheet.nest.taxon},
                        {"state", text(sheet.call.state)},
                        {"received", format_day(sheet.call.received)},
                        {"closed", or_null(sheet.call.closed)},
                        {"must_take", sheet.call.must_take}});
}

/// What the filters let through, from `offset` on; counts all.
struct Page {
    std::size_t offset = 0;
    std::size_t limit = kUsualPage;
    std::size_t matched = 0;
    Json features = Json::array();

    /// Whether the next one that matches is on the page.
    bool next() { return matched++ >= offset && features.size() < limit; }
};

constexpr Day kFarAway = std::chrono::sys_days{std::chrono::year{9999} / 12 / 31};

void put_nests(const book::Book& book, const Request& request, Page& page)
{
    const auto box = window(request);
    const auto span = span_of(request);
    book::NestFilter filter;
    if (box && box->west <= box->east) {
        filter.window = box;
    }
    for (const auto number : book.nest_numbers(filter)) {
        const bool unfiltered = !box && !span.from && !span.to;
        if (unfiltered && !(page.matched >= page.offset && page.features.size() < page.limit)) {
            ++page.matched;  // counted without being read
            continue;
        }
        const auto row = book.nest_row(number);
        if (row && holds(box, row->place) && holds(span, row->received, row->closed) &&
            page.next()) {
            page.features.push_back(nest_feature(*row));
        }
    }
}

void put_calls(const book::Book& book, const Request& request, Page& page)
{
    const auto box = window(request);
    const auto span = span_of(request);
    for (const auto& sheet : book.calls(kFarAway)) {
        if (holds(box, sheet.site.place) && holds(span, sheet.call.received, sheet.call.closed) &&
            page.next()) {
            page.features.push_back(call_feature(sheet));
        }
    }
}

std::string encoded(const std::string& text)
{
    static constexpr std::string_view kDigits = "0123456789ABCDEF";
    std::string out;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        if (std::isalnum(byte) != 0 || c == '-' || c == '.' || c == '_' || c == ',' || c == ':') {
            out += c;
        } else {
            out += '%';
            out += kDigits[byte >> 4U];
            out += kDigits[byte & 15U];
        }
    }
    return out;
}

Answer items(Desk& desk, const Request& request)
{
    const auto& of = named(request);
    only(request, {"f", "bbox", "datetime", "limit", "offset"});
    Page page;
    page.limit = std::min(count_of(request, "limit", kUsualPage, 1), kLargestPage);
    page.offset = count_of(request, "offset", 0, 0);
    desk.read([&](const book::Book& book) {
        if (of.id == std::string_view{"nests"}) {
            put_nests(book, request, page);
        } else {
            put_calls(book, request, page);
        }
    });
    const auto here = root(request) + "/collections/" + of.id;
    const auto at = [&](std::size_t offset) {
        std::string query = "?limit=" + std::to_string(page.limit);
        for (const char* name : {"bbox", "datetime"}) {
            if (const auto value = request.asked(name)) {
                query += std::string{"&"} + name + "=" + encoded(*value);
            }
        }
        return here + "/items" + query + (offset == 0 ? "" : "&offset=" + std::to_string(offset));
    };
    Json links = Json::array({link(at(page.offset), "self", "application/geo+json", of.title),
                              link(here, "collection", "application/json", of.title)});
    if (page.offset + page.features.size() < page.matched) {
        links.push_back(link(at(page.offset + page.features.size()), "next", "application/geo+json",
                             "The next page"));
    }
    const auto count = page.features.size();
    auto answer = json(Json{{"type", "FeatureCollection"},
                            {"timeStamp", format_instant(desk.now())},
                            {"numberMatched", page.matched},
                            {"numberReturned", count},
                            {"links", links},
                            {"features", std::move(page.features)}});
    answer.content_type = "application/geo+json";
    return answer;
}

Answer item(Desk& desk, const Request& request)
{
    const auto& of = named(request);
    only(request, {"f"});
    const Refusal none{404, "no_such_feature", "there is no feature of that id", {}};
    const auto id = Uuid::parse(request.parameter("feature"));
    if (!id) {
        throw none;
    }
    Json body;
    desk.read([&](const book::Book& book) {
        if (of.id == std::string_view{"calls"}) {
            if (const auto sheet = book.call(CallId{*id})) {
                body = call_feature(*sheet);
            }
            return;
        }
        const auto nest = book.nest(NestId{*id});
        const auto site = nest ? book.site(nest->site) : std::nullopt;
        if (!site) {
            return;
        }
        const double lon = site->place.lon.value();
        const double lat = site->place.lat.value();
        book::NestFilter filter;
        filter.window = book::NestFilter::Window{lon, lat, lon, lat};
        for (const auto number : book.nest_numbers(filter)) {
            const auto row = book.nest_row(number);
            if (row && row->nest.id.uuid() == *id) {
                body = nest_feature(*row);
            }
        }
    });
    if (body.is_null()) {
        throw none;
    }
    const auto here = root(request) + "/collections/" + of.id;
    body["links"] =
        Json::array({link(here + "/items/" + id->text(), "self", "application/geo+json", of.title),
                     link(here, "collection", "application/json", of.title)});
    auto answer = json(body);
    answer.content_type = "application/geo+json";
    return answer;
}

constexpr std::array kRoutes{
    Route{Method::Get, "/ogc", landing},
    Route{Method::Get, "/ogc/", landing},
    Route{Method::Get, "/ogc/conformance", conformance},
    Route{Method::Get, "/ogc/collections", collections},
    Route{Method::Get, "/ogc/collections/{collection}", collection},
    Route{Method::Get, "/ogc/collections/{collection}/items", items},
    Route{Method::Get, "/ogc/collections/{collection}/items/{feature}", item},
};

}  // namespace

std::span<const Route> ogc_routes() { return kRoutes; }

}  // namespace nestround::desk
