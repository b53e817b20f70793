#include "planner/desk/server.hpp"

#include <httplib.h>
#include <openssl/ssl.h>
#include <zlib.h>

#include <algorithm>
#include <thread>

#include "planner/desk/assets.hpp"
#include "planner/desk/line.hpp"
#include "planner/desk/pairing_page.hpp"
#include "planner/desk/routes.hpp"

namespace nestround::desk {
namespace {

using std::chrono::milliseconds;
using std::chrono::seconds;

/// Set by ourselves from Accept-Encoding, which the library does not get to see: it would pack what
/// is packed already, and with its slowest method.
constexpr const char* kTakesGzip = "Nestround-Takes-Gzip";

/// The line whose request is being answered by this thread.
thread_local Line* current = nullptr;

std::optional<Method> method_of(const std::string& word)
{
    if (word == "GET" || word == "HEAD") {
        return Method::Get;
    }
    for (const Method method : {Method::Post, Method::Put, Method::Patch, Method::Delete}) {
        if (word == text(method)) {
            return method;
        }
    }
    return std::nullopt;
}

std::string decoded(const std::string& text) { return httplib::detail::decode_url(text, false); }

/// Without the body, which may not be read yet.
Request request_of(const httplib::Request& from, Method method)
{
    Request request;
    request.method = method;
    request.path = from.path;
    for (const auto& [name, value] : from.params) {
        request.query.emplace(name, value);
    }
    for (const auto& [name, value] : from.headers) {
        request.headers.emplace(name, value);
    }
    request.person = decoded(request.header("Nestround-Person")).substr(0, 200);
    request.session = request.header("Nestround-Session");
    return request;
}

std::string gzip(const std::string& plain)
{
    z_stream stream{};
    constexpr int kGzipWindow = 15 + 16;
    if (deflateInit2(&stream, 4, Z_DEFLATED, kGzipWindow, 8, Z_DEFAULT_STRATEGY) != Z_OK) {
        return {};
    }
    std::string packed(deflateBound(&stream, plain.size()), '\0');
    // zlib wants a pointer to what it does not change.
    stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(plain.data()));
    stream.avail_in = static_cast<uInt>(plain.size());
    stream.next_out = reinterpret_cast<Bytef*>(packed.data());
    stream.avail_out = static_cast<uInt>(packed.size());
    const int done = deflate(&stream, Z_FINISH);
    packed.resize(stream.total_out);
    deflateEnd(&stream);
    return done == Z_STREAM_END ? packed : std::string{};
}

std::string gunzip(const std::string& packed)
{
    z_stream stream{};
    if (inflateInit2(&stream, 15 + 16) != Z_OK) {
        return {};
    }
    std::string plain;
    std::array<char, 16384> piece{};
    stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(packed.data()));
    stream.avail_in = static_cast<uInt>(packed.size());
    int state = Z_OK;
    while (state == Z_OK) {
        stream.next_out = reinterpret_cast<Bytef*>(piece.data());
        stream.avail_out = static_cast<uInt>(piece.size());
        state = inflate(&stream, Z_NO_FLUSH);
        plain.append(piece.data(), piece.size() - stream.avail_out);
    }
    inflateEnd(&stream);
    return plain;
}

bool packs_well(const std::string& type)
{
    return type.find("json") != std::string::npos || type.starts_with("text/") ||
           type.find("vector-tile") != std::string::npos;
}

void put(Answer answer, bool takes_gzip, httplib::Response& to)
{
    constexpr std::size_t kWorthPacking = 1400;  // what is smaller goes in one packet anyway
    const bool packed = answer.headers.count("Content-Encoding") != 0;
    if (packed && !takes_gzip) {
        answer.body = gunzip(answer.body);
        answer.headers.erase("Content-Encoding");
    } else if (!packed && takes_gzip && answer.body.size() > kWorthPacking &&
               packs_well(answer.content_type)) {
        if (auto small = gzip(answer.body); !small.empty()) {
            answer.body = std::move(small);
            answer.headers["Content-Encoding"] = "gzip";
            answer.headers["Vary"] = "Accept-Encoding";
        }
    }
    to.status = answer.status;
    for (const auto& [name, value] : answer.headers) {
        // A line end in a value would begin another header.
        if (value.find_first_of("\r\n") == std::string::npos) {
            to.headers.erase(name);
            to.set_header(name, value);
        }
    }
    if (answer.headers.count("Cache-Control") == 0) {
        to.set_header("Cache-Control", "no-store");
    }
    if (answer.status != 204 && answer.status != 304) {
        to.set_content(answer.body, answer.content_type);
    }
}

}  // namespace

