/// \file session.hpp
/// \brief Who may ask: the checks that stand before every handler.
///
/// Purpose:  a page of another origin, a name that was made to point here, a form without the
///           session's token and a device that was not paired get no data and change nothing.
/// Units:    none.
/// Range:    not applicable.
/// Accuracy: tokens are 256 random bits of the system, compared without telling how far they agree.
/// Errors:   a refusal is an answer: 400, 401, 403, 411, 413, 415 or 429.
/// Source:   Fetch Metadata (W3C), RFC 9110, RFC 6265; own.
#pragma once

#include <chrono>
#include <cstddef>
#include <mutex>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "planner/desk/message.hpp"

namespace nestround::desk {

inline constexpr std::size_t kMostBody = 1'000'000;        ///< bytes of a JSON body
inline constexpr std::size_t kMostPicture = 12 * 1048576;  ///< bytes of a picture
inline constexpr const char* kDeviceCookie = "nestround-device";

/// So many random bytes of the system, as hexadecimal digits.
[[nodiscard]] std::string random_token(std::size_t bytes = 32);
[[nodiscard]] bool same_secret(std::string_view a, std::string_view b);

/// One-time codes for devices of the local network.
class Pairing {
public:
    using Clock = std::chrono::steady_clock;
    static constexpr int kMostWrong = 5;
    static constexpr std::chrono::seconds kLocked{60};
    static constexpr std::chrono::hours kLasts{16};

    Pairing();
    [[nodiscard]] std::string code() const;  ///< eight characters
    /// The device's token when the code is right; another code follows at once. Nothing when it is
    /// wrong or too many were.
    [[nodiscard]] std::optional<std::string> pair(std::string_view typed, Clock::time_point now);
    [[nodiscard]] bool locked(Clock::time_point now) const;
    [[nodiscard]] bool knows(std::string_view token, Clock::time_point now) const;

private:
    mutable std::mutex mutex_;
    std::string code_;
    int wrong_ = 0;
    Clock::time_point locked_until_{};
    struct Device {
        std::string token;
        Clock::time_point until;
    };
    std::vector<Device> devices_;
};

struct Gate {
    std::string scheme = "http";  ///< or https
    std::set<std::string> hosts;  ///< as the header Host names them: "127.0.0.1:8137"
    std::string token;            ///< of this run
    Pairing* pairing = nullptr;   ///< of the local network; nobody else needs to pair

    /// Looked at before the body is read: what is refused, or nothing.
    [[nodiscard]] std::optional<Answer> refusal(const Request& request,
                                                Pairing::Clock::time_point now) const;
};

/// The value of one cookie, empty when absent.
[[nodiscard]] std::string cookie(const Request& request, std::string_view name);

}  // namespace nestround::desk
