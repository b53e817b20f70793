/// \file open_desk.hpp
/// \brief The desk opened: the server of this machine, and that of the local network when wished.
///
/// Purpose:  what `nestround desk` does between its start and its end.
/// Units:    none.
/// Range:    lives as long as the desk is open.
/// Accuracy: not applicable.
/// Errors:   Failure as Desk and Server.
/// Source:   own.
#pragma once

#include <iosfwd>
#include <memory>
#include <string>
#include <thread>

#include "planner/desk/desk.hpp"
#include "planner/desk/server.hpp"

namespace nestround::desk {

struct OpenWishes {
    DeskOptions desk;
    int port = 0;
    bool open_to_lan = false;
    bool no_browser = false;
    bool may_lack_roads = true;  ///< a file that is only set may not be built yet
    bool may_lack_places = true;
};

class OpenDesk {
public:
    /// Says on `out` where it is.
    OpenDesk(OpenWishes wishes, std::ostream& out);
    OpenDesk(const OpenDesk&) = delete;
    OpenDesk& operator=(const OpenDesk&) = delete;
    ~OpenDesk();

    /// Looks for changes of other programs and says a code that is new; twice a second.
    void look();

    [[nodiscard]] int port() const { return here_->port(); }

private:
    void open_to_lan(const OpenWishes& wishes, const std::string& token);
    void say_code();

    std::ostream& out_;
    std::unique_ptr<Desk> desk_;
    Pairing pairing_;
    std::unique_ptr<Server> here_;
    std::unique_ptr<Server> lan_;
    std::string lan_address_;
    std::string said_code_;
    bool complained_ = false;
    std::thread early_;  ///< works out the first morning while the browser starts
};

}  // namespace nestround::desk
