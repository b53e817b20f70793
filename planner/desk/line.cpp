#include "planner/desk/line.hpp"

#include <arpa/inet.h>
#include <fcntl.h>
#include <openssl/err.h>
#include <openssl/ssl.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>

namespace nestround::desk {
namespace {

constexpr std::chrono::seconds kHandshake{8};
constexpr std::chrono::seconds kOneWrite{10};

template <class Ask>
void name_end(Ask ask, int handle, std::string& ip, int& port)
{
    sockaddr_in address{};
    socklen_t size = sizeof address;
    std::array<char, INET_ADDRSTRLEN> text{};
    if (ask(handle, reinterpret_cast<sockaddr*>(&address), &size) == 0 &&
        address.sin_family == AF_INET &&
        inet_ntop(AF_INET, &address.sin_addr, text.data(), text.size()) != nullptr) {
        ip = text.data();
        port = ntohs(address.sin_port);
    }
}

}  // namespace

Line::Line(socket_t socket, SSL_CTX* tls) : socket_{socket}
{
    // Waiting is done by poll, so that its time is ours.
    ::fcntl(socket_, F_SETFL, ::fcntl(socket_, F_GETFL, 0) | O_NONBLOCK);
    if (tls == nullptr) {
        return;
    }
    ssl_ = SSL_new(tls);
    if (ssl_ == nullptr || SSL_set_fd(ssl_, socket_) != 1) {
        spoil();
        return;
    }
    const auto until = Clock::now() + kHandshake;
    for (;;) {
        const int done = SSL_accept(ssl_);
        if (done == 1) {
            return;
        }
        const int why = SSL_get_error(ssl_, done);
        const bool goes_on = (why == SSL_ERROR_WANT_READ && wait(POLLIN, until)) ||
                             (why == SSL_ERROR_WANT_WRITE && wait(POLLOUT, until));
        if (!goes_on) {
            ERR_clear_error();
            spoil();
            return;
        }
    }
}

Line::~Line()
{
    if (ssl_ != nullptr) {
        if (!spoiled_) {
            SSL_shutdown(ssl_);
        }
        SSL_free(ssl_);
        ERR_clear_error();
    }
    ::shutdown(socket_, SHUT_WR);
    // What is still on its way is taken, or the answer would be lost with a reset.
    std::array<char, 4096> rest{};
    const auto until = Clock::now() + std::chrono::milliseconds{200};
    for (int i = 0; i < 64 && wait(POLLIN, until); ++i) {
        if (::recv(socket_, rest.data(), rest.size(), 0) <= 0) {
            break;
        }
    }
    ::close(socket_);
}

bool Line::wait(short what, Clock::time_point until) const
{
    for (;;) {
        const auto left =
            std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now());
        if (left.count() <= 0) {
            return false;
        }
        pollfd asked{socket_, what, 0};
        const int ready = ::poll(&asked, 1, static_cast<int>(left.count()));
        if (ready > 0) {
            return true;
        }
        if (ready == 0 || errno != EINTR) {
            return false;
        }
    }
}

ssize_t Line::fail()
{
    spoiled_ = true;
    return -1;
}

bool Line::wait_for_request(std::chrono::milliseconds patience,
                            const std::function<bool()>& stopping)
{
    if (begin_ < end_) {
        return true;
    }
    const auto until = Clock::now() + patience;
    while (!spoiled_ && !stopping() && Clock::now() < until) {
        if ((ssl_ != nullptr && SSL_pending(ssl_) > 0) ||
            wait(POLLIN, std::min(until, Clock::now() + std::chrono::milliseconds{250}))) {
            return fill(Clock::now() + std::chrono::seconds{1}) > 0;
        }
    }
    return false;
}

void Line::allow(std::size_t bytes, std::chrono::milliseconds time)
{
    allowed_ = bytes;
    until_ = Clock::now() + time;
}

ssize_t Line::fill(Clock::time_point until)
{
    begin_ = end_ = 0;
    for (;;) {
        ssize_t got = 0;
        short what = POLLIN;
        if (ssl_ != nullptr) {
            got = SSL_read(ssl_, held_.data(), static_cast<int>(held_.size()));
            if (got <= 0) {
                const int why = SSL_get_error(ssl_, static_cast<int>(got));
                if (why == SSL_ERROR_ZERO_RETURN) {
                    return 0;
                }
                if (why != SSL_ERROR_WANT_READ && why != SSL_ERROR_WANT_WRITE) {
                    ERR_clear_error();
                    return fail();
                }
                what = why == SSL_ERROR_WANT_READ ? POLLIN : POLLOUT;
            }
        } else {
            got = ::recv(socket_, held_.data(), held_.size(), 0);
            if (got == 0) {
                return 0;
            }
            if (got < 0 && errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR) {
                return fail();
            }
        }
        if (got > 0) {
            end_ = static_cast<std::size_t>(got);
            return got;
        }
        if (!wait(what, until)) {
            return fail();
        }
    }
}

bool Line::is_readable() const { return !spoiled_; }
bool Line::is_writable() const { return !spoiled_; }

ssize_t Line::read(char* to, std::size_t size)
{
    if (spoiled_ || allowed_ == 0 || Clock::now() > until_) {
        return fail();
    }
    if (begin_ == end_) {
        const auto got = fill(until_);
        if (got <= 0) {
            spoiled_ = true;
            return got;
        }
    }
    const auto count = std::min({size, end_ - begin_, allowed_});
    std::memcpy(to, held_.data() + begin_, count);
    begin_ += count;
    allowed_ -= count;
    return static_cast<ssize_t>(count);
}

ssize_t Line::write(const char* from, std::size_t size)
{
    const auto until = Clock::now() + kOneWrite;
    std::size_t sent = 0;
    while (sent < size && !spoiled_) {
        ssize_t got = 0;
        short what = POLLOUT;
        if (ssl_ != nullptr) {
            const auto piece = std::min<std::size_t>(size - sent, 1U << 20U);
            got = SSL_write(ssl_, from + sent, static_cast<int>(piece));
            if (got <= 0) {
                const int why = SSL_get_error(ssl_, static_cast<int>(got));
                if (why != SSL_ERROR_WANT_READ && why != SSL_ERROR_WANT_WRITE) {
                    ERR_clear_error();
                    return fail();
                }
                what = why == SSL_ERROR_WANT_READ ? POLLIN : POLLOUT;
            }
        } else {
            got = ::send(socket_, from + sent, size - sent, MSG_NOSIGNAL);
            if (got < 0 && errno != EAGAIN && errno != EWOULDBLOCK && errno != EINTR) {
                return fail();
            }
        }
        if (got > 0) {
            sent += static_cast<std::size_t>(got);
        } else if (!wait(what, until)) {
            return fail();
        }
    }
    return spoiled_ ? -1 : static_cast<ssize_t>(size);
}

void Line::get_remote_ip_and_port(std::string& ip, int& port) const
{
    name_end(::getpeername, socket_, ip, port);
}

void Line::get_local_ip_and_port(std::string& ip, int& port) const
{
    name_end(::getsockname, socket_, ip, port);
}

}  // namespace nestround::desk
