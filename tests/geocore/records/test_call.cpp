#include "geocore/records/call.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;

// The words are kept in books and files of others: changing one breaks them.

TEST_CASE("Call, NestKindsKeepTheirWords")
{
    CHECK(text(NestKind::Unknown) == "unknown");
    CHECK(text(NestKind::Aerial) == "aerial");
    CHECK(text(NestKind::Ground) == "ground");
    CHECK(text(NestKind::Void) == "void");
    for (const auto kind :
         {NestKind::Unknown, NestKind::Aerial, NestKind::Ground, NestKind::Void}) {
        CHECK(nest_kind(text(kind)) == kind);
    }
    for (const char* word : {"", "Aerial", "aerial ", "hollow"}) {
        CAPTURE(word);
        CHECK_FALSE(nest_kind(word));
    }
}

TEST_CASE("Call, StatesKeepTheirWords")
{
    CHECK(text(CallState::Waiting) == "waiting");
    CHECK(text(CallState::Taken) == "taken");
    CHECK(text(CallState::GivenUp) == "given_up");
    for (const auto state : {CallState::Waiting, CallState::Taken, CallState::GivenUp}) {
        CHECK(call_state(text(state)) == state);
    }
    CHECK_FALSE(call_state("given up"));
}

TEST_CASE("Call, LadderPermissionsKeepTheirWords")
{
    CHECK(text(LadderPermission::Unknown) == "unknown");
    CHECK(text(LadderPermission::Given) == "given");
    CHECK(text(LadderPermission::Refused) == "refused");
    for (const auto value :
         {LadderPermission::Unknown, LadderPermission::Given, LadderPermission::Refused}) {
        CHECK(ladder_permission(text(value)) == value);
    }
    CHECK_FALSE(ladder_permission("yes"));
}

TEST_CASE("Call, WhatIsNotKnownIsEmpty")
{
    const CallSheet sheet;
    CHECK(sheet.call.state == CallState::Waiting);
    CHECK(sheet.call.ladder == LadderPermission::Unknown);
    CHECK_FALSE(sheet.nest.height);
    CHECK_FALSE(sheet.nest.width);
    CHECK_FALSE(sheet.site.place_uncertainty);
    CHECK(sheet.call.allowed.empty());
    CHECK(sheet.call.id.is_nil());
}
