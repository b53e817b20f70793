#include "geocore/place/address_list.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <tuple>
#include <utility>

#include "geocore/place/address_text.hpp"
#include "geocore/place/geodesic.hpp"

namespace nestround::place {

namespace {

// Radii of settlements and how far each draws streets to itself; assumptions.
struct Size {
    std::string_view kind;
    double radius_m;
};
constexpr std::array kSizes{
    Size{"city", 6000},  Size{"town", 2500}, Size{"suburb", 1500},          Size{"village", 900},
    Size{"hamlet", 400}, Size{"farm", 200},  Size{"isolated_dwelling", 200}};
constexpr double kOtherRadius = 500;
constexpr int kMostFilledIn = 500;     // numbers a run may hold
constexpr double kCellDegrees = 0.02;  // about 2 km
constexpr double kFarthestCells = 12;  // a settlement further off names nothing

double radius_of(std::string_view kind)
{
    const auto found = std::find_if(kSizes.begin(), kSizes.end(),
                                    [&](const Size& size) { return size.kind == kind; });
    return found == kSizes.end() ? kOtherRadius : found->radius_m;
}

std::string joined(std::string_view text)
{
    std::string out;
    for (const auto& word : folded_words(text)) {
        out += (out.empty() ? "" : " ") + canonical_word(word);
    }
    return out;
}

using Cell = std::pair<int, int>;
Cell cell_of(LonLat at)
{
    return {static_cast<int>(std::floor(at.lon.value() / kCellDegrees)),
            static_cast<int>(std::floor(at.lat.value() / kCellDegrees))};
}

/// Rough metres, for comparing only.
double rough_metres(LonLat a, LonLat b)
{
    const double dy = (a.lat - b.lat).value() * 111'000;
    const double dx = std::remainder((a.lon - b.lon).value(), 360) * 111'000 *
                      std::cos(a.lat.value() * 0.017453292519943295);
    return std::hypot(dx, dy);
}

/// The settlement a place belongs to: the one whose edge is nearest.
class Settlements {
public:
    explicit Settlements(const std::vector<RawSettlement>& all) : all_{all}
    {
        for (std::size_t i = 0; i < all.size(); ++i) {
            cells_[cell_of(all[i].at)].push_back(i);
        }
    }
    [[nodiscard]] std::string around(LonLat at) const
    {
        const auto [x, y] = cell_of(at);
        std::optional<std::size_t> best;
        double least = 0;
        for (int ring = 0; ring <= kFarthestCells; ++ring) {
            if (best && ring > 1 && least < (ring - 1) * 111'000 * kCellDegrees * 0.3) {
                break;
            }
            for (int dx = -ring; dx <= ring; ++dx) {
                const int step = std::abs(dx) == ring || ring == 0 ? 1 : 2 * ring;
                for (int dy = -ring; dy <= ring; dy += step) {
                    const auto cell = cells_.find({x + dx, y + dy});
                    if (cell == cells_.end()) {
                        continue;
                    }
                    for (const auto i : cell->second) {
                        const double away =
                            rough_metres(at, all_[i].at) - radius_of(all_[i].kind) / 2;
                        if (!best || away < least) {
                            best = i;
                            least = away;
                        }
                    }
                }
            }
        }
        return best ? all_[*best].name : std::string{};
    }

private:
    const std::vector<RawSettlement>& all_;
    std::map<Cell, std::vector<std::size_t>> cells_;
};

struct Box {
    LonLat low{Longitude{400}, Latitude{400}};
    LonLat high{Longitude{-400}, Latitude{-400}};

    void grow(LonLat at)
    {
        low = {std::min(low.lon, at.lon), std::min(low.lat, at.lat)};
        high = {std::max(high.lon, at.lon), std::max(high.lat, at.lat)};
    }
    [[nodiscard]] LonLat middle() const
    {
        return {Longitude{(low.lon.value() + high.lon.value()) / 2},
                Latitude{(low.lat.value() + high.lat.value()) / 2}};
    }
};

struct Street {
    std::string name;
    std::string city;
    std::map<std::string, std::size_t> postcodes;
    Box box;
    std::vector<AddressHouse> houses;
};

class Joiner {
public:
    explicit Joiner(const RawAddresses& raw) : raw_{raw}, settlements_{raw.settlements} {}

    AddressList run()
    {
        for (const auto& house : raw_.houses) {
            add(house, false);
        }
        for (const auto& run : raw_.runs) {
            fill_in(run);
        }
        for (const auto& stretch : raw_.stretches) {
            add(stretch);
        }
        return finish();
    }

private:
    using Key = std::pair<std::string, std::string>;  // folded street and settlement

    void add(const RawHouse& raw, bool filled_in)
    {
        const std::string city = raw.city.empty() ? settlements_.around(raw.at) : raw.city;
        const std::string& street = raw.street.empty() ? city : raw.street;
        if (street.empty()) {
            ++list_.left_out;
            return;
        }
        Key key{joined(street), joined(city)};
        if (key.first.empty()) {
            ++list_.left_out;
            return;
        }
        bool numbered = false;
        for (std::size_t from = 0; from <= raw.number.size();) {
            const auto end = std::min(raw.number.find_first_of(";,", from), raw.number.size());
            const auto words = folded_words(raw.number.substr(from, end - from));
            from = end + 1;
            std::string together;
            for (const auto& word : words) {
                together += word;
            }
            if (const auto number = house_number(together)) {
                auto& of = streets_[key];
                of.houses.push_back(
                    {0, number->first, number->last, together, raw.at, raw.uncertainty, filled_in});
                numbered = true;
            }
        }
        if (!numbered) {
            ++list_.left_out;
            return;
        }
        auto& of = streets_[key];
        if (of.name.empty()) {
            of.name = street;
            of.city = city;
        }
        of.box.grow(raw.at);
        if (!raw.postcode.empty()) {
            ++of.postcodes[raw.postcode];
        }
        city_by_cell_.try_emplace({key.first, cell_of(raw.at)}, city);
    }

