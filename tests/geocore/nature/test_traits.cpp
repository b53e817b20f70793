#include "geocore/nature/traits.hpp"

#include <numeric>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::nature;

TEST_CASE("Traits, TheTableIsSound")
{
    CHECK(check_traits(standard_taxa()));
    const auto traits = naming_traits(standard_taxa());
    CHECK(traits.size() >= 18);
    const ShareTable shares{standard_taxa()};
    for (const auto& trait : traits) {
        CAPTURE(trait.key);
        CHECK_FALSE(trait.question.empty());
        bool speaks = false;
        for (const auto& taxon : standard_taxa().taxa()) {
            const auto one = shares.shares(taxon.code, trait);
            CHECK(std::accumulate(one.share.begin(), one.share.end(), 0.0) == Approx(1));
            speaks = speaks || one.mark.has_value();
        }
        CHECK(speaks);  // a trait that no wasp shows is a misspelt row
    }
}

TEST_CASE("Traits, MeasuresFallIntoBins")
{
    for (const auto& trait : naming_traits(standard_taxa())) {
        if (trait.key == "cell_width") {
            CHECK(trait.unit == "mm");
            CHECK(trait.answers[*trait.answer_for(4.8)].key == "narrow");
            CHECK(trait.answers[*trait.answer_for(5.1)].key == "middle");
            CHECK(trait.answers[*trait.answer_for(8.5)].key == "wide");
            CHECK_FALSE(trait.answer_for(-1));
        }
    }
}

TEST_CASE("Traits, SharesAreInheritedAndTheRestIsSharedOut")
{
    Trait paper;
    for (const auto& trait : naming_traits(standard_taxa())) {
        if (trait.key == "paper") {
            paper = trait;
        }
    }
    REQUIRE(paper.answers.size() == 3);
    const ShareTable shares{standard_taxa()};
    // Its own row says 0.80 gray; the other two colours share what is left.
    const auto own = shares.shares("VGER", paper);
    CHECK(own.share[*paper.answer("gray")] == Approx(0.8));
    CHECK(own.share[*paper.answer("tan")] == Approx(0.1));
    CHECK(own.share[*paper.answer("brown")] == Approx(0.1));
    CHECK(own.mark == Mark::Derived);
    // D. arenaria has none of its own and takes the genus'.
    const auto genus_row = shares.shares("DARE", paper);
    CHECK(genus_row.share[*paper.answer("gray")] == Approx(0.8));
    CHECK(genus_row.mark == Mark::Memory);
    // Nobody speaks for V. vidua: every answer is as likely, and no mark is claimed.
    const auto none = shares.shares("VVID", paper);
    CHECK(none.share[0] == Approx(1.0 / 3));
    CHECK_FALSE(none.mark.has_value());
}
