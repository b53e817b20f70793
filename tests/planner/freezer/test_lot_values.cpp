#include "planner/freezer/lot_values.hpp"

#include <array>

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::freezer;

namespace {

LotCorrection correction(const char* field, const char* becomes)
{
    LotCorrection out;
    out.field = field;
    out.becomes = becomes;
    return out;
}

}  // namespace

TEST_CASE("LotValues, TheLastCorrectionOfAFieldCounts")
{
    Lot lot;
    lot.mass = Grams{40};
    lot.count = 300;
    lot.container = "bag";
    const std::array made{correction("mass", "39.5"),
                          correction("count", "290"),
                          correction("frozen_at", "2026-08-04T06:30:00.000Z"),
                          correction("mass", "39.25"),
                          correction("note", "double bag"),
                          correction("withdrawn", "")};
    const auto now = as_corrected(lot, made);
    CHECK(now.mass == Grams{39.25});
    CHECK(now.count == 290);
    CHECK(format_instant(now.frozen_at) == "2026-08-04T06:30:00.000Z");
    CHECK(now.note == "double bag");
    CHECK(now.container == "bag");
    CHECK(value_of(now, "mass") == "39.25");
    CHECK(value_of(Lot{}, "mass").empty());
}

TEST_CASE("LotValues, AFieldHoldsOnlyWhatItCan")
{
    CHECK(read_correction("mass", "41.50g").value() == "41.5");
    for (const auto& [field, value] : {std::pair{"mass", "0"},
                                       {"mass", "-3"},
                                       {"mass", "nan"},
                                       {"mass", "4,5"},
                                       {"count", "1.5"},
                                       {"count", "-1"},
                                       {"frozen_at", "yesterday"},
                                       {"note", ""},
                                       {"code", "X"},
                                       {"taxon", "VGER"}}) {
        INFO(field << " " << value);
        CHECK_FALSE(read_correction(field, value));
    }
}
