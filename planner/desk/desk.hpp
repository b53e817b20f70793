/// \file desk.hpp
/// \brief What all rooms of the desk share: the book, its settings, the roads, the places, what
///        happens and what is being worked at.
///
/// Purpose:  one writer at a time under a lock, as many readers as there are requests; a number
/// that
///           grows with each change, also with those of another program.
/// Units:    none.
/// Range:    any number of threads; a handler runs on one.
/// Accuracy: a change of another program is seen by look_for_changes(), which the server calls
///           twice a second.
/// Errors:   Failure as Book, road file and place file.
/// Source:   own.
#pragma once

#include <atomic>
#include <filesystem>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geocore/base/calendar.hpp"
#include "geocore/book/book.hpp"
#include "geocore/gazetteer/place_file.hpp"
#include "geocore/roads/network.hpp"
#include "planner/app/preferences.hpp"
#include "planner/desk/events.hpp"
#include "planner/desk/room_memory.hpp"
#include "planner/desk/tiles.hpp"
#include "planner/desk/works.hpp"

namespace nestround::desk {

struct DeskOptions {
    std::filesystem::path book;
    std::string roads;      ///< path of the road file; empty: the desk has none
    std::string places;     ///< path of the file of places; empty: none
    std::optional<Day> on;  ///< the day that is shown first; empty: today
    std::string version;    ///< of the program
};

class Desk {
public:
    explicit Desk(DeskOptions options);
    Desk(const Desk&) = delete;
    Desk& operator=(const Desk&) = delete;
    ~Desk();

    /// Calls `ask(const book::Book&)` with a connection of its own, that nobody else uses now.
    template <class Ask>
    auto read(Ask&& ask)
    {
        const Reader reader{*this};
        return ask(std::as_const(*reader.book));
    }
    /// Calls `change(book::Book&)` while nobody else writes. Then tell what was changed: changed().
    template <class Do>
    auto write(Do&& change)
    {
        const std::lock_guard lock{writing_};
        return change(writer_);
    }
    /// Tells all who listen, and the revision grows. `kind`: call, visit, lot, ...
    void changed(const std::string& kind, const std::string& id, const std::string& by);
    [[nodiscard]] std::uint64_t revision() const { return revision_.load(); }
    /// Whether another program changed the book since; if so, tells of it as kind "book".
    bool look_for_changes();

    /// As they are now; read anew when the book was changed by another program.
    [[nodiscard]] std::shared_ptr<const app::Preferences> preferences() const;
    /// Call after settings were changed.
    void read_preferences();

    /// Nothing when the desk has no road file.
    [[nodiscard]] const std::shared_ptr<const roads::RoadNetwork>& network() const
    {
        return network_;
    }
    /// Calls `ask(const gazetteer::PlaceFile*)`, nothing when the desk has none; one at a time.
    template <class Ask>
    auto places(Ask&& ask)
    {
        const std::lock_guard lock{placing_};
        return ask(static_cast<const gazetteer::PlaceFile*>(places_ ? &*places_ : nullptr));
    }
    [[nodiscard]] const std::string& roads_path() const { return options_.roads; }
    [[nodiscard]] const std::string& places_path() const { return options_.places; }
    [[nodiscard]] bool has_places() const { return places_.has_value(); }
    [[nodiscard]] const DeskOptions& options() const { return options_; }

    [[nodiscard]] Instant now() const;
    /// The day that is shown first: of the options, else today where the book is at home.
    [[nodiscard]] Day today() const;

    EventHub& events() { return events_; }
    WorkDesk& works() { return works_; }
    RoomMemory& memory() { return memory_; }
    TileCache& tiles() { return tiles_; }

private:
    struct Reader {
        explicit Reader(Desk& of);
        Reader(const Reader&) = delete;
        Reader& operator=(const Reader&) = delete;
        ~Reader();
        Desk& desk;
        std::unique_ptr<book::Book> book;
    };

    DeskOptions options_;
    std::mutex writing_;
    book::Book writer_;
    std::int64_t seen_version_ = 0;
    std::mutex reading_;
    std::vector<std::unique_ptr<book::Book>> idle_readers_;
    std::shared_ptr<const roads::RoadNetwork> network_;
    std::mutex placing_;
    std::optional<gazetteer::PlaceFile> places_;
    mutable std::mutex preferring_;
    std::shared_ptr<const app::Preferences> preferences_;
    std::atomic<std::uint64_t> revision_{1};
    TileCache tiles_;
    EventHub events_;
    RoomMemory memory_;
    WorkDesk works_{events_};  // the last: its thread may use all of the above
};

}  // namespace nestround::desk