class Server::Inside final : public httplib::Server {
public:
    Inside(Desk& desk, ServerOptions options) : desk_{desk}, options_{std::move(options)}
    {
        open_tls();
        new_task_queue = [] { return new httplib::ThreadPool(kThreads); };
        set_tcp_nodelay(true);
        // The library's own limit on bodies is the last of three: gate, line, library.
        set_payload_max_length(kMostPicture);
        set_default_headers(common_headers());
        set_pre_routing_handler(
            [this](const httplib::Request& from, httplib::Response& to) { return look(from, to); });
        const auto handle = [this](const httplib::Request& from, httplib::Response& to) {
            handle_request(from, to);
        };
        Get(".*", handle);
        Post(".*", handle);
        Put(".*", handle);
        Patch(".*", handle);
        Delete(".*", handle);
        set_error_handler(HandlerWithResponse{[](const httplib::Request&, httplib::Response& to) {
            if (to.body.empty()) {
                const char* code = to.status == 413 ? "too_large" : "bad_request";
                const auto refused = refuse({to.status, code, "the request cannot be read", {}});
                to.set_content(refused.body, refused.content_type);
            }
            return HandlerResponse::Handled;
        }});
        set_exception_handler(
            [](const httplib::Request&, httplib::Response& to, const std::exception_ptr&) {
                put(refuse({500, "internal", "internal error", {}}), false, to);
            });
        // Another program may not take the same port, as it could by SO_REUSEPORT.
        set_socket_options([](socket_t socket) {
            const int yes = 1;
            setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
        });
        port_ = options_.port == 0                              ? bind_to_any_port(options_.address)
                : bind_to_port(options_.address, options_.port) ? options_.port
                                                                : -1;
        if (port_ <= 0) {
            throw Failure{ErrorCode::OutputFailed,
                          "the port is taken or not allowed; name another with --port, or 0 for "
                          "any that is free",
                          options_.address + ":" + std::to_string(options_.port)};
        }
        gate_.scheme = options_.tls ? "https" : "http";
        for (const auto& name : options_.names) {
            gate_.hosts.insert(name + ":" + std::to_string(port_));
        }
        gate_.token = options_.token;
        gate_.pairing = options_.pairing;
    }

    ~Inside() override { SSL_CTX_free(tls_); }

    [[nodiscard]] int port() const { return port_; }

    void go()
    {
        thread_ = std::thread{[this] { listen_after_bind(); }};
        while (!is_running()) {
            std::this_thread::sleep_for(milliseconds{1});
        }
    }

    void end()
    {
        stopping_.store(true);
        stop();
        if (thread_.joinable()) {
            thread_.join();
        }
    }

private:
    void open_tls()
    {
        if (!options_.tls) {
            return;
        }
        tls_ = SSL_CTX_new(TLS_server_method());
        if (tls_ == nullptr || SSL_CTX_set_min_proto_version(tls_, TLS1_2_VERSION) != 1 ||
            SSL_CTX_use_certificate_chain_file(tls_, options_.tls->certificate.c_str()) != 1 ||
            SSL_CTX_use_PrivateKey_file(tls_, options_.tls->key.c_str(), SSL_FILETYPE_PEM) != 1) {
            throw Failure{ErrorCode::InvalidInput,
                          "the certificate cannot be used; remove it and a new one is made",
                          options_.tls->certificate};
        }
    }

    static httplib::Headers common_headers()
    {
        return {{"Content-Security-Policy",
                 "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: "
                 "data:; connect-src 'self'; manifest-src 'self'; worker-src 'self'; base-uri "
                 "'none'; form-action 'self'; frame-ancestors 'none'"},
                {"X-Content-Type-Options", "nosniff"},
                {"X-Frame-Options", "DENY"},
                {"Referrer-Policy", "no-referrer"},
                {"Cross-Origin-Opener-Policy", "same-origin"},
                {"Cross-Origin-Resource-Policy", "same-origin"},
                {"Permissions-Policy", "geolocation=(self), camera=(self), microphone=()"}};
    }

