#include "planner/freezer/stand.hpp"

#include <algorithm>
#include <tuple>

namespace nestround::freezer {

namespace {

Grams positive(Grams grams) { return std::max(grams, Grams{0}); }

/// Takes up to `wanted` out of `from`.
Grams take(Grams& from, Grams wanted)
{
    const Grams taken = std::min(from, positive(wanted));
    from -= taken;
    return taken;
}

Spread<Grams> take(Spread<Grams>& from, Grams wanted)
{
    return {take(from.low, wanted), take(from.middle, wanted), take(from.high, wanted)};
}

Spread<Grams> sum(const Spread<Grams>& a, const Spread<Grams>& b)
{
    return {a.low + b.low, a.middle + b.middle, a.high + b.high};
}

}  // namespace

Grams OrderStand::missing() const { return positive(order.wanted - shipped - ready - loose); }

Grams OrderStand::promise_open() const
{
    return order.promised ? positive(*order.promised - shipped - ready - loose) : Grams{0};
}

std::vector<OrderStand> stand_of(std::span<const Order> orders,
                                 const std::map<OrderId, Grams>& shipped,
                                 std::map<std::string, Stock> stock)
{
    std::vector<OrderStand> out;
    for (const auto& order : orders) {
        if (order.state == OrderState::Open) {
            OrderStand stand;
            stand.order = order;
            if (const auto left = shipped.find(order.id); left != shipped.end()) {
                stand.shipped = left->second;
            }
            out.push_back(std::move(stand));
        }
    }
    std::sort(out.begin(), out.end(), [](const OrderStand& a, const OrderStand& b) {
        const auto rank = [](const Order& order) {
            return std::tuple{order.due.value_or(Day::max()), -order.price_minor.value_or(0),
                              order.placed, order.id};
        };
        return rank(a.order) < rank(b.order);
    });
    for (auto& stand : out) {
        auto& at_hand = stock[stand.order.taxon];
        const Grams wanted = stand.order.wanted - stand.shipped;
        if (stand.order.purpose == LotPurpose::Other) {
            stand.ready = take(at_hand.other, wanted);
        }
        stand.ready += take(at_hand.venom, wanted - stand.ready);
        stand.loose = take(at_hand.loose, wanted - stand.ready);
        const auto brood = take(at_hand.from_brood, stand.missing());
        Spread<Grams> rest{stand.missing() - brood.low, stand.missing() - brood.middle,
                           stand.missing() - brood.high};
        const Spread<Grams> season{take(at_hand.from_season.low, rest.low),
                                   take(at_hand.from_season.middle, rest.middle),
                                   take(at_hand.from_season.high, rest.high)};
        stand.expected = sum(brood, season);
    }
    return out;
}

std::map<std::string, Demand> demand_of(std::span<const OrderStand> stands)
{
    std::map<std::string, Demand> out;
    for (const auto& stand : stands) {
        auto& demand = out[stand.order.taxon];
        demand.missing += stand.missing();
        if (stand.missing() > Grams{0} && stand.order.price_minor) {
            demand.price_minor = std::max(demand.price_minor.value_or(0), *stand.order.price_minor);
        }
    }
    return out;
}

double worth_of_gram(const Demand* demand, double base, double surplus,
                     std::optional<double> minor_per_point)
{
    if (demand == nullptr) {
        return base;
    }
    if (!(demand->missing > Grams{0})) {
        return base * surplus;
    }
    if (demand->price_minor && minor_per_point && *minor_per_point > 0) {
        return static_cast<double>(*demand->price_minor) / *minor_per_point;
    }
    return base;
}

}  // namespace nestround::freezer
