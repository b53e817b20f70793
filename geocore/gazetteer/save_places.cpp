// Writes the file of places anew, beside the old one, and puts it in its place when it is whole.
#include <algorithm>
#include <filesystem>
#include <map>
#include <set>

#include "geocore/base/error.hpp"
#include "geocore/gazetteer/database.hpp"
#include "geocore/gazetteer/layout.hpp"
#include "geocore/gazetteer/place_file.hpp"
#include "geocore/place/address_text.hpp"

namespace nestround::gazetteer {
namespace {

void put_meta(Database& database, const std::string& name, const std::string& value)
{
    Statement statement{database, "INSERT INTO meta VALUES (?, ?)"};
    statement.bind(name).bind(value).step();
}

/// The words of a text and the forms that stand for them, once each.
std::string indexed(const std::string& text, std::set<std::string>& vocabulary)
{
    std::set<std::string> words;
    for (const auto& word : place::folded_words(text)) {
        vocabulary.insert(word);
        words.insert(word);
        words.insert(place::canonical_word(word));
    }
    std::string out;
    for (const auto& word : words) {
        out += (out.empty() ? "" : " ") + word;
    }
    return out;
}

void fill(Database& database, const place::AddressList& list, const std::string& source,
          const std::string& attribution)
{
    database.run("BEGIN");
    database.run(kLayout);
    put_meta(database, "source", source);
    put_meta(database, "attribution", attribution);
    put_meta(database, "houses", std::to_string(list.houses.size()));
    put_meta(database, "spots", std::to_string(list.spots.size()));
    std::set<std::string> vocabulary;
    Statement spot{database, "INSERT INTO spot VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"};
    Statement words{database, "INSERT INTO spot_text (rowid, words) VALUES (?, ?)"};
    for (std::size_t i = 0; i < list.spots.size(); ++i) {
        const auto& s = list.spots[i];
        const auto id = static_cast<std::int64_t>(i);
        spot.bind(id).bind(s.kind).bind(s.name).bind(s.city).bind(s.postcodes);
        spot.bind(s.at.lon.value()).bind(s.at.lat.value()).bind(s.uncertainty.value());
        spot.bind(static_cast<std::int64_t>(s.houses)).step();
        words.bind(id).bind(indexed(s.name + " " + s.city + " " + s.postcodes, vocabulary)).step();
    }
    Statement house{database, "INSERT OR IGNORE INTO house VALUES (?, ?, ?, ?, ?, ?, ?, ?)"};
    for (const auto& h : list.houses) {
        house.bind(static_cast<std::int64_t>(h.spot)).bind(static_cast<std::int64_t>(h.first));
        house.bind(h.shown).bind(static_cast<std::int64_t>(h.last)).bind(h.at.lon.value());
        house.bind(h.at.lat.value()).bind(h.uncertainty.value());
        house.bind(static_cast<std::int64_t>(h.filled_in ? 1 : 0)).step();
    }
    Statement word{database, "INSERT INTO word VALUES (?, ?)"};
    std::set<std::pair<std::string, std::int64_t>> grams;
    std::int64_t id = 0;
    for (const auto& w : vocabulary) {
        word.bind(id).bind(w).step();
        for (const auto& gram : grams_of(w)) {
            grams.emplace(gram, id);
        }
        ++id;
    }
    Statement gram{database, "INSERT INTO word_gram VALUES (?, ?)"};
    for (const auto& [letters, of] : grams) {
        gram.bind(letters).bind(of).step();
    }
    database.run("INSERT INTO spot_text (spot_text) VALUES ('optimize')");
    database.run("COMMIT");
}

}  // namespace

void save_places(const std::string& path, const place::AddressList& list, const std::string& source,
                 const std::string& attribution)
{
    const std::string part = path + ".part";
    std::error_code ignored;
    std::filesystem::remove(part, ignored);
    try {
        Database database{part, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE};
        // Nobody reads the file before it is whole.
        database.run("PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF");
        fill(database, list, source, attribution);
    } catch (...) {
        std::filesystem::remove(part, ignored);
        throw;
    }
    std::error_code problem;
    std::filesystem::rename(part, path, problem);
    if (problem) {
        std::filesystem::remove(part, ignored);
        throw Failure{ErrorCode::OutputFailed, problem.message(), path};
    }
}

}  // namespace nestround::gazetteer
