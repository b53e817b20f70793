#include "geocore/intake/settings_file.hpp"

#include "geocore/base/random.hpp"
#include "tests/geocore/intake/failing.hpp"
#include "tests/geocore/intake/scratch.hpp"

using namespace nestround;
using namespace nestround::intake;
using namespace nestround::tests;
using Catch::Contains;

TEST_CASE("SettingsFile, TablesBecomeDottedNames")
{
    const auto settings = *parse_settings(
        "zone = \"Europe/Zurich\"\n"
        "[calls]\ncrs = \"EPSG:32632\"\n"
        "[calls.columns]\nspecies = \"wasp\"\n"
        "[access]\nhand_reach_m = 2.5\nwhole = 3.0\ncount = 12\nladders = true\n"
        "from = 2026-08-04\nat = 07:30:00\nhours = [\"08:00-12:00\", \"14:00-18:00\"]\n");
    CHECK(settings == Settings{{"zone", "Europe/Zurich"},
                               {"calls.crs", "EPSG:32632"},
                               {"calls.columns.species", "wasp"},
                               {"access.hand_reach_m", "2.5"},
                               {"access.whole", "3.0"},
                               {"access.count", "12"},
                               {"access.ladders", "true"},
                               {"access.from", "2026-08-04"},
                               {"access.at", "07:30:00"},
                               {"access.hours", "08:00-12:00;14:00-18:00"}});
}

TEST_CASE("SettingsFile, FaultsNameTheLine")
{
    const auto fault = [](std::string_view text) {
        const auto settings = parse_settings(text, "my.toml");
        REQUIRE_FALSE(settings);
        CHECK(settings.error().code == ErrorCode::InvalidInput);
        CHECK(settings.error().text().find('\n') == std::string::npos);
        return settings.error().text();
    };
    CHECK_THAT(fault("a = 1\nb = \n"), Contains("my.toml:2"));
    CHECK_THAT(fault("a = 1\n\na = 2\n"), Contains("my.toml:3"));
    CHECK_THAT(fault("a = north\n"), Contains("my.toml:1"));
    CHECK_THAT(fault("a = 1\n[[b]]\nc = 1\n"), Contains("my.toml:") && Contains("'b'"));
    CHECK_THAT(fault("a = 1\nb = [[1], [2]]\n"), Contains("my.toml:2") && Contains("'b'"));
    CHECK_THAT(fault("\"a.b\" = 1\n"), Contains("my.toml:1") && Contains("a.b"));
    CHECK_THAT(fault("a = [\"x;y\"]\n"), Contains("semicolon"));
    const Scratch scratch;
    CHECK(failure_of([&] { return read_settings(scratch.path("none.toml")); }).code ==
          ErrorCode::NotFound);
    const auto bad = scratch.file("bad.toml", "a = 1\nb\n");
    CHECK_THAT(failure_of([&] { return read_settings(bad); }).text(), Contains("bad.toml:2"));
}

TEST_CASE("SettingsFile, WritingAndReadingGivesTheSameSettings")
{
    const Settings hard{
        {"a", ""},           {"b.c", "007"},        {"b.d", "7.50"},      {"b.e", "7.5"},
        {"b.f", "-3"},       {"b.g", "true"},       {"b.h", "\"quo\\te"}, {"b.i", "two\nlines"},
        {"b.j.k", "1.2.3"},  {"b.l", "2026-08-04"}, {"b.m", "1e5"},       {"b.n", "Mühle"},
        {"b.o", "\x01\x7f"}, {"b.p", "-"},          {"c-d.e_f", "-0"}};
    CHECK(*parse_settings(settings_toml(hard)) == hard);
    CHECK_THAT(settings_toml(hard), Contains("e = 7.5\n") && Contains("c = \"007\""));

    Random random{11};
    for (int trial = 0; trial < 500; ++trial) {
        std::string value;
        for (auto n = random.below(8); n > 0; --n) {
            static constexpr std::string_view kLetters = "0123456789.-+eE_ax\"\\\n:";
            value += kLetters[random.below(kLetters.size())];
        }
        CAPTURE(value);
        const Settings one{{"x.y", value}};
        CHECK(*parse_settings(settings_toml(one)) == one);
    }
    CHECK(failure_of([] {
              return settings_toml({{"a", "1"}, {"a.b", "2"}});
          }).code == ErrorCode::InvalidInput);
}
