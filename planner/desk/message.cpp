#include "planner/desk/message.hpp"

#include <algorithm>
#include <cctype>

namespace nestround::desk {
namespace {

char lower(char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); }

}  // namespace

bool NameOrder::operator()(std::string_view a, std::string_view b) const
{
    return std::lexicographical_compare(a.begin(), a.end(), b.begin(), b.end(),
                                        [](char x, char y) { return lower(x) < lower(y); });
}

std::string_view text(Method method)
{
    switch (method) {
        case Method::Get:
            return "GET";
        case Method::Post:
            return "POST";
        case Method::Put:
            return "PUT";
        case Method::Patch:
            return "PATCH";
        case Method::Delete:
            return "DELETE";
    }
    return "GET";
}

bool changes_something(Method method) { return method != Method::Get; }

std::string Request::header(std::string_view name) const
{
    const auto found = headers.find(name);
    return found == headers.end() ? std::string{} : found->second;
}

std::optional<std::string> Request::asked(const std::string& name) const
{
    const auto found = query.find(name);
    return found == query.end() ? std::nullopt : std::optional{found->second};
}

const std::string& Request::parameter(const std::string& name) const
{
    return path_parameters.at(name);
}

Answer json(const Json& body, int status)
{
    Answer answer;
    answer.status = status;
    // What is no UTF-8 in the book is shown with a replacement character, never refused.
    answer.body = body.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
    return answer;
}

Answer refuse(const Refusal& refusal)
{
    Json error{{"code", refusal.code}, {"message", refusal.message}};
    if (!refusal.field.empty()) {
        error["field"] = refusal.field;
    }
    auto answer = json(Json{{"error", error}}, refusal.status);
    answer.headers["Cache-Control"] = "no-store";
    return answer;
}

Json body_object(const Request& request)
{
    std::string type = request.header("Content-Type");
    type = type.substr(0, type.find(';'));
    while (!type.empty() && type.back() == ' ') {
        type.pop_back();
    }
    std::transform(type.begin(), type.end(), type.begin(), lower);
    if (type != "application/json") {
        throw Refusal{415, "wrong_type", "the body must be application/json", {}};
    }
    // Depth is limited, so that a body of brackets alone cannot exhaust the stack.
    constexpr int kDeepest = 32;
    const auto too_deep = [](int depth, Json::parse_event_t, Json&) {
        if (depth > kDeepest) {
            throw Refusal{400, "bad_json", "the body is nested too deeply", {}};
        }
        return true;
    };
    Json body = Json::parse(request.body, too_deep, false);
    if (!body.is_object()) {
        throw Refusal{400, "bad_json", "the body is no JSON object", {}};
    }
    return body;
}

}  // namespace nestround::desk
