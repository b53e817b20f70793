#include "geocore/records/freezer.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

TEST_CASE("Freezer, PurposesAndStatesKeepTheirWords")
{
    CHECK(text(LotPurpose::Venom) == "venom");
    CHECK(text(LotPurpose::Other) == "other");
    CHECK(text(OrderState::Open) == "open");
    CHECK(text(OrderState::Filled) == "filled");
    CHECK(text(OrderState::Cancelled) == "cancelled");
    for (const auto purpose : {LotPurpose::Venom, LotPurpose::Other}) {
        CHECK(lot_purpose(text(purpose)) == purpose);
    }
    for (const auto state : {OrderState::Open, OrderState::Filled, OrderState::Cancelled}) {
        CHECK(order_state(text(state)) == state);
    }
    CHECK_FALSE(lot_purpose("honey"));
    CHECK_FALSE(order_state("closed"));
}
