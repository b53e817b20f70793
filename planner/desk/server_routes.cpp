#include "planner/desk/server_routes.hpp"

#include <array>
#include <charconv>
#include <span>

#include "geocore/base/text_file.hpp"

namespace nestround::embedded {
std::span<const TextFile> desk_interface();
}

namespace nestround::desk {
namespace {

/// Server-sent events; takes up after Last-Event-ID.
Answer events(Desk& desk, const Request& request)
{
    std::uint64_t after = desk.events().last();
    const auto last = request.header("Last-Event-ID");
    if (!last.empty()) {
        const auto read = std::from_chars(last.data(), last.data() + last.size(), after);
        if (read.ec != std::errc{} || read.ptr != last.data() + last.size()) {
            throw Refusal{400, "bad_event", "Last-Event-ID is no number", "Last-Event-ID"};
        }
    }
    Answer answer;
    answer.content_type = "text/event-stream";
    answer.headers["Cache-Control"] = "no-store";
    answer.pieces = [&hub = desk.events(), after, first = true,
                     quiet = 0]() mutable -> std::optional<std::string> {
        if (first) {
            first = false;
            return "retry: 1000\n\n";
        }
        const auto news = hub.wait(after, std::chrono::milliseconds{1000});
        if (!news) {
            return std::nullopt;
        }
        std::string text;
        for (const Event& event : *news) {
            text += event_text(event);
            after = event.number;
        }
        if (!text.empty()) {
            quiet = 0;
        } else if (++quiet == 10) {
            // A line of comment shows a broken connection to both sides.
            quiet = 0;
            text = ": still here\n\n";
        }
        return text;
    };
    return answer;
}

Refusal no_work() { return {404, "no_such_work", "no work of that name is remembered", {}}; }

Answer work(Desk& desk, const Request& request)
{
    const auto state = desk.works().state(request.parameter("id"));
    if (!state) {
        throw no_work();
    }
    Json body{{"work", request.parameter("id")},
              {"state", state->state},
              {"share", state->share},
              {"words", state->words}};
    if (state->state == "finished") {
        body["result"] = state->result;
    } else if (state->state == "failed") {
        body["error"] = Json{{"code", state->error_code}, {"message", state->error}};
    }
    auto answer = json(body);
    answer.headers["Cache-Control"] = "no-store";
    return answer;
}

Answer cancel(Desk& desk, const Request& request)
{
    if (!desk.works().cancel(request.parameter("id"))) {
        throw no_work();
    }
    Answer answer;
    answer.status = 204;
    return answer;
}

/// The interface's own document.
Answer document(Desk&, const Request&)
{
    Answer answer;
    answer.content_type = "application/json";
    answer.headers["Cache-Control"] = "no-cache";
    answer.body = embedded::desk_interface().front().text;
    return answer;
}

constexpr std::array kRoutes{
    Route{Method::Get, "/api/openapi.json", document},
    Route{Method::Get, "/api/events", events},
    Route{Method::Get, "/api/works/{id}", work},
    Route{Method::Delete, "/api/works/{id}", cancel},
};

}  // namespace

std::span<const Route> server_routes() { return kRoutes; }

}  // namespace nestround::desk
