#include "planner/app/name_wasp.hpp"

#include "geocore/base/error.hpp"
#include "tests/support/catch.hpp"

using namespace nestround;

namespace {

const nature::TaxaTable& table() { return nature::standard_taxa(); }

bool has(const std::vector<nature::Seen>& seen, std::string_view trait, std::string_view answer)
{
    for (const auto& one : seen) {
        if (one.trait == trait) {
            return one.answer == answer;
        }
    }
    return false;
}

}  // namespace

TEST_CASE("NameWasp, LengthsBecomeAnswers")
{
    CHECK(app::read_trait(table(), {"cell_width", "4.8mm", Metres{0.0048}}).answer == "narrow");
    CHECK(app::read_trait(table(), {"height", "3m", Metres{3}}).answer == "middle");
    CHECK(app::read_trait(table(), {"nest_width", "40cm", Metres{0.4}}).answer == "large");
    CHECK(app::read_trait(table(), {"height", "low", {}}).answer == "low");
    CHECK_THROWS_AS(app::read_trait(table(), {"height", "-1m", Metres{-1}}), Failure);
}

TEST_CASE("NameWasp, TheBooksRecordGivesItsTraits")
{
    Nest nest;
    CHECK(app::traits_of_nest(table(), nest, {}).empty());
    nest.kind = NestKind::Aerial;
    nest.height = Metres{4};
    nest.width = Metres{0.35};
    auto seen = app::traits_of_nest(table(), nest, {});
    CHECK(seen.size() == 3);
    CHECK(has(seen, "site", "aerial"));
    CHECK(has(seen, "height", "middle"));
    CHECK(has(seen, "nest_width", "large"));
    // What is typed goes before it.
    seen = app::traits_of_nest(table(), nest, {{"site", "ground"}});
    CHECK_FALSE(has(seen, "site", "aerial"));
    CHECK_FALSE(has(seen, "height", "middle"));
    // A nest in the ground has no height that tells.
    nest.kind = NestKind::Ground;
    nest.height = Metres{-0.2};
    seen = app::traits_of_nest(table(), nest, {});
    CHECK(seen.size() == 2);
    CHECK(has(seen, "site", "ground"));
}
