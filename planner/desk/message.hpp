/// \file message.hpp
/// \brief A request to the desk and its answer, as values that know no socket.
///
/// Purpose:  handlers are plain functions from one to the other, so that rooms are tested without a
///           server.
/// Units:    none.
/// Range:    names of headers are compared without regard to case; text is UTF-8.
/// Accuracy: not applicable.
/// Errors:   refuse() makes the one form in which the desk says what went wrong.
/// Source:   RFC 9110 (statuses).
#pragma once

#include <functional>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace nestround::desk {

/// Keeps the order in which members are written.
using Json = nlohmann::ordered_json;

struct NameOrder {
    using is_transparent = void;
    bool operator()(std::string_view a, std::string_view b) const;
};
using Headers = std::map<std::string, std::string, NameOrder>;

enum class Method { Get, Post, Put, Patch, Delete };
[[nodiscard]] std::string_view text(Method method);  ///< "GET"
[[nodiscard]] bool changes_something(Method method);

struct Request {
    Method method = Method::Get;
    std::string path;                                    ///< without query, percent-decoded
    std::map<std::string, std::string> path_parameters;  ///< filled by answer()
    std::multimap<std::string, std::string> query;
    Headers headers;
    std::string body;
    std::string person;   ///< who sits there, from Nestround-Person; may be empty
    std::string session;  ///< the token that came along

    [[nodiscard]] std::string header(std::string_view name) const;  ///< empty when absent
    /// The first value of a query's name.
    [[nodiscard]] std::optional<std::string> asked(const std::string& name) const;
    [[nodiscard]] const std::string& parameter(const std::string& name) const;  ///< of the path
};

struct Answer {
    int status = 200;
    std::string content_type = "application/json";
    Headers headers;
    std::string body;
    /// When set, the body comes in pieces: gives the next one, an empty one to keep the line open,
    /// or nothing at the end. Waits a second at most.
    std::function<std::optional<std::string>()> pieces;
};

/// A request that cannot be granted; handlers throw it, answer() catches it.
struct Refusal {
    int status = 400;
    std::string code;     ///< a word for programs: "no_such_call"
    std::string message;  ///< one line for a person
    std::string field;    ///< of the body or query, empty when none is to blame
};

[[nodiscard]] Answer json(const Json& body, int status = 200);
/// {"error": {"code", "message", "field"}}
[[nodiscard]] Answer refuse(const Refusal& refusal);
/// The body as an object; throws Refusal 415 for another content type and 400 for what is no JSON.
[[nodiscard]] Json body_object(const Request& request);

}  // namespace nestround::desk
