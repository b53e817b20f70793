#include "planner/freezer/lot_code.hpp"

#include <cctype>
#include <set>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::freezer;
using Catch::Contains;

TEST_CASE("LotCode, IsReadAsItIsMadeHoweverItIsTyped")
{
    Random random{7};
    std::set<std::string> codes;
    for (int i = 0; i < 2000; ++i) {
        const auto code = make_lot_code(random);
        REQUIRE(code.size() == 8);
        CHECK(code[4] == '-');
        CHECK(code.find_first_of("01258BGILOSUVZ") == std::string::npos);
        CHECK(read_lot_code(code).value() == code);
        codes.insert(code);
    }
    CHECK(codes.size() > 1990);
    const auto code = *codes.begin();
    std::string typed = " ";
    for (const char c : code) {
        typed += c == '-' ? ' ' : static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    }
    CHECK(read_lot_code(typed).value() == code);
}

TEST_CASE("LotCode, EverySingleWrongCharacterIsTold")
{
    const std::string clear = "34679ACDEFHJKMNPQRTWXY";
    Random random{8};
    for (int i = 0; i < 20; ++i) {
        const auto code = make_lot_code(random);
        for (std::size_t at = 0; at < code.size(); ++at) {
            for (const char c : clear) {
                auto wrong = code;
                if (code[at] != '-' && code[at] != c) {
                    wrong[at] = c;
                    CHECK_FALSE(read_lot_code(wrong));
                }
            }
        }
    }
}

TEST_CASE("LotCode, NearlyEverySwapOfNeighboursIsTold")
{
    Random random{9};
    int swaps = 0;
    int missed = 0;
    for (int i = 0; i < 3000; ++i) {
        auto code = make_lot_code(random);
        code.erase(4, 1);
        for (std::size_t at = 0; at + 1 < code.size(); ++at) {
            if (code[at] != code[at + 1]) {
                auto swapped = code;
                std::swap(swapped[at], swapped[at + 1]);
                ++swaps;
                missed += read_lot_code(swapped) ? 1 : 0;
            }
        }
    }
    CHECK(swaps > 15000);
    CHECK(missed < swaps / 200);
}

TEST_CASE("LotCode, SaysWhatDoesNotFit")
{
    CHECK_THAT(read_lot_code("K7F4").error().message, Contains("seven characters"));
    CHECK_THAT(read_lot_code("K7F4-TO9").error().message, Contains("'O'"));
    Random random{1};
    auto code = make_lot_code(random);
    std::swap(code[0], code[0] == code[1] ? code[2] : code[1]);
    CHECK_THAT(read_lot_code(code).error().message, Contains("check character"));
    CHECK_FALSE(check_character("abc"));
    CHECK_FALSE(is_checked("A"));
}

TEST_CASE("LotCode, TheExampleInItsMessagesIsACode")
{
    const auto message = read_lot_code("x").error().message;
    CHECK(read_lot_code(message.substr(message.size() - 8)));
}
