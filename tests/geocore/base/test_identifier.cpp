#include "geocore/base/identifier.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using std::chrono::milliseconds;
using std::chrono::sys_time;

TEST_CASE("Uuid, CarriesItsMomentAndVersion")
{
    Random random{1};
    // RFC 9562, appendix A.6: unix_ts_ms 0x017F22E279B0 is 22 February 2022, 14:22:22 at UTC-5.
    const auto uuid = Uuid::make(sys_time<milliseconds>{milliseconds{0x017F22E279B0}}, random);
    const auto text = uuid.text();
    CHECK(text.substr(0, 13) == "017f22e2-79b0");
    CHECK(text[14] == '7');
    CHECK(std::string{"89ab"}.find(text[19]) != std::string::npos);
    CHECK(*Uuid::parse(text) == uuid);
}

TEST_CASE("Uuid, LaterIsGreater")
{
    Random random{2};
    const auto early = Uuid::make(sys_time<milliseconds>{milliseconds{1000}}, random);
    const auto late = Uuid::make(sys_time<milliseconds>{milliseconds{1001}}, random);
    CHECK(early < late);
}

TEST_CASE("Uuid, RefusesWhatIsNone")
{
    for (const char* text : {"", "017f22e2", "017f22e2-79b0-7cc3-98c4-dc0c0c07398g",
                             "017f22e2x79b0-7cc3-98c4-dc0c0c07398f"}) {
        CAPTURE(text);
        CHECK_FALSE(Uuid::parse(text));
    }
    CHECK(Uuid::parse("017F22E2-79B0-7CC3-98C4-DC0C0C07398F"));
}
