/// \file layout.hpp
/// \brief The tables of a file of places. Private to this room.
///
/// Purpose:  one place for what the writer makes and the reader asks.
/// Units:    degrees, metres; columns end in their unit.
/// Range:    version 1; the numbers at the head of the file tell our files from others.
/// Promise:  a change of layout changes kVersion, and an old file is refused.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace nestround::gazetteer {

inline constexpr int kApplicationId = 0x4e725063;  // "NrPc"
inline constexpr int kVersion = 1;

/// Spots are streets and settlements; the full-text index holds their words, the words their
/// grams of three letters for what is misspelt.
inline constexpr const char* kLayout = R"sql(
PRAGMA application_id = 1316114531;
PRAGMA user_version = 1;
CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE spot (id INTEGER PRIMARY KEY, kind TEXT, name TEXT, city TEXT, postcodes TEXT,
                   lon REAL, lat REAL, uncertainty_m REAL, houses INTEGER);
CREATE VIRTUAL TABLE spot_text USING fts5(words, content = '', columnsize = 0, detail = none,
                                          prefix = '1 2 3',
                                          tokenize = 'unicode61 remove_diacritics 0 tokenchars ''-/''');
CREATE TABLE house (spot INTEGER, number INTEGER, shown TEXT, last INTEGER, lon REAL, lat REAL,
                    uncertainty_m REAL, filled_in INTEGER,
                    PRIMARY KEY (spot, number, shown)) WITHOUT ROWID;
CREATE TABLE word (id INTEGER PRIMARY KEY, letters TEXT UNIQUE);
CREATE TABLE word_gram (gram TEXT, word INTEGER, PRIMARY KEY (gram, word)) WITHOUT ROWID;
)sql";

/// Runs of three bytes of the word with two blanks before and after it.
[[nodiscard]] inline std::vector<std::string> grams_of(std::string_view word)
{
    const std::string padded = "  " + std::string{word} + "  ";
    std::vector<std::string> grams;
    for (std::size_t i = 0; i + 3 <= padded.size(); ++i) {
        grams.push_back(padded.substr(i, 3));
    }
    return grams;
}

}  // namespace nestround::gazetteer
