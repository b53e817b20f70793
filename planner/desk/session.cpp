#include "planner/desk/session.hpp"

#include <sys/random.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>

#include "geocore/base/error.hpp"

namespace nestround::desk {
namespace {

void fill_random(unsigned char* bytes, std::size_t count)
{
    while (count > 0) {
        const auto got = getrandom(bytes, count, 0);
        if (got <= 0) {
            throw Failure{ErrorCode::Internal, "the system gives no random numbers"};
        }
        bytes += got;
        count -= static_cast<std::size_t>(got);
    }
}

/// Eight characters that cannot be taken for one another, about 39 bits.
std::string fresh_code()
{
    static constexpr std::string_view kLetters = "23456789ABCDEFGHJKMNPQRSTVWXYZ";
    std::string code;
    while (code.size() < 8) {
        unsigned char byte = 0;
        fill_random(&byte, 1);
        if (byte < 256 / kLetters.size() * kLetters.size()) {  // each letter equally often
            code += kLetters[byte % kLetters.size()];
        }
    }
    return code;
}

std::string lower(std::string text)
{
    for (char& c : text) {
        c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
    return text;
}

std::string media_type(const Request& request)
{
    auto type = request.header("Content-Type");
    type = type.substr(0, type.find(';'));
    while (!type.empty() && type.back() == ' ') {
        type.pop_back();
    }
    return lower(type);
}

std::optional<Answer> refused_body(const Request& request)
{
    // A body without a length, or a packed one, has no limit that holds beforehand.
    if (!request.header("Transfer-Encoding").empty()) {
        return refuse({411, "length_required", "send the body with Content-Length", {}});
    }
    if (!request.header("Content-Encoding").empty()) {
        return refuse({415, "wrong_type", "send the body unpacked", "Content-Encoding"});
    }
    const auto length = request.header("Content-Length");
    std::size_t bytes = 0;
    if (!length.empty()) {
        const auto end = length.data() + length.size();
        const auto read = std::from_chars(length.data(), end, bytes);
        if (read.ec == std::errc::result_out_of_range) {
            return refuse({413, "too_large", "the body is too large", {}});
        }
        if (read.ec != std::errc{} || read.ptr != end) {
            return refuse({400, "bad_length", "Content-Length is no number", {}});
        }
    } else if (changes_something(request.method) && request.method != Method::Delete) {
        return refuse({411, "length_required", "send the body with Content-Length", {}});
    }
    if (bytes == 0) {
        return std::nullopt;
    }
    const auto type = media_type(request);
    const bool picture = type == "image/jpeg" || type == "image/png" || type == "image/webp";
    const bool form = type == "application/x-www-form-urlencoded" && request.path == "/pair";
    if (!picture && !form && type != "application/json") {
        return refuse({415,
                       "wrong_type",
                       "the body must be application/json, or a picture as JPEG, PNG or WebP",
                       {}});
    }
    if (bytes > (picture ? kMostPicture : kMostBody)) {
        return refuse({413,
                       "too_large",
                       picture ? "a picture may have 12 MB at most" : "the body is too large",
                       {}});
    }
    return std::nullopt;
}

}  // namespace

std::string random_token(std::size_t bytes)
{
    static constexpr std::string_view kDigits = "0123456789abcdef";
    std::vector<unsigned char> raw(bytes);
    fill_random(raw.data(), raw.size());
    std::string text;
    for (const unsigned char byte : raw) {
        text += kDigits[byte >> 4U];
        text += kDigits[byte & 15U];
    }
    return text;
}

bool same_secret(std::string_view a, std::string_view b)
{
    if (a.size() != b.size()) {
        return false;
    }
    unsigned difference = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        difference |= static_cast<unsigned char>(a[i]) ^ static_cast<unsigned char>(b[i]);
    }
    return difference == 0;
}

Pairing::Pairing() : code_{fresh_code()} {}

std::string Pairing::code() const
{
    const std::lock_guard lock{mutex_};
    return code_;
}

std::optional<std::string> Pairing::pair(std::string_view typed, Clock::time_point now)
{
    std::string tidy;
    for (const char c : typed) {
        if (c != ' ' && c != '-') {
            tidy += static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
        }
    }
    const std::lock_guard lock{mutex_};
    if (now < locked_until_) {
        return std::nullopt;
    }
    if (!same_secret(tidy, code_)) {
        if (++wrong_ >= kMostWrong) {
            wrong_ = 0;
            locked_until_ = now + kLocked;
        }
        return std::nullopt;
    }
    wrong_ = 0;
    code_ = fresh_code();
    std::erase_if(devices_, [&](const Device& device) { return device.until <= now; });
    devices_.push_back({random_token(), now + kLasts});
    return devices_.back().token;
}

bool Pairing::locked(Clock::time_point now) const
{
    const std::lock_guard lock{mutex_};
    return now < locked_until_;
}

bool Pairing::knows(std::string_view token, Clock::time_point now) const
{
    const std::lock_guard lock{mutex_};
    return std::any_of(devices_.begin(), devices_.end(), [&](const Device& device) {
        return now < device.until && same_secret(device.token, token);
    });
}

std::string cookie(const Request& request, std::string_view name)
{
    const auto all = request.header("Cookie");
    std::string_view rest = all;
    while (!rest.empty()) {
        const auto end = rest.find(';');
        auto part = rest.substr(0, end);
        rest = end == std::string_view::npos ? std::string_view{} : rest.substr(end + 1);
        while (part.starts_with(' ')) {
            part.remove_prefix(1);
        }
        if (part.starts_with(name) && part.size() > name.size() && part[name.size()] == '=') {
            return std::string{part.substr(name.size() + 1)};
        }
    }
    return {};
}

std::optional<Answer> Gate::refusal(const Request& request, Pairing::Clock::time_point now) const
{
    // A foreign name that was made to point at this machine asks with its own Host.
    if (hosts.count(lower(request.header("Host"))) == 0) {
        return refuse({403, "foreign_host", "the desk is not known by that name", "Host"});
    }
    const auto origin = lower(request.header("Origin"));
    if (!origin.empty()) {
        const bool own = std::any_of(hosts.begin(), hosts.end(), [&](const std::string& host) {
            return origin == scheme + "://" + host;
        });
        if (!own) {
            return refuse({403, "foreign_origin", "another page may not ask the desk", "Origin"});
        }
    }
    const auto site = lower(request.header("Sec-Fetch-Site"));
    if (!site.empty() && site != "same-origin" && site != "none") {
        return refuse(
            {403, "foreign_origin", "another page may not ask the desk", "Sec-Fetch-Site"});
    }
    const bool pairs = request.path == "/pair";
    if (pairing != nullptr && !pairs && !pairing->knows(cookie(request, kDeviceCookie), now)) {
        auto answer = refuse({401, "not_paired", "this device is not paired: open /pair", {}});
        if (request.path == "/" && request.method == Method::Get) {
            answer.status = 303;
            answer.headers["Location"] = "/pair";
        }
        return answer;
    }
    if (changes_something(request.method) && !(pairing != nullptr && pairs) &&
        !same_secret(request.session, token)) {
        return refuse(
            {403, "no_session", "the page is of another run: load it anew", "Nestround-Session"});
    }
    return refused_body(request);
}

}  // namespace nestround::desk
