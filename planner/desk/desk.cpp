#include "planner/desk/desk.hpp"

#include "geocore/intake/road_file.hpp"
#include "geocore/intake/time_zone.hpp"
#include "planner/app/clockwork.hpp"

namespace nestround::desk {

Desk::Desk(DeskOptions options)
    : options_{std::move(options)}, writer_{book::Book::open(options_.book)}
{
    seen_version_ = writer_.data_version();
    read_preferences();
    if (!options_.roads.empty()) {
        network_ = intake::load_roads(options_.roads);
    }
    if (!options_.places.empty()) {
        places_.emplace(options_.places);
    }
}

Desk::~Desk()
{
    events_.close();
    works_.close();
}

Desk::Reader::Reader(Desk& of) : desk{of}
{
    {
        const std::lock_guard lock{desk.reading_};
        if (!desk.idle_readers_.empty()) {
            book = std::move(desk.idle_readers_.back());
            desk.idle_readers_.pop_back();
        }
    }
    if (!book) {
        book = std::make_unique<book::Book>(
            book::Book::open(desk.options_.book, book::Mode::ReadOnly));
    }
}

Desk::Reader::~Reader()
{
    constexpr std::size_t kMostIdle = 64;  // opening one takes longer than most answers
    const std::lock_guard lock{desk.reading_};
    if (desk.idle_readers_.size() < kMostIdle) {
        desk.idle_readers_.push_back(std::move(book));
    }
}

void Desk::changed(const std::string& kind, const std::string& id, const std::string& by)
{
    const auto revision = ++revision_;
    events_.publish("changed",
                    Json{{"revision", revision}, {"kind", kind}, {"id", id}, {"by", by}}.dump(
                        -1, ' ', false, Json::error_handler_t::replace));
}

bool Desk::look_for_changes()
{
    {
        // The writer's own changes do not count here: changed() told of them.
        const std::lock_guard lock{writing_};
        const auto version = writer_.data_version();
        if (version == seen_version_) {
            return false;
        }
        seen_version_ = version;
    }
    read_preferences();
    changed("book", {}, {});
    return true;
}

std::shared_ptr<const app::Preferences> Desk::preferences() const
{
    const std::lock_guard lock{preferring_};
    return preferences_;
}

void Desk::read_preferences()
{
    auto fresh = std::make_shared<const app::Preferences>(
        read([](const book::Book& book) { return app::preferences(book.settings()); }));
    const std::lock_guard lock{preferring_};
    preferences_ = std::move(fresh);
}

Instant Desk::now() const { return app::present(); }

Day Desk::today() const
{
    if (options_.on) {
        return *options_.on;
    }
    return value_or_throw(intake::to_local(now(), preferences()->time_zone)).day;
}

}  // namespace nestround::desk
