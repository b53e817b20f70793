// nestround desk
#include <CLI/CLI.hpp>
#include <csignal>
#include <ctime>
#include <iostream>
#include <memory>

#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/desk/open_desk.hpp"

namespace nestround::commands {

namespace {

struct Words {
    desk::OpenWishes wishes;
    std::string book;
    std::string on = "today";
    std::string roads;
    std::string places;
};

void run(const Words& words)
{
    // Threads inherit the mask: the signal waits here, however many there are.
    sigset_t ends{};
    sigemptyset(&ends);
    sigaddset(&ends, SIGINT);
    sigaddset(&ends, SIGTERM);
    sigaddset(&ends, SIGHUP);
    pthread_sigmask(SIG_BLOCK, &ends, nullptr);
    std::signal(SIGPIPE, SIG_IGN);

    auto wishes = words.wishes;
    {
        const auto book = book::Book::open(words.book);
        const auto preferences = app::preferences(book.settings());
        wishes.desk.roads = roads_path(book, preferences, words.roads);
        wishes.desk.places = places_path(book, preferences, words.places);
        wishes.may_lack_roads = words.roads.empty();
        wishes.may_lack_places = words.places.empty();
        if (words.on != "today") {
            wishes.desk.on = day_option(words.on, preferences.time_zone);
        }
    }
    wishes.desk.book = words.book;
    wishes.desk.version = NESTROUND_VERSION;
    desk::OpenDesk open{wishes, std::cout};
    const timespec half_a_second{0, 500'000'000};
    while (sigtimedwait(&ends, nullptr, &half_a_second) < 0) {
        open.look();
    }
    std::cout << "closed\n";
}

}  // namespace

void add_desk(CLI::App& app)
{
    auto* command = app.add_subcommand("desk", "A page in the browser, from this machine alone");
    const auto words = std::make_shared<Words>();
    command->add_option("book", words->book, "The book")->required();
    command->add_option("--on", words->on, "Day that is shown first: 2026-08-04, today, tomorrow")
        ->capture_default_str();
    command->add_option("--roads", words->roads, "Road file; else the setting roads.file");
    command->add_option("--places", words->places, "File of places; else the setting places.file");
    command->add_option("--port", words->wishes.port, "Port; 0 takes one that is free")
        ->check(CLI::Range(0, 65535))
        ->capture_default_str();
    command->add_flag("--open-to-lan", words->wishes.open_to_lan,
                      "Let devices of the local network in, by TLS and a code that is good once");
    command->add_flag("--no-open", words->wishes.no_browser, "Do not start the browser");
    command->callback([words] { run(*words); });
}

}  // namespace nestround::commands
