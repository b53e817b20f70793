/// \file line.hpp
/// \brief One connection, plain or TLS, with limits on time and size. Private to the server.
///
/// Purpose:  a client that sends a byte a second, or without end, is let go.
/// Units:    seconds, bytes.
/// Range:    one thread.
/// Accuracy: time is looked at before each wait; one wait ends at the limit.
/// Errors:   reading and writing give -1, after which the line is spoiled and must be closed.
/// Source:   POSIX sockets; OpenSSL.
#pragma once

#include <httplib.h>

#include <array>
#include <chrono>

namespace nestround::desk {

class Line final : public httplib::Stream {
public:
    using Clock = std::chrono::steady_clock;

    /// `tls` is shaken hands with when set.
    Line(socket_t socket, SSL_CTX* tls);
    Line(const Line&) = delete;
    Line& operator=(const Line&) = delete;
    ~Line() override;

    /// Until the first byte of another request is there; false when none comes in time, the other
    /// side hung up or `stopping` says so.
    bool wait_for_request(std::chrono::milliseconds patience,
                          const std::function<bool()>& stopping);
    /// What may be read until the next call, and until when.
    void allow(std::size_t bytes, std::chrono::milliseconds time);
    void spoil() { spoiled_ = true; }
    /// The answer that is being made is the last.
    void spoil_after_answer() { ends_ = true; }
    [[nodiscard]] bool ends() const { return ends_; }
    [[nodiscard]] bool spoiled() const { return spoiled_; }

    [[nodiscard]] bool is_readable() const override;
    [[nodiscard]] bool is_writable() const override;
    ssize_t read(char* to, std::size_t size) override;
    ssize_t write(const char* from, std::size_t size) override;
    void get_remote_ip_and_port(std::string& ip, int& port) const override;
    void get_local_ip_and_port(std::string& ip, int& port) const override;
    [[nodiscard]] socket_t socket() const override { return socket_; }

private:
    bool wait(short what, Clock::time_point until) const;
    ssize_t fill(Clock::time_point until);
    ssize_t fail();

    socket_t socket_;
    SSL* ssl_ = nullptr;
    bool spoiled_ = false;
    bool ends_ = false;
    std::size_t allowed_ = 0;
    Clock::time_point until_{};
    std::array<char, 16384> held_{};
    std::size_t begin_ = 0;
    std::size_t end_ = 0;
};

}  // namespace nestround::desk
