// The pages that people read name every column and every setting there is.
#include <regex>

#include "geocore/intake/call_row.hpp"
#include "geocore/intake/file_text.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;
using Catch::Contains;

namespace {

std::string read(const std::string& path)
{
    return intake::read_text(std::string{NESTROUND_SOURCE_DIR "/"} + path).text;
}

}  // namespace

TEST_CASE("ReferencePages, NameEveryColumnOfACall")
{
    const auto page = read("docs/reference/call-columns.md");
    const auto& words = intake::call_vocabulary();
    REQUIRE(words.names.size() > 15);
    for (const auto& name : words.names) {
        CHECK_THAT(page, Contains("`" + name + "`"));
    }
    for (const auto& name : words.lengths) {
        CHECK_THAT(page, Contains("`" + name + "_"));
    }
}

TEST_CASE("ReferencePages, NameEverySetting")
{
    const auto page = read("docs/reference/settings.md");
    const auto source = read("planner/app/preferences.cpp");
    // Every quoted word of the form part.part is a setting.
    const std::regex setting{R"re("([a-z]+\.[a-z_]+)")re"};
    std::size_t found = 0;
    for (std::sregex_iterator at{source.begin(), source.end(), setting}, end; at != end; ++at) {
        ++found;
        CHECK_THAT(page, Contains("`" + (*at)[1].str() + "`"));
    }
    CHECK(found > 20);
}
