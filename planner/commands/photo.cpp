// nestround photo add | list | export
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <fstream>
#include <iostream>
#include <iterator>
#include <memory>

#include "geocore/base/error.hpp"
#include "planner/app/keep_photo.hpp"
#include "planner/commands/commands.hpp"
#include "planner/commands/console.hpp"
#include "planner/sheets/write_file.hpp"

namespace nestround::commands {

namespace {

struct Words {
    std::string book;
    std::string file;
    std::string call;
    std::string key;
    std::string who;
    std::string note;
};

std::vector<std::uint8_t> bytes_in(const std::string& path)
{
    std::ifstream file{path, std::ios::binary};
    if (!file) {
        throw Failure{ErrorCode::NotFound, "there is no such file", path};
    }
    return {std::istreambuf_iterator<char>{file}, {}};
}

std::string line_of(const Photo& photo)
{
    return fmt::format(
        "{}  {:<10} {:>5} x {:<5}  {}  {}", book::short_key(photo.id.uuid()),
        photo.content_type.substr(6), photo.width, photo.height,
        photo.taken ? format_instant(*photo.taken).substr(0, 16) : "no time         ",
        photo.place
            ? fmt::format("{:.5f}, {:.5f}", photo.place->lat.value(), photo.place->lon.value())
            : "no position");
}

void add(const Words& words)
{
    const auto picture = bytes_in(words.file);
    auto book = book::Book::open(words.book);
    app::PhotoEntry entry;
    entry.zone = app::preferences(book.settings()).time_zone;
    entry.who = words.who;
    entry.note = words.note;
    if (!words.call.empty()) {
        entry.call = book.find_call(words.call);
    }
    app::KeyMaker keys;
    const auto now = app::present();
    Deed deed;
    deed.id = keys.make<DeedId>(now);
    deed.who = words.who.empty() ? "the terminal" : words.who;
    deed.words = "photo added";
    try {
        const auto kept = app::keep_photo(book, picture, entry, deed, now, keys);
        std::cout << line_of(kept.photo) << '\n';
    } catch (const Failure& failure) {
        auto error = failure.error();
        error.where = error.where.empty() ? words.file : error.where;
        throw Failure{error};
    }
}

void list(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto photos =
        words.call.empty() ? book.photos() : book.photos_of(book.find_call(words.call));
    for (const auto& photo : photos) {
        std::cout << line_of(photo) << '\n';
    }
    std::cout << fmt::format("{} {}\n", photos.size(), photos.size() == 1 ? "photo" : "photos");
}

void take_out(const Words& words)
{
    const auto book = book::Book::open(words.book, book::Mode::ReadOnly);
    const auto photo = app::find_photo(book, words.key);
    const auto picture = book.picture(photo.id);
    sheets::write_file(words.file, std::string{picture.begin(), picture.end()});
    std::cout << fmt::format("{}: {} bytes, private: it may show a house, a face or where it is\n",
                             words.file, picture.size());
}

}  // namespace

void add_photo(CLI::App& app)
{
    auto* group = app.add_subcommand("photo", "Photos of nests; they stay in the book");
    group->require_subcommand(1);
    const auto words = std::make_shared<Words>();
    auto* adding = group->add_subcommand("add", "Put a photo into the book: JPEG, PNG or WebP");
    adding->add_option("book", words->book, "The book")->required();
    adding->add_option("file", words->file, "The photo")->required();
    adding->add_option("--call", words->call, "Of which call: the end of its key, or its name");
    adding->add_option("--who", words->who, "Who adds it");
    adding->add_option("--note", words->note, "Free text");
    adding->callback([words] { add(*words); });
    auto* listing = group->add_subcommand("list", "What photos there are");
    listing->add_option("book", words->book, "The book")->required();
    listing->add_option("--call", words->call, "Only those of a call, its nest and visits");
    listing->callback([words] { list(*words); });
    auto* exporting = group->add_subcommand("export", "Write one photo to a file (private)");
    exporting->add_option("book", words->book, "The book")->required();
    exporting->add_option("photo", words->key, "The end of its key")->required();
    exporting->add_option("file", words->file, "The file to write")->required();
    exporting->callback([words] { take_out(*words); });
}

}  // namespace nestround::commands
