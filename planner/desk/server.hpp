/// \file server.hpp
/// \brief The desk on a socket: HTTP/1.1 on this machine alone, or with TLS for the local network.
///
/// Purpose:  the only place that knows of sockets; everything else is answered by routes.hpp.
/// Units:    seconds, bytes.
/// Range:    kThreads connections at once, of which kMostStreams may be event streams. A request's
///           head has 64 kB and ten seconds, its body a minute; a line that stands idle five.
/// Accuracy: not applicable.
/// Errors:   Failure{OutputFailed} when the port cannot be had.
/// Source:   RFC 9110, RFC 9112; cpp-httplib; OpenSSL.
#pragma once

#include <memory>
#include <set>
#include <string>

#include "planner/desk/desk.hpp"
#include "planner/desk/session.hpp"

namespace nestround::desk {

struct TlsFiles {
    std::string certificate;  ///< PEM
    std::string key;
};

struct ServerOptions {
    std::string address = "127.0.0.1";
    int port = 0;                 ///< 0: any that is free
    std::set<std::string> names;  ///< hosts without port by which it is known
    std::string token;
    std::optional<TlsFiles> tls;
    Pairing* pairing = nullptr;
};

class Server {
public:
    static constexpr int kThreads = 96;
    static constexpr int kMostStreams = 24;

    /// Takes the port; answers once run() is called.
    Server(Desk& desk, ServerOptions options);
    Server(const Server&) = delete;
    Server& operator=(const Server&) = delete;
    ~Server();

    [[nodiscard]] int port() const;
    void start();  ///< on a thread of its own
    void stop();   ///< and waits for what is being answered

private:
    class Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace nestround::desk
