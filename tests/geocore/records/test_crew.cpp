#include "geocore/records/crew.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("Crew, GearKindsKeepTheirWords")
{
    // Kept in books and in the gear files of crews.
    CHECK(text(GearKind::Pole) == "pole");
    CHECK(text(GearKind::Ladder) == "ladder");
    CHECK(text(GearKind::Vacuum) == "vacuum");
    CHECK(text(GearKind::ColdBox) == "cold_box");
    CHECK(text(GearKind::CombBox) == "comb_box");
    CHECK(text(GearKind::Suit) == "suit");
    CHECK(text(GearKind::Other) == "other");
    for (const auto kind : {GearKind::Pole, GearKind::Ladder, GearKind::Vacuum, GearKind::ColdBox,
                            GearKind::CombBox, GearKind::Suit, GearKind::Other}) {
        CHECK(gear_kind(text(kind)) == kind);
    }
    CHECK_FALSE(gear_kind("rope"));
    CHECK_FALSE(gear_kind("cold box"));
}
