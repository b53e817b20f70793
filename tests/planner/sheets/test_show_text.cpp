// The half of show.hpp that deals in characters: planner/sheets/show_text.cpp.
#include "planner/sheets/show.hpp"
#include "tests/support/catch.hpp"

using namespace nestround::sheets;

TEST_CASE("Clean, LeavesNothingThatSteersATerminal")
{
    CHECK(clean("a\x1b[31mred\x07") == "a [31mred");
    CHECK(clean("two\r\nlines\tand  more ") == "two lines and more");
    CHECK(clean("\xc2\x9b"
                "31m") == "31m");  // the one-character form of ESC [
    CHECK(clean("left\u202eright") == "left right");
    CHECK(clean("") == "");
}

TEST_CASE("Clean, MendsBrokenUtf8")
{
    CHECK(clean("na\xefve") == "na\ufffdve");
    CHECK(clean("cut \xe2\x82") == "cut \ufffd\ufffd");
    CHECK(clean("\xc0\xaf") == "\ufffd\ufffd");  // an overlong slash
    CHECK(clean("za\u017c\u00f3\u0142\u0107 \u8702") == "za\u017c\u00f3\u0142\u0107 \u8702");
    CHECK(clean(std::string_view{"nul\0here", 8}) == "nul here");
}

TEST_CASE("Columns, CountWideAndCombiningCharacters")
{
    CHECK(columns("nest") == 4);
    CHECK(columns("\u8702\u306e\u5de3") == 6);
    CHECK(columns("e\u0301") == 1);
    CHECK(columns("\u00e9") == 1);
}

TEST_CASE("Fit, IsExactlyAsWideAsAsked")
{
    CHECK(fit("nest", 6) == "nest  ");
    CHECK(fit("long name", 6) == "long \u2026");
    // Two wide characters fill four of five columns before the ellipsis.
    CHECK(fit("\u8702\u306e\u5de3\u7bb1", 6) == "\u8702\u306e\u2026 ");
    CHECK(columns(fit("\u8702\u306e\u5de3\u7bb1", 6)) == 6);
}

TEST_CASE("Wrap, BreaksAtSpacesAndInsideLongWords")
{
    CHECK(wrap("one two three", 7) == std::vector<std::string>{"one two", "three"});
    CHECK(wrap("abcdefghij kl", 4) == std::vector<std::string>{"abcd", "efgh", "ij", "kl"});
    CHECK(wrap("\u8702\u306e\u5de3", 4) == std::vector<std::string>{"\u8702\u306e", "\u5de3"});
    CHECK(wrap("", 10) == std::vector<std::string>{""});
}
