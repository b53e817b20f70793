#include "geocore/records/harvest.hpp"

#include <set>

#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("Harvest, WorkMethodsHaveWordsOfTheirOwn")
{
    std::set<std::string_view> words;
    for (const auto method : {WorkMethod::Hand, WorkMethod::GroundPole, WorkMethod::Ladder,
                              WorkMethod::PoleThenLadder, WorkMethod::NotReached}) {
        words.insert(text(method));
        CHECK(work_method(text(method)) == method);
    }
    CHECK(words.size() == 5);
    CHECK_FALSE(work_method("by drone"));
}