    /// Before the body is read. What is refused closes the line: an unread body must never be taken
    /// for another request.
    HandlerResponse look(const httplib::Request& from, httplib::Response& to)
    {
        const auto method = method_of(from.method);
        const auto refused =
            method ? gate_.refusal(request_of(from, *method), Pairing::Clock::now())
                   : std::optional{refuse({405, "wrong_method", "no such method", {}})};
        if (!refused) {
            return HandlerResponse::Unhandled;
        }
        put(*refused, false, to);
        to.set_header("Connection", "close");
        current->spoil_after_answer();
        return HandlerResponse::Handled;
    }

    void handle_request(const httplib::Request& from, httplib::Response& to)
    {
        auto request = request_of(from, *method_of(from.method));
        request.body = from.body;
        request.headers["Nestround-Scheme"] = gate_.scheme;  // never that of the client
        const bool takes_gzip = from.has_header(kTakesGzip);
        if (options_.pairing != nullptr && request.path == "/pair") {
            if (from.has_param("code")) {
                request.query.emplace("code", from.get_param_value("code"));
            }
            put(pairing_page(*options_.pairing, request), takes_gzip, to);
            return;
        }
        if (request.method == Method::Get) {
            if (auto found = asset(request, options_.token)) {
                put(std::move(*found), takes_gzip, to);
                return;
            }
        }
        auto answered = answer(desk_, request);
        if (answered.pieces) {
            stream(std::move(answered), to);
        } else {
            put(std::move(answered), takes_gzip, to);
        }
    }

    void stream(Answer answered, httplib::Response& to)
    {
        if (++streams_ > kMostStreams) {
            --streams_;
            put(refuse({503, "busy", "too many pages listen already", {}}), false, to);
            return;
        }
        to.status = answered.status;
        for (const auto& [name, value] : answered.headers) {
            to.set_header(name, value);
        }
        to.set_chunked_content_provider(
            answered.content_type,
            [this, pieces = std::move(answered.pieces)](std::size_t, httplib::DataSink& sink) {
                const auto piece = stopping_.load() ? std::nullopt : pieces();
                if (!piece) {
                    sink.done();
                    return true;
                }
                return piece->empty() || sink.write(piece->data(), piece->size());
            },
            [this](bool) { --streams_; });
    }

    /// The library's loop over the requests of one connection, with our limits.
    bool process_and_close_socket(socket_t socket) override
    {
        constexpr std::size_t kHead = 65536;
        constexpr seconds kHeadTime{10};
        constexpr seconds kBodyTime{60};
        constexpr seconds kIdle{5};
        constexpr int kMostRequests = 1000;
        Line line{socket, tls_};
        current = &line;
        for (int left = kMostRequests; left > 0 && !line.spoiled(); --left) {
            if (!line.wait_for_request(kIdle, [this] { return stopping_.load(); })) {
                break;
            }
            line.allow(kHead, kHeadTime);
            bool closed = false;
            bool understood = false;
            const auto set_up = [&](httplib::Request& request) {
                understood = true;
                line.allow(kMostPicture + kHead, kBodyTime);
                const auto takes = request.get_header_value("Accept-Encoding");
                request.headers.erase("Accept-Encoding");
                request.headers.erase(kTakesGzip);
                if (takes.find("gzip") != std::string::npos) {
                    request.headers.emplace(kTakesGzip, "1");
                }
            };
            if (!process_request(line, left == 1, closed, set_up) || closed || line.ends() ||
                !understood) {
                break;  // where a head cannot be read, nobody knows where the next begins
            }
        }
        current = nullptr;
        return true;
    }

    Desk& desk_;
    ServerOptions options_;
    Gate gate_;
    SSL_CTX* tls_ = nullptr;
    int port_ = -1;
    std::atomic<int> streams_{0};
    std::atomic<bool> stopping_{false};
    std::thread thread_;
};

Server::Server(Desk& desk, ServerOptions options)
    : inside_{std::make_unique<Inside>(desk, std::move(options))}
{
}

Server::~Server() { stop(); }

int Server::port() const { return inside_->port(); }
void Server::start() { inside_->go(); }
void Server::stop() { inside_->end(); }

}  // namespace nestround::desk