    void fill_in(const RawNumberRun& run)
    {
        const auto low = house_number(run.first.number);
        const auto high = house_number(run.last.number);
        const int step = run.step;
        if (!low || !high || step < 1 || run.line.size() < 2 ||
            std::abs(high->first - low->first) / step > kMostFilledIn) {
            ++list_.left_out;
            return;
        }
        std::vector<double> along{0};
        for (std::size_t i = 1; i < run.line.size(); ++i) {
            along.push_back(along.back() + rough_metres(run.line[i - 1], run.line[i]));
        }
        const int sign = high->first > low->first ? 1 : -1;
        const double span = std::abs(high->first - low->first);
        for (int k = step; k < span; k += step) {
            const double wanted = along.back() * k / span;
            std::size_t i = 1;
            while (i + 1 < along.size() && along[i] < wanted) {
                ++i;
            }
            const double share =
                along[i] > along[i - 1] ? (wanted - along[i - 1]) / (along[i] - along[i - 1]) : 0;
            const auto& a = run.line[i - 1];
            const auto& b = run.line[i];
            RawHouse house = run.first;
            house.street = run.first.street.empty() ? run.last.street : run.first.street;
            house.number = std::to_string(low->first + sign * k);
            house.at = {a.lon + (b.lon - a.lon) * share, a.lat + (b.lat - a.lat) * share};
            house.uncertainty = kHouseUncertainty + Metres{std::max(wanted, along.back() - wanted)};
            add(house, true);
        }
    }

    void add(const RawStretch& stretch)
    {
        const std::string name = joined(stretch.name);
        if (name.empty()) {
            return;
        }
        Box box;
        box.grow(stretch.low);
        box.grow(stretch.high);
        const auto middle = box.middle();
        const auto [x, y] = cell_of(middle);
        std::string city;
        for (const auto& [dx, dy] : {Cell{0, 0}, Cell{-1, 0}, Cell{1, 0}, Cell{0, -1}, Cell{0, 1},
                                     Cell{-1, -1}, Cell{1, -1}, Cell{-1, 1}, Cell{1, 1}}) {
            const auto found = city_by_cell_.find({name, {x + dx, y + dy}});
            if (found != city_by_cell_.end()) {
                city = found->second;
                break;
            }
        }
        if (city.empty()) {
            city = settlements_.around(middle);
        }
        auto& of = streets_[{name, joined(city)}];
        if (of.name.empty()) {
            of.name = stretch.name;
            of.city = city;
        }
        of.box.grow(stretch.low);
        of.box.grow(stretch.high);
    }

    AddressList finish()
    {
        for (const auto& place : raw_.settlements) {
            list_.spots.push_back(
                {place.kind, place.name, {}, {}, place.at, Metres{radius_of(place.kind)}, 0});
        }
        std::stable_sort(list_.spots.begin(), list_.spots.end(),
                         [](const AddressSpot& a, const AddressSpot& b) {
                             return std::tuple{-a.uncertainty.value(), a.name} <
                                    std::tuple{-b.uncertainty.value(), b.name};
                         });
        std::vector<Street*> order;
        for (auto& [key, street] : streets_) {
            order.push_back(&street);
        }
        std::stable_sort(order.begin(), order.end(), [](const Street* a, const Street* b) {
            return a->houses.size() > b->houses.size();
        });
        for (auto* street : order) {
            finish(*street);
        }
        return std::move(list_);
    }

    void finish(Street& street)
    {
        AddressSpot spot{"street", street.name, street.city, {}, street.box.middle(), {}, 0};
        for (const auto& [postcode, count] : street.postcodes) {
            spot.postcodes += (spot.postcodes.empty() ? "" : " ") + postcode;
        }
        spot.uncertainty =
            kHouseUncertainty + geodesic_distance(street.box.low, street.box.high) * 0.5;
        // A number that is known makes a filled-in one of the same text needless.
        auto& houses = street.houses;
        std::stable_sort(houses.begin(), houses.end(),
                         [](const AddressHouse& a, const AddressHouse& b) {
                             return std::tuple{a.first, std::string_view{a.shown}, a.filled_in} <
                                    std::tuple{b.first, std::string_view{b.shown}, b.filled_in};
                         });
        houses.erase(std::unique(houses.begin(), houses.end(),
                                 [](const AddressHouse& a, const AddressHouse& b) {
                                     return a.first == b.first && a.shown == b.shown;
                                 }),
                     houses.end());
        spot.houses = houses.size();
        const auto index = static_cast<std::uint32_t>(list_.spots.size());
        list_.spots.push_back(std::move(spot));
        for (auto& house : houses) {
            house.spot = index;
            list_.houses.push_back(std::move(house));
        }
    }

    const RawAddresses& raw_;
    Settlements settlements_;
    std::map<Key, Street> streets_;
    std::map<std::pair<std::string, Cell>, std::string> city_by_cell_;
    AddressList list_;
};

}  // namespace

AddressList join_addresses(const RawAddresses& raw) { return Joiner{raw}.run(); }

}  // namespace nestround::place
