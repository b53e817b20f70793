// Check characters that others printed, of standards that use ISO/IEC 7064 MOD 37,36.
#include "planner/freezer/lot_code.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("Published, CheckCharacterOfTheGlobalReleaseIdentifier")
{
    // IFPI, Global Release Identifier (GRid) Standard: the example A1-2425G-ABC1234002-M, its check
    // character by ISO 7064 MOD 37,36. Read where a data-integration manual relays it
    // (lobster-world.com, "checksum ISO 7064 Mod. 37/36").
    CHECK(freezer::check_character("A12425GABC1234002") == 'M');
    CHECK(freezer::is_checked("A12425GABC1234002M"));
    CHECK_FALSE(freezer::is_checked("A12425GABC1234020M"));
}

TEST_CASE("Published, CheckCharacterOfThePartyIdentifier")
{
    // The same page, a party identifier of the music trade: DA-DPIDA-3897722461 has J; and a plain
    // text, 123AB, has X.
    CHECK(freezer::check_character("DADPIDA3897722461") == 'J');
    CHECK(freezer::check_character("123AB") == 'X');
}

TEST_CASE("Published, CheckCharacterOfTheAudiovisualNumber")
{
    // ISO 15706 (ISAN): root and episode in hexadecimal, then MOD 37,36. Numbers in circulation,
    // read in test data of a library of standard numbers.
    CHECK(freezer::is_checked("B159D8FA01240000K"));
    CHECK(freezer::is_checked("188166C7342000003"));
}
