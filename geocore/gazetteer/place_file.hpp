/// \file place_file.hpp
/// \brief The file of streets, houses and settlements, and the search in it.
///
/// Purpose:  from an address as somebody says it to a place, without a network. The file lies
/// beside
///           the road file and may be thrown away: it is made again from the same extract.
/// Units:    degrees on WGS 84; metres.
/// Range:    made for some millions of houses. At most kMostCandidates streets are weighed a
///           question, those with most houses first.
/// Accuracy: each answer tells how it was found and how uncertain it is, as a radius.
/// Cost:     some milliseconds a question with a million houses; see docs/reference/places.md.
/// Errors:   Failure: NotFound, InvalidInput for a foreign or damaged file, WrongVersion,
///           OutputFailed; the former file is then as it was.
/// Source:   SQLite with its full-text index FTS5; ranking is ours.
#pragma once

#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "geocore/place/address_list.hpp"

namespace nestround::gazetteer {

inline constexpr std::size_t kMostCandidates = 1500;

void save_places(const std::string& path, const place::AddressList& list, const std::string& source,
                 const std::string& attribution);

enum class Found {
    House,     ///< its own number
    FilledIn,  ///< between two known numbers
    Street,    ///< without a number, or its number is not known
    Settlement,
};
[[nodiscard]] std::string_view text(Found found);

struct Question {
    std::string text;
    std::optional<LonLat> near;  ///< equals go by distance from here
    bool typing = false;         ///< the last word may be unfinished
    std::size_t limit = 10;
};

struct Answer {
    std::string shown;  ///< "12 Mill Lane, Ostford"
    Found found = Found::Street;
    LonLat at{};
    Metres uncertainty{};
    int extra = 0;                ///< words of its name that were not asked for
    int edits = 0;                ///< letters that had to be changed; an unfinished word counts one
    std::string unmatched;        ///< a word of the question that fits nothing
    bool number_missing = false;  ///< a number was asked for, and the street does not have it
    std::string remark;           ///< "between 10 and 14"
    std::optional<Metres> away;   ///< from Question::near

    /// Every word fits as written, and the number is the one asked for.
    [[nodiscard]] bool exact() const { return edits == 0 && unmatched.empty() && !number_missing; }
};

class PlaceFile {
public:
    explicit PlaceFile(const std::string& path);
    ~PlaceFile();
    PlaceFile(const PlaceFile&) = delete;
    PlaceFile& operator=(const PlaceFile&) = delete;

    /// Best first; see docs/reference/places.md for the order.
    [[nodiscard]] std::vector<Answer> find(const Question& question) const;

    [[nodiscard]] const std::string& attribution() const;
    [[nodiscard]] std::size_t house_count() const;
    [[nodiscard]] std::size_t spot_count() const;

private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

}  // namespace nestround::gazetteer
