#include "planner/freezer/stand.hpp"

#include "tests/support/catch.hpp"

using namespace nestround;
using namespace nestround::freezer;

namespace {

Day day(const char* text) { return parse_day(text).value(); }

Order order(std::uint8_t n, double grams, const char* due, std::optional<std::int64_t> price = {})
{
    std::array<std::uint8_t, 16> bytes{};
    bytes[15] = n;
    Order out;
    out.id = OrderId{Uuid{bytes}};
    out.taxon = "VMAC";
    out.wanted = Grams{grams};
    out.placed = day("2026-07-01");
    if (due != nullptr) {
        out.due = day(due);
    }
    out.price_minor = price;
    return out;
}

}  // namespace

TEST_CASE("Stand, WhatLiesReadyGoesToWhatIsDueFirst")
{
    const std::vector orders{order(1, 100, nullptr), order(2, 100, "2026-10-01"),
                             order(3, 100, "2026-09-01")};
    Stock stock;
    stock.venom = Grams{150};
    stock.loose = Grams{30};
    stock.from_season = {Grams{10}, Grams{60}, Grams{300}};
    const auto stands = stand_of(orders, {{orders[2].id, Grams{20}}}, {{"VMAC", stock}});
    REQUIRE(stands.size() == 3);
    CHECK(stands[0].order.id == orders[2].id);  // due in September
    CHECK(stands[0].ready == Grams{80});
    CHECK(stands[0].missing() == Grams{0});
    CHECK(stands[1].ready == Grams{70});
    CHECK(stands[1].loose == Grams{30});
    CHECK(stands[1].missing() == Grams{0});
    CHECK(stands[2].missing() == Grams{100});
    CHECK(stands[2].expected.low == Grams{10});
    CHECK(stands[2].expected.middle == Grams{60});
    CHECK(stands[2].expected.high == Grams{100});  // not more than is wanted
}

TEST_CASE("Stand, VenomOrdersTakeVenomLotsOnly")
{
    auto other = order(1, 50, "2026-09-01");
    other.purpose = LotPurpose::Other;
    const std::vector orders{other, order(2, 50, "2026-10-01")};
    Stock stock;
    stock.venom = Grams{40};
    stock.other = Grams{30};
    const auto stands = stand_of(orders, {}, {{"VMAC", stock}});
    CHECK(stands[0].ready == Grams{50});  // 30 other, then 20 venom
    CHECK(stands[1].ready == Grams{20});
}

TEST_CASE("Stand, WhatIsPromisedAndNotAtHandIsTold")
{
    auto promised = order(1, 100, "2026-09-01");
    promised.promised = Grams{80};
    Stock stock;
    stock.venom = Grams{50};
    const auto stands = stand_of(std::vector{promised}, {}, {{"VMAC", stock}});
    CHECK(stands[0].promise_open() == Grams{30});
}

TEST_CASE("Stand, OneMoreGramIsWorthItsPriceUntilTheOrdersAreCovered")
{
    const std::vector orders{order(1, 100, "2026-09-01", 1250), order(2, 100, "2026-10-01", 900)};
    Stock stock;
    const auto worth = [&](double at_hand) {
        stock.venom = Grams{at_hand};
        const auto demand = demand_of(stand_of(orders, {}, {{"VMAC", stock}}));
        return worth_of_gram(&demand.at("VMAC"), 1, 0.3, 1000);
    };
    CHECK(worth(0) == Approx(1.25));
    CHECK(worth(120) == Approx(0.9));  // the better paid order is covered
    CHECK(worth(200) == Approx(0.3));
    CHECK(worth_of_gram(nullptr, 1, 0.3, 1000) == Approx(1));
    const auto demand = demand_of(stand_of(orders, {}, {}));
    CHECK(worth_of_gram(&demand.at("VMAC"), 2, 0.3, std::nullopt) == Approx(2));
}

TEST_CASE("Stand, ClosedOrdersWantNothing")
{
    auto filled = order(1, 100, "2026-09-01");
    filled.state = OrderState::Filled;
    CHECK(stand_of(std::vector{filled}, {}, {}).empty());
    CHECK(demand_of({}).empty());
}
