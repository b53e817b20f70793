#include "planner/sheets/hold_sheet.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/support/catch.hpp"

using namespace nestround;
using Catch::Matchers::Contains;

namespace {

const Day kOn = parse_day("2026-08-01").value();

sheets::HoldEntry entry_of(const std::string& label, double growth)
{
    sheets::HoldEntry entry;
    entry.call.sheet.site.label = label;
    entry.call.sheet.site.address = "12 Secret Lane";
    entry.curve = season::hold_curve(
        entry.call.sheet,
        [growth](Day on) {
            const double g = 20 * std::exp(growth * static_cast<double>((on - kOn).count()));
            yield::NestOutlook outlook;
            outlook.workers = {g * 5, g * 10, g * 15};
            outlook.grams = {Grams{g / 2}, Grams{g}, Grams{g * 2}};
            return outlook;
        },
        kOn, 21);
    return entry;
}

}  // namespace

TEST_CASE("HoldSheet, TellsTheVerdictAndTheWhyAndNothingPrivate")
{
    const std::vector<sheets::HoldEntry> calls{entry_of("mill", 0.05), entry_of("barn", -0.1)};
    sheets::TextOptions options;
    options.width = 100;
    const auto text = sheets::hold_text(calls, kOn, options);
    CHECK_THAT(text, Contains("mill") && Contains("hold, best about 21 August"));
    CHECK_THAT(text, Contains("barn") && Contains("take it now"));
    CHECK_THAT(text, !Contains("Secret"));
    const auto json = nlohmann::json::parse(sheets::hold_json(calls, kOn));
    CHECK(json["calls"].size() == 2);
    CHECK(json["calls"][0]["days"].size() == 21);
    CHECK(json["calls"][0]["best_day"] == "2026-08-21");
    CHECK(json["calls"][1]["advice"] == "take now");
    CHECK(json["calls"][0]["days"][0]["worth"].get<double>() == Approx(20));
    CHECK_THAT(json.dump(), !Contains("Secret"));
    CHECK_THAT(sheets::hold_text({}, kOn, options), Contains("No call is waiting"));
}

TEST_CASE("HoldSheet, APictureOfOneCallIsCurvesAndOfManyRibbons")
{
    const auto one = sheets::hold_picture({entry_of("mill", 0.05)}, kOn, sheets::MapFormat::Svg);
    const auto two = sheets::hold_picture({entry_of("mill", 0.05), entry_of("barn", -0.1)}, kOn,
                                          sheets::MapFormat::Svg);
    const auto none = sheets::hold_picture({}, kOn, sheets::MapFormat::Svg);
    CHECK(one != two);
    CHECK(two.size() > none.size());
    CHECK_THAT(none, Contains("<svg"));
}
