#include "geocore/gazetteer/place_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <tuple>
#include <utility>

#include "geocore/base/error.hpp"
#include "geocore/gazetteer/database.hpp"
#include "geocore/gazetteer/layout.hpp"
#include "geocore/place/address_text.hpp"
#include "geocore/place/geodesic.hpp"

namespace nestround::gazetteer {

namespace {

constexpr std::size_t kHousesLookedUp = 48;
constexpr int kMostInterpretations = 3;
constexpr std::size_t kMostWords = 10;
/// Two known numbers further apart tell nothing of what lies between.
constexpr double kFarthestNeighbours = 1000;

/// The question with one of its words taken as the house's number.
struct Reading {
    std::optional<place::HouseNumber> number;
    std::string number_text;
    std::vector<std::string> words;
};

std::vector<Reading> readings_of(const std::vector<std::string>& words)
{
    std::vector<Reading> out;
    for (std::size_t i = 0; i < words.size() && out.size() < kMostInterpretations; ++i) {
        const auto number = place::house_number(words[i]);
        if (!number || words.size() == 1) {
            continue;
        }
        Reading reading{number, words[i], words};
        reading.words.erase(reading.words.begin() + static_cast<std::ptrdiff_t>(i));
        // "12 a" is "12a".
        if (number->rest.empty() && number->first == number->last && i < reading.words.size() &&
            reading.words.size() > 1 && reading.words[i].size() == 1 &&
            reading.words[i][0] >= 'a' && reading.words[i][0] <= 'd') {
            Reading with_letter = reading;
            with_letter.number_text += reading.words[i];
            with_letter.number->rest = reading.words[i];
            with_letter.words.erase(with_letter.words.begin() + static_cast<std::ptrdiff_t>(i));
            out.push_back(std::move(with_letter));
        }
        out.push_back(std::move(reading));
    }
    out.push_back({std::nullopt, {}, words});
    return out;
}

/// Which words may be misspelt: none, those that the file does not know, any.
enum class Spelling { AsWritten, UnknownLoose, Loose };

struct Candidate {
    std::int64_t spot = 0;
    std::string kind;
    std::string name;
    std::string city;
    LonLat at{};
    double uncertainty = 0;
    std::int64_t houses = 0;
    int edits = 0;
    int extra = 0;  ///< words of its name that were not asked for
    double away = 0;
    const Reading* reading = nullptr;
};

int most_edits(std::string_view word)
{
    const bool has_digit = word.find_first_of("0123456789") != std::string_view::npos;
    return has_digit || word.size() < 4 ? 0 : word.size() < 8 ? 1 : 2;
}

/// How a word of the question fits a word of a spot: edits, or -1.
int fit(std::string_view asked, std::string_view there, bool unfinished, bool loose)
{
    if (asked == there || place::canonical_word(asked) == place::canonical_word(there)) {
        return 0;
    }
    if (unfinished && there.starts_with(asked)) {
        return 1;
    }
    const int most = loose ? most_edits(asked) : 0;
    const int edits = most == 0 ? 1 : place::edit_distance(asked, there, most);
    return edits <= most ? edits : -1;
}

std::string in_quotes(std::string_view word) { return '"' + std::string{word} + '"'; }

}  // namespace

std::string_view text(Found found)
{
    switch (found) {
        case Found::House:
            return "house";
        case Found::FilledIn:
            return "between houses";
        case Found::Street:
            return "street";
        case Found::Settlement:
            break;
    }
    return "settlement";
}

struct PlaceFile::Inside {
    explicit Inside(const std::string& path) : database{path, SQLITE_OPEN_READONLY}
    {
        Statement id{database, "PRAGMA application_id"};
        Statement version{database, "PRAGMA user_version"};
        if (!id.step() || id.integer(0) != kApplicationId) {
            throw Failure{ErrorCode::InvalidInput,
                          "is no file of places; make one with: nestround places build", path};
        }
        if (!version.step() || version.integer(0) != kVersion) {
            throw Failure{ErrorCode::WrongVersion,
                          "was made by another version; make it again with: nestround places build",
                          path};
        }
        attribution = meta("attribution");
        house_count = std::strtoull(meta("houses").c_str(), nullptr, 10);
        spot_count = std::strtoull(meta("spots").c_str(), nullptr, 10);
        candidates.emplace(database,
                           "SELECT s.id, s.kind, s.name, s.city, s.postcodes, s.lon, s.lat, "
                           "s.uncertainty_m, s.houses FROM spot_text AS t JOIN spot s ON s.id = "
                           "t.rowid WHERE spot_text MATCH ? LIMIT ?");
        is_word.emplace(database, "SELECT 1 FROM word WHERE letters = ?");
        exact_house.emplace(database,
                            "SELECT number, shown, last, lon, lat, uncertainty_m, filled_in FROM "
                            "house WHERE spot = ? AND number BETWEEN ? AND ? ORDER BY number");
        below.emplace(database,
                      "SELECT number, lon, lat FROM house WHERE spot = ? AND number < ? AND "
                      "number % 2 = ? AND filled_in = 0 ORDER BY number DESC LIMIT 1");
        above.emplace(database,
                      "SELECT number, lon, lat FROM house WHERE spot = ? AND number > ? AND "
                      "number % 2 = ? AND filled_in = 0 ORDER BY number LIMIT 1");
    }

