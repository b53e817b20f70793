#include "planner/desk/room_support.hpp"

#include <fmt/format.h>

#include <cmath>

namespace nestround::desk {

Refusal Fields::wrong(const std::string& field, const std::string& complaint)
{
    return {422, "invalid", field + " " + complaint, field};
}

bool Fields::has(const char* name)
{
    asked_.emplace(name);
    return body_.contains(name);
}

const Json* Fields::member(const char* name)
{
    if (!has(name) || body_.at(name).is_null()) {
        return nullptr;
    }
    return &body_.at(name);
}

std::string Fields::text(const char* name, std::size_t longest)
{
    const auto* value = member(name);
    if (value == nullptr) {
        return {};
    }
    if (!value->is_string()) {
        throw wrong(name, "is text");
    }
    auto words = value->get<std::string>();
    if (words.size() > longest) {
        throw wrong(name, fmt::format("has {} characters at most", longest));
    }
    if (words.find('\0') != std::string::npos) {
        throw wrong(name, "holds a character that no text has");
    }
    return words;
}

std::optional<double> Fields::number(const char* name, double low, double high)
{
    const auto* value = member(name);
    if (value == nullptr) {
        return std::nullopt;
    }
    if (!value->is_number()) {
        throw wrong(name, "is a number");
    }
    const auto number = value->get<double>();
    if (!(number >= low && number <= high)) {
        throw wrong(name, fmt::format("lies between {:g} and {:g}", low, high));
    }
    return number;
}

std::optional<int> Fields::whole(const char* name, int low, int high)
{
    const auto value = number(name, low, high);
    if (value && *value != std::floor(*value)) {
        throw wrong(name, "is a whole number");
    }
    return value ? std::optional{static_cast<int>(*value)} : std::nullopt;
}

std::optional<bool> Fields::yes(const char* name)
{
    const auto* value = member(name);
    if (value == nullptr) {
        return std::nullopt;
    }
    if (!value->is_boolean()) {
        throw wrong(name, "is true or false");
    }
    return value->get<bool>();
}

std::optional<Day> Fields::day(const char* name)
{
    const auto words = text(name, 40);
    if (words.empty()) {
        return std::nullopt;
    }
    // An instant will do where a day is wanted.
    const auto day = parse_day(words.substr(0, 10));
    if (!day || (words.size() > 10 && words[10] != 'T')) {
        throw wrong(name, "is a day, as 2026-08-04");
    }
    return *day;
}

std::optional<Instant> Fields::instant(const char* name)
{
    const auto words = text(name, 40);
    if (words.empty()) {
        return std::nullopt;
    }
    const auto instant = parse_instant(words);
    if (!instant) {
        throw wrong(name, "is an instant in UTC, as 2026-08-04T06:30:00Z");
    }
    return *instant;
}

std::vector<std::string> Fields::texts(const char* name)
{
    std::vector<std::string> out;
    const auto* value = member(name);
    if (value == nullptr) {
        return out;
    }
    if (!value->is_array() || value->size() > 1000) {
        throw wrong(name, "is a list of texts");
    }
    for (const auto& one : *value) {
        if (!one.is_string()) {
            throw wrong(name, "is a list of texts");
        }
        out.push_back(one.get<std::string>());
    }
    return out;
}

void Fields::no_others() const
{
    for (const auto& [name, value] : body_.items()) {
        if (!asked_.contains(name)) {
            throw wrong(name, "is not known here");
        }
    }
}

Day day_typed(const Desk& desk, const std::string& text, const std::string& field)
{
    if (text.empty() || text == "today") {
        return desk.today();
    }
    if (text == "tomorrow") {
        return desk.today() + std::chrono::days{1};
    }
    const auto day = parse_day(text);
    if (!day) {
        throw Fields::wrong(field, "is a day, as 2026-08-04");
    }
    return *day;
}

Day day_asked(const Desk& desk, const Request& request, const std::string& name)
{
    return day_typed(desk, request.asked(name).value_or(""), name);
}

bool is_asked(const Request& request, const std::string& name)
{
    return request.asked(name) == "yes";
}

std::string person_of(const Request& request)
{
    constexpr std::size_t kLongest = 80;
    std::string who = request.person.substr(0, kLongest);
    // Not in the middle of a character.
    while (!who.empty() && who.size() == kLongest &&
           (static_cast<unsigned char>(who.back()) & 0x80U) != 0) {
        who.pop_back();
    }
    return who.empty() ? "the desk" : who;
}

Deed deed_of(const Desk& desk, const Request& request, std::string words)
{
    app::KeyMaker keys;
    Deed deed;
    deed.id = keys.make<DeedId>(desk.now());
    deed.who = person_of(request);
    deed.words = std::move(words);
    return deed;
}

CallId call_named(const book::Book& book, const std::string& key)
{
    if (const auto id = CallId::parse(key)) {
        if (book.call(*id)) {
            return *id;
        }
    }
    try {
        return book.find_call(key);
    } catch (const Failure& failure) {
        const bool none = failure.error().code == ErrorCode::NotFound;
        throw Refusal{none ? 404 : 422, none ? "no_such_call" : "invalid", failure.error().message,
                      "id"};
    }
}

std::optional<LonLat> home_of(const book::Book& book)
{
    const auto crews = book.crews();
    if (!crews.empty()) {
        return crews.front().depot;
    }
    const auto all = book.extent();
    if (!all) {
        return std::nullopt;
    }
    return LonLat{Longitude{(all->west + all->east) / 2}, Latitude{(all->south + all->north) / 2}};
}

Json spread(double low, double middle, double high)
{
    const auto finite = [](double value) {
        return std::isfinite(value) ? Json(value) : Json(nullptr);
    };
    return {{"p10", finite(low)}, {"p50", finite(middle)}, {"p90", finite(high)}};
}
Json spread(const Spread<double>& values) { return spread(values.low, values.middle, values.high); }
Json spread(const Spread<Grams>& values)
{
    return spread(values.low.value(), values.middle.value(), values.high.value());
}

Json or_null(const std::optional<Day>& day) { return day ? Json(format_day(*day)) : Json(nullptr); }
Json or_null(const std::optional<Instant>& instant)
{
    return instant ? Json(format_instant(*instant)) : Json(nullptr);
}
Json or_null(const std::optional<int>& value) { return value ? Json(*value) : Json(nullptr); }
Json words_or_null(const std::string& words) { return words.empty() ? Json(nullptr) : Json(words); }

}  // namespace nestround::desk
