#include "planner/app/write_settings.hpp"

#include "planner/app/preferences.hpp"

namespace nestround::app {

void write_settings(book::Book& book, const std::map<std::string, std::string>& changes,
                    Instant now)
{
    auto all = book.settings();
    for (const auto& [name, value] : changes) {
        if (value.empty()) {
            all.erase(name);
        } else {
            all[name] = value;
        }
    }
    // Read once for its errors alone: what is written must be readable as a whole.
    static_cast<void>(preferences(all));
    book::Change change{book, now};
    for (const auto& [name, value] : changes) {
        change.set_setting(name, value);
    }
    change.commit();
}

}  // namespace nestround::app
