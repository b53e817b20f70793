#include "geocore/place/address_text.hpp"

#include <algorithm>

#include "geocore/base/random.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::place;

using Words = std::vector<std::string>;

TEST_CASE("AddressText, FoldsWords")
{
    CHECK(folded_words("12 Mill Lane, Ostford") == Words{"12", "mill", "lane", "ostford"});
    CHECK(folded_words("Müller-Straße 3a") == Words{"muller", "strasse", "3a"});
    CHECK(folded_words("St. Mary's  Rd") == Words{"st", "marys", "rd"});
    CHECK(folded_words("12-14 Łąkowa") == Words{"12-14", "lakowa"});
    CHECK(folded_words("Æbelø ŒUVRE þ") == Words{"aebelo", "oeuvre", "th"});
    CHECK(folded_words("МОСКВА ул") == folded_words("москва УЛ"));
    CHECK(folded_words("e\xCC\x81t\xC3\xA9") == Words{"ete"});
    CHECK(folded_words("bad \xFF\xC3 bytes") == Words{"bad", "bytes"});
    CHECK(folded_words(" ,;-").empty());
}

TEST_CASE("AddressText, GivesAbbreviationsOneForm")
{
    CHECK(canonical_word("street") == canonical_word("st"));
    CHECK(canonical_word("hauptstrasse") == canonical_word("hauptstr"));
    CHECK(canonical_word("strasse") == canonical_word("str"));
    CHECK(canonical_word("av") == canonical_word("avenue"));
    CHECK(canonical_word("mill") == "mill");
}

TEST_CASE("AddressText, CountsEdits")
{
    CHECK(edit_distance("ostford", "ostford", 2) == 0);
    CHECK(edit_distance("ostfrod", "ostford", 2) == 1);
    CHECK(edit_distance("osford", "ostford", 2) == 1);
    CHECK(edit_distance("ostfordd", "ostford", 2) == 1);
    CHECK(edit_distance("astfort", "ostford", 2) == 2);
    CHECK(edit_distance("mill", "barn", 2) == 3);
    CHECK(edit_distance("", "ab", 2) == 2);
    // the same both ways, and never more than the edits that were made
    Random random{3};
    for (int i = 0; i < 2000; ++i) {
        std::string word;
        for (int k = 0; k < 8; ++k) {
            word += static_cast<char>('a' + random.below(4));
        }
        std::string other = word;
        const int made = static_cast<int>(random.below(3));
        for (int k = 0; k < made; ++k) {
            other[random.below(other.size())] = static_cast<char>('a' + random.below(4));
        }
        CHECK(edit_distance(word, other, 3) <= made);
        CHECK(edit_distance(word, other, 3) == edit_distance(other, word, 3));
    }
}

TEST_CASE("AddressText, ReadsHouseNumbers")
{
    CHECK(house_number("12")->first == 12);
    CHECK(house_number("12a")->rest == "a");
    CHECK(house_number("12-14")->last == 14);
    CHECK(house_number("12-3")->last == 12);
    CHECK(house_number("12/3")->rest == "/3");
    CHECK_FALSE(house_number("5th"));
    CHECK_FALSE(house_number("mill"));
    CHECK_FALSE(house_number("12ab"));
    CHECK_FALSE(house_number("99999999999"));
}
