#include <algorithm>
#include <numeric>
#include <tuple>
#include <utility>

#include "geocore/place/address_list.hpp"

namespace nestround::place {
namespace {

auto key(LonLat at) { return std::tuple{at.lon.value(), at.lat.value()}; }
auto key(const RawHouse& h)
{
    return std::tuple{key(h.at), std::tie(h.number, h.street, h.city, h.postcode),
                      h.uncertainty.value()};
}
auto key(const RawNumberRun& run) { return std::tuple{key(run.first), key(run.last), run.step}; }
auto key(const RawStretch& s) { return std::tuple{key(s.low), key(s.high), std::tie(s.name)}; }
auto key(const RawSettlement& s) { return std::tuple{key(s.at), std::tie(s.name, s.kind)}; }

/// Keeps the first of each, in their order.
template <class T>
void keep_first(std::vector<T>& all)
{
    std::vector<std::size_t> order(all.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](auto a, auto b) { return key(all[a]) < key(all[b]); });
    std::vector<char> twice(all.size(), 0);
    for (std::size_t i = 1; i < order.size(); ++i) {
        twice[order[i]] = key(all[order[i]]) == key(all[order[i - 1]]) ? 1 : 0;
    }
    std::vector<T> kept;
    for (std::size_t i = 0; i < all.size(); ++i) {
        if (twice[i] == 0) {
            kept.push_back(std::move(all[i]));
        }
    }
    all = std::move(kept);
}

}  // namespace

std::size_t drop_doubles(RawAddresses& raw)
{
    const auto count = [&] {
        return raw.houses.size() + raw.runs.size() + raw.stretches.size() + raw.settlements.size();
    };
    const auto before = count();
    keep_first(raw.houses);
    keep_first(raw.runs);
    keep_first(raw.stretches);
    keep_first(raw.settlements);
    return before - count();
}

}  // namespace nestround::place