    std::string meta(const char* name)
    {
        Statement statement{database, "SELECT value FROM meta WHERE name = ?"};
        statement.bind(std::string_view{name});
        return statement.step() ? std::string{statement.text(0)} : std::string{};
    }

    /// Words of the file that are nearly `word`, itself among them; two edits are tried only when
    /// one is not enough, because they share few grams.
    const std::vector<std::string>& near_words(const std::string& word)
    {
        const auto [at, is_new] = near.try_emplace(word);
        auto& out = at->second;
        if (!is_new) {
            return out;
        }
        out.push_back(word);
        for (int most = 1; most <= most_edits(word) && out.size() == 1; ++most) {
            add_near_words(word, most, out);
        }
        return out;
    }

    void add_near_words(const std::string& word, int most, std::vector<std::string>& out)
    {
        // Each edit spoils three grams at most, an exchange of neighbours four.
        const auto grams = grams_of(word);
        const auto needed =
            std::max<std::ptrdiff_t>(1, static_cast<std::ptrdiff_t>(grams.size()) - 4 * most);
        std::string marks;
        for (std::size_t i = 0; i < grams.size(); ++i) {
            marks += i == 0 ? "?" : ",?";
        }
        // Counted before the words are looked at: most share too few grams.
        Statement statement{
            database,
            fmt::format("SELECT w.letters FROM (SELECT word FROM word_gram WHERE gram IN ({}) "
                        "GROUP BY word HAVING count(*) >= ?) g JOIN word w ON w.id = g.word",
                        marks)};
        for (const auto& gram : grams) {
            statement.bind(gram);
        }
        statement.bind(static_cast<std::int64_t>(needed));
        std::vector<std::pair<int, std::string>> found;
        while (statement.step()) {
            const int edits = place::edit_distance(word, statement.text(0), most);
            if (edits > 0 && edits <= most) {
                found.emplace_back(edits, std::string{statement.text(0)});
            }
        }
        std::sort(found.begin(), found.end());
        for (std::size_t i = 0; i < std::min<std::size_t>(found.size(), 12); ++i) {
            out.push_back(found[i].second);
        }
    }

    [[nodiscard]] bool knows(const std::string& word)
    {
        is_word->bind(word);
        const bool known = is_word->step();
        is_word->again();
        return known;
    }

    /// Adds the spots that have all the words of a reading, but for the one at `left_out`.
    void gather(const Question& question, const Reading& reading, Spelling spelling,
                std::size_t left_out, std::vector<Candidate>& out)
    {
        const bool loose = spelling != Spelling::AsWritten;
        std::string match;
        std::vector<std::string> asked;
        for (std::size_t i = 0; i < reading.words.size(); ++i) {
            if (i == left_out) {
                continue;
            }
            const auto& word = reading.words[i];
            const bool last = i + 1 == reading.words.size();
            std::string choice = in_quotes(word) + " OR " + in_quotes(place::canonical_word(word));
            if (last && question.typing) {
                choice += " OR " + in_quotes(word) + "*";
            }
            if (spelling == Spelling::Loose || (loose && !knows(word))) {
                for (const auto& other : near_words(word)) {
                    choice += " OR " + in_quotes(other);
                }
            }
            match += (match.empty() ? "(" : " AND (") + choice + ")";
            asked.push_back(word);
        }
        if (match.empty()) {
            return;
        }
        const bool unfinished = question.typing && left_out + 1 != reading.words.size();
        candidates->bind(match).bind(static_cast<std::int64_t>(kMostCandidates));
        while (candidates->step()) {
            if (auto candidate = weigh(asked, unfinished, loose)) {
                candidate->reading = &reading;
                if (question.near) {
                    // Rough; the shown distance is geodesic.
                    const double x =
                        std::remainder(candidate->at.lon.value() - question.near->lon.value(), 360);
                    const double y = candidate->at.lat.value() - question.near->lat.value();
                    candidate->away =
                        std::hypot(x * std::cos(question.near->lat.value() * 0.0174532925), y);
                }
                out.push_back(std::move(*candidate));
            }
        }
    }

