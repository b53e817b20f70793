#include "planner/desk/open_desk.hpp"

#include <cstdlib>
#include <filesystem>
#include <ostream>

#include "planner/desk/assets.hpp"
#include "planner/desk/certificate.hpp"
#include "planner/desk/routes.hpp"
#include "planner/desk/terminal_code.hpp"

namespace nestround::desk {
namespace {

std::unique_ptr<Desk> made(OpenWishes& wishes, std::ostream& out)
{
    const auto drop = [&](std::string& path, bool may_lack, const char* what) {
        if (!path.empty() && may_lack && !std::filesystem::exists(path)) {
            out << "note: " << path << " is not there yet: the desk opens without " << what << '\n';
            path.clear();
        }
    };
    drop(wishes.desk.roads, wishes.may_lack_roads, "roads");
    drop(wishes.desk.places, wishes.may_lack_places, "places");
    return std::make_unique<Desk>(wishes.desk);
}

/// Only where somebody sits: on a terminal of a desktop. What cannot be started is no error.
void start_browser(const std::string& address)
{
    if (std::getenv("DISPLAY") == nullptr && std::getenv("WAYLAND_DISPLAY") == nullptr) {
        return;
    }
    // The address is made here, of digits and dots: nothing in it speaks to the shell.
    const std::string command = "xdg-open " + address + " >/dev/null 2>&1 &";
    [[maybe_unused]] const int done = std::system(command.c_str());
}

}  // namespace

OpenDesk::OpenDesk(OpenWishes wishes, std::ostream& out) : out_{out}, desk_{made(wishes, out)}
{
    const auto token = random_token();
    ServerOptions options;
    options.port = wishes.port;
    options.names = {"127.0.0.1", "localhost"};
    options.token = token;
    here_ = std::make_unique<Server>(*desk_, options);
    here_->start();
    const auto address = "http://127.0.0.1:" + std::to_string(here_->port()) + "/";
    out_ << address << std::endl;
    if (!has_page()) {
        out_ << "note: this program was built without the desk's page; see "
                "docs/reference/desk.md\n";
    }
    if (wishes.open_to_lan) {
        open_to_lan(wishes, token);
    }
    // The first person at the desk need not wait for what can be worked out before.
    early_ = std::thread{[this] {
        try {
            Request morning;
            morning.path = "/api/morning";
            (void)answer(*desk_, morning);
        } catch (const std::exception&) {
            // Whoever asks is told then what is wrong.
        }
    }};
    out_ << "to close: Ctrl-C" << std::endl;
    if (!wishes.no_browser) {
        start_browser(address);
    }
}

OpenDesk::~OpenDesk()
{
    // Listeners first, or the servers would wait for them.
    desk_->events().close();
    early_.join();
    if (lan_) {
        lan_->stop();
    }
    here_->stop();
}

void OpenDesk::open_to_lan(const OpenWishes& wishes, const std::string& token)
{
    const auto addresses = local_addresses();
    if (addresses.empty()) {
        throw Failure{ErrorCode::NotFound,
                      "this machine has no address in a local network; connect it, or leave "
                      "--open-to-lan away"};
    }
    const auto certificate = certificate_beside(wishes.desk.book, addresses);
    ServerOptions options;
    options.address = "0.0.0.0";
    options.port = wishes.port == 0 || wishes.port == 65535 ? 0 : wishes.port + 1;
    options.names.insert(addresses.begin(), addresses.end());
    options.token = token;
    options.tls = certificate.files;
    options.pairing = &pairing_;
    lan_ = std::make_unique<Server>(*desk_, options);
    lan_->start();
    lan_address_ = "https://" + addresses.front() + ":" + std::to_string(lan_->port()) + "/";
    out_ << "in the local network: " << lan_address_ << "pair\n"
         << "certificate (SHA-256): " << certificate.fingerprint << '\n';
    say_code();
}

void OpenDesk::say_code()
{
    said_code_ = pairing_.code();
    out_ << "code for the next device, good once: " << said_code_.substr(0, 4) << '-'
         << said_code_.substr(4) << '\n'
         << terminal_code(lan_address_ + "pair?code=" + said_code_) << std::flush;
}

void OpenDesk::look()
{
    try {
        desk_->look_for_changes();
        complained_ = false;
    } catch (const Failure& failure) {
        if (!complained_) {
            out_ << "note: " << failure.what() << std::endl;
            complained_ = true;
        }
    }
    if (lan_ && pairing_.code() != said_code_) {
        out_ << "a device was paired\n";
        say_code();
    }
}

}  // namespace nestround::desk
