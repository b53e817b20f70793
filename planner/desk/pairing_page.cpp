#include "planner/desk/pairing_page.hpp"

#include <algorithm>
#include <cctype>

namespace nestround::desk {
namespace {

Answer form(int status, const std::string& says, const std::string& code)
{
    // Only letters and digits are put back, so that nothing typed becomes markup.
    std::string tidy;
    for (const char c : code.substr(0, 16)) {
        if (std::isalnum(static_cast<unsigned char>(c)) != 0) {
            tidy += c;
        }
    }
    Answer answer;
    answer.status = status;
    answer.content_type = "text/html; charset=utf-8";
    answer.body =
        "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">"
        "<title>Nestround: pair this device</title></head><body>"
        "<h1>Pair this device</h1><p>" +
        says +
        "</p><form method=\"post\" action=\"/pair\"><p><label for=\"code\">Code</label> "
        "<input id=\"code\" name=\"code\" autocomplete=\"off\" autocapitalize=\"characters\" "
        "maxlength=\"10\" required value=\"" +
        tidy + "\"></p><p><button type=\"submit\">Pair</button></p></form></body></html>\n";
    return answer;
}

}  // namespace

Answer pairing_page(Pairing& pairing, const Request& request)
{
    const auto now = Pairing::Clock::now();
    if (request.method == Method::Get) {
        return form(200, "Type the code that stands in the window where the desk was started.",
                    request.asked("code").value_or(""));
    }
    if (request.method != Method::Post) {
        return refuse({405, "wrong_method", "that path answers GET, POST", {}});
    }
    if (pairing.locked(now)) {
        return form(429, "Too many wrong codes: wait a minute.", {});
    }
    const auto device = pairing.pair(request.asked("code").value_or(""), now);
    if (!device) {
        return pairing.locked(now) ? form(429, "Too many wrong codes: wait a minute.", {})
                                   : form(403, "That is not the code. A code is good once.", {});
    }
    Answer answer;
    answer.status = 303;
    answer.content_type = "text/plain";
    answer.headers["Location"] = "/";
    answer.headers["Set-Cookie"] = std::string{kDeviceCookie} + "=" + *device +
                                   "; Path=/; HttpOnly; Secure; SameSite=Strict; Max-Age=" +
                                   std::to_string(std::chrono::seconds{Pairing::kLasts}.count());
    return answer;
}

}  // namespace nestround::desk