    /// The row at hand, when every word fits and one of them fits its name.
    std::optional<Candidate> weigh(const std::vector<std::string>& asked, bool unfinished,
                                   bool loose)
    {
        Candidate c;
        const auto name = place::folded_words(candidates->text(2));
        auto around = place::folded_words(candidates->text(3));
        for (auto& code : place::folded_words(candidates->text(4))) {
            around.push_back(std::move(code));
        }
        std::vector<char> used(name.size(), 0);
        for (std::size_t i = 0; i < asked.size(); ++i) {
            const bool open = unfinished && i + 1 == asked.size();
            int best = -1;
            std::size_t at = name.size();
            for (std::size_t k = 0; k < name.size(); ++k) {
                const int edits = used[k] != 0 ? -1 : fit(asked[i], name[k], open, loose);
                if (edits >= 0 && (best < 0 || edits < best)) {
                    best = edits;
                    at = k;
                }
            }
            for (const auto& word : around) {
                const int edits = fit(asked[i], word, open, loose);
                if (edits >= 0 && (best < 0 || edits < best)) {
                    best = edits;
                    at = name.size();
                }
            }
            if (best < 0) {
                return std::nullopt;
            }
            c.edits += best;
            if (at < name.size()) {
                used[at] = 1;
            }
        }
        const auto used_count = std::count(used.begin(), used.end(), 1);
        if (used_count == 0) {
            return std::nullopt;
        }
        c.extra = static_cast<int>(name.size()) - static_cast<int>(used_count);
        c.spot = candidates->integer(0);
        c.kind = candidates->text(1);
        c.name = candidates->text(2);
        c.city = candidates->text(3);
        c.at = {Longitude{candidates->real(5)}, Latitude{candidates->real(6)}};
        c.uncertainty = candidates->real(7);
        c.houses = candidates->integer(8);
        return c;
    }

    /// The house asked for in the candidate's street: itself, between neighbours, or none.
    Answer look_up(const Candidate& c)
    {
        Answer answer;
        answer.edits = c.edits;
        answer.extra = c.extra;
        answer.at = c.at;
        answer.uncertainty = Metres{c.uncertainty};
        answer.found = c.kind == "street" ? Found::Street : Found::Settlement;
        const std::string of = c.name + (c.city.empty() || c.city == c.name ? "" : ", " + c.city);
        answer.shown = of;
        if (!c.reading->number) {
            return answer;
        }
        const auto& number = *c.reading->number;
        // A span that holds the number begins at most 50 below it.
        exact_house->bind(c.spot).bind(std::int64_t{number.first} - 50);
        exact_house->bind(std::int64_t{number.first});
        bool found = false;
        bool by_text = false;
        while (exact_house->step()) {
            const bool same_text = exact_house->text(1) == c.reading->number_text;
            const bool inside = exact_house->integer(0) == number.first ||
                                (exact_house->integer(2) >= number.first && number.rest.empty() &&
                                 exact_house->integer(0) % 2 == number.first % 2);
            if ((!inside && !same_text) || (!number.rest.empty() && !same_text) ||
                (found && (by_text || !same_text))) {
                continue;
            }
            found = true;
            by_text = same_text;
            answer.at = {Longitude{exact_house->real(3)}, Latitude{exact_house->real(4)}};
            answer.uncertainty = Metres{exact_house->real(5)};
            const bool filled_in = exact_house->integer(6) != 0;
            answer.found = filled_in ? Found::FilledIn : Found::House;
            answer.remark = filled_in   ? "along the numbers that the map tells run here"
                            : same_text ? ""
                                        : fmt::format("written {} there", exact_house->text(1));
        }
        if (!found && !between(c, number.first, answer)) {
            answer.number_missing = true;
            answer.remark = fmt::format("number {} is not known there", c.reading->number_text);
            return answer;
        }
        answer.shown = c.reading->number_text + " " + of;
        return answer;
    }

