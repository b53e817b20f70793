#include "planner/desk/assets.hpp"

namespace nestround::desk {

bool has_page() { return page_assets().size() > 1; }

std::optional<Answer> asset(const Request& request, const std::string& token)
{
    const std::string_view path =
        request.path == "/" ? std::string_view{"/index.html"} : request.path;
    for (const Asset& file : page_assets()) {
        if (file.path != path) {
            continue;
        }
        Answer answer;
        answer.content_type = file.type;
        answer.body.assign(file.bytes.begin(), file.bytes.end());
        if (path == "/index.html") {
            static constexpr std::string_view kPlace = "__NESTROUND_SESSION__";
            if (const auto at = answer.body.find(kPlace); at != std::string::npos) {
                answer.body.replace(at, kPlace.size(), token);
            }
            answer.headers["Cache-Control"] = "no-store";
            return answer;
        }
        const std::string tag = '"' + std::string{file.hash.substr(0, 32)} + '"';
        answer.headers["ETag"] = tag;
        answer.headers["Cache-Control"] =
            file.for_ever ? "public, max-age=31536000, immutable" : "no-cache";
        if (request.header("If-None-Match").find(tag) != std::string::npos) {
            answer.status = 304;
            answer.body.clear();
            return answer;
        }
        if (file.packed) {
            answer.headers["Content-Encoding"] = "gzip";
            answer.headers["Vary"] = "Accept-Encoding";
        }
        return answer;
    }
    return std::nullopt;
}

}  // namespace nestround::desk
