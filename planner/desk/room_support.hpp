/// \file room_support.hpp
/// \brief What all rooms do with a request: read its fields, name who asks, find a call.
///
/// Purpose:  one way to refuse what cannot be understood, with the field it is about.
/// Units:    in the names of fields: _m, _g.
/// Range:    a field that nobody asked for is refused: it may be a mistyped one.
/// Accuracy: not applicable.
/// Errors:   Refusal 422 naming the field.
/// Source:   own.
#pragma once

#include <optional>
#include <set>
#include <string>
#include <vector>

#include "geocore/base/spread.hpp"
#include "planner/app/clockwork.hpp"
#include "planner/desk/desk.hpp"
#include "planner/desk/message.hpp"

namespace nestround::desk {

/// The members of a body, read by name. Null is as good as absent, but has() tells it.
class Fields {
public:
    explicit Fields(const Json& body) : body_{body} {}

    [[nodiscard]] bool has(const char* name);
    [[nodiscard]] std::string text(const char* name, std::size_t longest = 2000);  ///< or empty
    [[nodiscard]] std::optional<double> number(const char* name, double low, double high);
    [[nodiscard]] std::optional<int> whole(const char* name, int low, int high);
    [[nodiscard]] std::optional<bool> yes(const char* name);
    [[nodiscard]] std::optional<Day> day(const char* name);
    [[nodiscard]] std::optional<Instant> instant(const char* name);
    [[nodiscard]] std::vector<std::string> texts(const char* name);
    [[nodiscard]] const Json* member(const char* name);  ///< nothing when absent or null
    template <class Parse>
    [[nodiscard]] auto word(const char* name, Parse parse) -> decltype(parse(std::string_view{}))
    {
        if (member(name) == nullptr) {
            return std::nullopt;
        }
        const auto value = parse(std::string_view{text(name)});
        if (!value) {
            throw wrong(name, "is not one of the words this may be");
        }
        return value;
    }
    /// Refuses what was not asked for above.
    void no_others() const;

    [[nodiscard]] static Refusal wrong(const std::string& field, const std::string& complaint);

private:
    const Json& body_;
    std::set<std::string, std::less<>> asked_;
};

/// The day of a query, as 2026-08-04, "today" or "tomorrow"; without one the desk's.
[[nodiscard]] Day day_asked(const Desk& desk, const Request& request,
                            const std::string& name = "on");
[[nodiscard]] Day day_typed(const Desk& desk, const std::string& text, const std::string& field);
/// Whether a query's name is "yes".
[[nodiscard]] bool is_asked(const Request& request, const std::string& name);

/// Who does this, as the page says; "the desk" when it does not.
[[nodiscard]] std::string person_of(const Request& request);
[[nodiscard]] Deed deed_of(const Desk& desk, const Request& request, std::string words);

/// A key in full, or what a person types for a call; Refusal 404.
[[nodiscard]] CallId call_named(const book::Book& book, const std::string& key);
/// Where crews set off, else the middle of all sites.
[[nodiscard]] std::optional<LonLat> home_of(const book::Book& book);

[[nodiscard]] Json spread(double low, double middle, double high);
[[nodiscard]] Json spread(const Spread<double>& values);
[[nodiscard]] Json spread(const Spread<Grams>& values);
template <class Unit>
[[nodiscard]] Json or_null(const std::optional<Quantity<Unit>>& value)
{
    return value ? Json(value->value()) : Json(nullptr);
}
[[nodiscard]] Json or_null(const std::optional<Day>& day);
[[nodiscard]] Json or_null(const std::optional<Instant>& instant);
[[nodiscard]] Json or_null(const std::optional<int>& value);
[[nodiscard]] Json words_or_null(const std::string& words);

}  // namespace nestround::desk