    bool between(const Candidate& c, std::int64_t number, Answer& answer)
    {
        below->bind(c.spot).bind(number).bind(number % 2);
        above->bind(c.spot).bind(number).bind(number % 2);
        bool found = false;
        if (below->step() && above->step()) {
            const LonLat low{Longitude{below->real(1)}, Latitude{below->real(2)}};
            const LonLat high{Longitude{above->real(1)}, Latitude{above->real(2)}};
            const auto first = below->integer(0);
            const auto last = above->integer(0);
            const double share =
                static_cast<double>(number - first) / static_cast<double>(last - first);
            const double span = place::geodesic_distance(low, high).value();
            if (span <= kFarthestNeighbours) {
                answer.found = Found::FilledIn;
                answer.at = {low.lon + (high.lon - low.lon) * share,
                             low.lat + (high.lat - low.lat) * share};
                answer.uncertainty =
                    place::kHouseUncertainty + Metres{span * std::max(share, 1 - share)};
                answer.remark = fmt::format("between {} and {}", first, last);
                found = true;
            }
        }
        below->again();
        above->again();
        return found;
    }

    Database database;
    std::string attribution;
    std::size_t house_count = 0;
    std::size_t spot_count = 0;
    std::optional<Statement> candidates;
    std::optional<Statement> is_word;
    std::map<std::string, std::vector<std::string>> near;  ///< of the question at hand
    std::optional<Statement> exact_house;
    std::optional<Statement> below;
    std::optional<Statement> above;
};

PlaceFile::PlaceFile(const std::string& path)
{
    if (!std::filesystem::is_regular_file(path)) {
        throw Failure{ErrorCode::NotFound,
                      "no such file; make it with: nestround places build EXTRACT --to FILE", path};
    }
    inside_ = std::make_unique<Inside>(path);
}

PlaceFile::~PlaceFile() = default;

std::vector<Answer> PlaceFile::find(const Question& question) const
{
    auto words = place::folded_words(question.text);
    words.resize(std::min(words.size(), kMostWords));
    if (words.empty()) {
        return {};
    }
    const auto readings = readings_of(words);
    std::vector<Candidate> found;
    std::string unmatched;
    constexpr auto kNothing = static_cast<std::size_t>(-2);
    inside_->near.clear();
    for (const auto spelling : {Spelling::AsWritten, Spelling::UnknownLoose, Spelling::Loose}) {
        for (const auto& reading : readings) {
            const bool may_differ = std::any_of(reading.words.begin(), reading.words.end(),
                                                [](const auto& w) { return most_edits(w) > 0; });
            if (spelling == Spelling::AsWritten || may_differ) {
                inside_->gather(question, reading, spelling, kNothing, found);
            }
        }
        if (!found.empty()) {
            break;
        }
    }
    if (found.empty()) {
        // Without the last word first: what is added behind an address is known to fewest maps.
        const auto& reading = readings.front();
        for (std::size_t i = reading.words.size(); i-- > 0 && found.empty();) {
            if (reading.words.size() > 1) {
                inside_->gather(question, reading, Spelling::UnknownLoose, i, found);
                unmatched = reading.words[i];
            }
        }
    }
    const auto by_text = [](const Candidate& a, const Candidate& b) {
        // A reading with a number explains more of the question than one without.
        return std::tuple{a.edits, a.reading->number ? 0 : 1, a.extra, a.away, -a.houses, a.spot} <
               std::tuple{b.edits, b.reading->number ? 0 : 1, b.extra, b.away, -b.houses, b.spot};
    };
    const auto kept = std::min(found.size(), kHousesLookedUp);
    std::partial_sort(found.begin(), found.begin() + static_cast<std::ptrdiff_t>(kept), found.end(),
                      by_text);
    found.resize(kept);
    std::vector<std::pair<Answer, const Candidate*>> answers;
    for (const auto& candidate : found) {
        auto answer = inside_->look_up(candidate);
        answer.unmatched = unmatched;
        if (question.near) {
            answer.away = place::geodesic_distance(*question.near, answer.at);
        }
        answers.emplace_back(std::move(answer), &candidate);
    }
    std::stable_sort(answers.begin(), answers.end(), [](const auto& a, const auto& b) {
        const auto level = [](const Answer& x) {
            return x.number_missing ? 2 : x.found == Found::FilledIn ? 1 : 0;
        };
        return std::tuple{a.first.edits, level(a.first), a.second->extra,
                          a.first.away.value_or(Metres{}).value()} <
               std::tuple{b.first.edits, level(b.first), b.second->extra,
                          b.first.away.value_or(Metres{}).value()};
    });
    std::vector<Answer> out;
    for (auto& [answer, candidate] : answers) {
        if (out.size() < question.limit) {
            out.push_back(std::move(answer));
        }
    }
    return out;
}

const std::string& PlaceFile::attribution() const { return inside_->attribution; }
std::size_t PlaceFile::house_count() const { return inside_->house_count; }
std::size_t PlaceFile::spot_count() const { return inside_->spot_count; }

}  // namespace nestround::gazetteer
