#include "planner/app/orders.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <set>

#include "geocore/base/error.hpp"
#include "planner/app/plan_brood.hpp"

namespace nestround::app {

namespace {

Grams mass_of(const freezer::LotStory& story) { return story.now.mass.value_or(Grams{0}); }

std::map<OrderId, Grams> shipped_by_order(const std::vector<freezer::LotStory>& lots)
{
    std::map<OrderId, Grams> out;
    for (const auto& story : lots) {
        if (story.shipment && story.shipment->order && !story.card.withdrawn) {
            out[*story.shipment->order] += mass_of(story);
        }
    }
    return out;
}

std::map<std::string, freezer::Stock> stock_of(const book::Book& book, Day on,
                                               const std::vector<freezer::LotStory>& lots)
{
    std::map<std::string, freezer::Stock> stock;
    for (const auto& story : lots) {
        if (story.card.lot.sealed_at && !story.card.shipment && !story.card.withdrawn) {
            auto& of = stock[story.now.taxon];
            (story.now.purpose == LotPurpose::Venom ? of.venom : of.other) += mass_of(story);
        }
    }
    for (const auto& thing : book.loose()) {
        const bool is_recent =
            thing.at >= Instant{on - kLooseFor} && thing.at < Instant{on + std::chrono::days{1}};
        if (is_recent && !thing.insecticide && !thing.taxon.empty()) {
            stock[thing.taxon].loose +=
                thing.mass.value_or(Grams{0}) - thing.taken.value_or(Grams{0});
        }
    }
    return stock;
}

/// Grams by species of a plan that `nestround season --json` wrote.
void add_season(std::map<std::string, freezer::Stock>& stock, const std::string& path)
{
    std::ifstream file{path, std::ios::binary};
    if (!file) {
        throw Failure{ErrorCode::NotFound, "there is no such file", path};
    }
    try {
        const auto json = nlohmann::json::parse(file);
        if (json.at("form") != "nestround-season") {
            throw Failure{ErrorCode::InvalidInput, "this is no plan of a season", path};
        }
        for (const auto& each : json.at("grams")) {
            if (each.at("taxon").is_null()) {
                continue;
            }
            auto& of = stock[each.at("taxon").get<std::string>()].from_season;
            const auto sum = [&](const char* bound) {
                return Grams{each.at(std::string{"waiting_"} + bound).get<double>() +
                             each.at(std::string{"expected_"} + bound).get<double>()};
            };
            of = {sum("p10"), sum("p50"), sum("p90")};
        }
        for (auto& [taxon, of] : stock) {
            of.season_known = true;
        }
    } catch (const nlohmann::json::exception&) {
        throw Failure{ErrorCode::InvalidInput,
                      "this is no whole plan of a season; write it anew with: nestround season "
                      "BOOK --json FILE",
                      path};
    }
}

std::vector<Order> open_orders(const book::Book& book)
{
    auto orders = book.orders();
    std::erase_if(orders, [](const Order& order) { return order.state != OrderState::Open; });
    return orders;
}

Sent sent_of(const book::Book& book, Shipment shipment)
{
    Sent out;
    if (shipment.order) {
        out.order = book.order(*shipment.order);
    }
    for (const auto& lot : shipment.lots) {
        out.lots.push_back(story_of(book, lot));
    }
    out.link = book.chain_link(ChainKind::Shipment, shipment.id.uuid());
    out.shipment = std::move(shipment);
    return out;
}

/// Workers that are still to come of the comb that stands, as grams of frozen wasps. The bounds of
/// several combs are added up, so they are wide.
void add_brood(std::map<std::string, freezer::Stock>& stock, const book::Book& book,
               const Preferences& preferences, Day on)
{
    BroodWishes wishes;
    wishes.on = on;
    const auto brood = plan_brood(book, preferences, wishes);
    for (auto& [taxon, of] : stock) {
        of.brood_known = true;
    }
    for (std::size_t h = 0; h < brood.plan.habitats.size(); ++h) {
        const auto& combs = brood.input.habitats[h].combs;
        for (std::size_t c = 0; c < combs.size(); ++c) {
            if (!(combs[c].worth_per_gram > 0)) {
                continue;  // of a nest that had insecticide
            }
            const auto& left = brood.plan.habitats[h].combs[c].emergence.workers_left;
            const double each = combs[c].input.figures.worker_mg / 1000;
            auto& of = stock[combs[c].taxon];
            of.brood_known = true;
            of.from_brood.low += Grams{left.low * each};
            of.from_brood.middle += Grams{left.middle * each};
            of.from_brood.high += Grams{left.high * each};
        }
    }
}

}  // namespace

Order add_order(book::Book& book, const nature::TaxaTable& taxa, const OrderWishes& wishes,
                Instant now, KeyMaker& keys)
{
    const auto* taxon = taxa.recognise(wishes.species);
    if (taxon == nullptr) {
        throw Failure{ErrorCode::BadUsage,
                      fmt::format("'{}' is no species of the taxa table; 'nestround taxa list' "
                                  "shows them",
                                  wishes.species)};
    }
    Order order;
    order.id = keys.make<OrderId>(now);
    order.laboratory = wishes.laboratory;
    order.taxon = taxon->code;
    order.purpose = wishes.purpose;
    order.wanted = wishes.wanted;
    order.placed = wishes.placed;
    order.due = wishes.due;
    order.price_minor = wishes.price_minor;
    order.promised = wishes.promised;
    order.note = wishes.note;
    book::Change change{book, now};
    for (const auto& other : open_orders(book)) {
        if (!wishes.again && other.laboratory == order.laboratory && other.taxon == order.taxon &&
            other.wanted == order.wanted && other.due == order.due) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("just this order is open already, {}; if this is one more "
                                      "like it, add --again",
                                      freezer::tail(other.id.uuid())),
                          book.path().string()};
        }
    }
    change.insert(order);
    change.commit();
    return order;
}

Order find_order(const book::Book& book, const std::string& key)
{
    std::vector<Order> found;
    for (auto& order : book.orders()) {
        const auto id = order.id.text();
        if ((key.size() >= 4 && id.ends_with(key)) ||
            (order.laboratory == key && order.state == OrderState::Open)) {
            found.push_back(std::move(order));
        }
    }
    if (found.size() != 1) {
        throw Failure{found.empty() ? ErrorCode::NotFound : ErrorCode::InvalidInput,
                      found.empty() ? "no order is named so; 'nestround order list' shows them"
                                    : "more than one order fits; give the end of its key",
                      "order " + key};
    }
    return found.front();
}

void set_order_state(book::Book& book, const std::string& key, OrderState state, Instant now)
{
    book::Change change{book, now};
    auto order = find_order(book, key);
    order.state = state;
    change.update(order);
    change.commit();
}

namespace {

template <class AddExpected>
OrderBook stands_of(const book::Book& book, Day on, const AddExpected& add_expected)
{
    OrderBook out;
    const auto orders = open_orders(book);
    const auto lots = all_lots(book);
    out.stock = stock_of(book, on, lots);
    for (const auto& order : orders) {
        out.stock.try_emplace(order.taxon);
    }
    add_expected(out.stock);
    out.stands = freezer::stand_of(orders, shipped_by_order(lots), out.stock);
    out.demand = freezer::demand_of(out.stands);
    return out;
}

}  // namespace

OrderBook order_book(const book::Book& book, Day on)
{
    return stands_of(book, on, [](const auto&) {});
}

OrderBook order_book(const book::Book& book, const Preferences& preferences, Day on,
                     const std::string& season_file)
{
    return stands_of(book, on, [&](std::map<std::string, freezer::Stock>& stock) {
        add_brood(stock, book, preferences, on);
        if (!season_file.empty()) {
            add_season(stock, season_file);
        }
    });
}

rank::RankSettings rank_by_orders(const book::Book& book, const Preferences& preferences, Day on,
                                  Beyond beyond)
{
    auto settings = preferences.rank;
    if (open_orders(book).empty()) {
        return settings;  // nothing to weigh: the freezer is not even looked into
    }
    for (const auto& [taxon, demand] : order_book(book, on).demand) {
        if (!settings.worth_by_taxon.contains(taxon)) {
            settings.worth_by_taxon[taxon] = freezer::worth_of_gram(
                &demand, settings.worth_per_gram,
                beyond == Beyond::Weighed ? preferences.orders.surplus_worth : 1,
                preferences.orders.minor_per_point);
        }
    }
    return settings;
}

Sent ship_lots(book::Book& book, const ShipWishes& wishes, const Hand& hand, KeyMaker& keys)
{
    if (wishes.lots.empty()) {
        throw Failure{ErrorCode::BadUsage, "nothing to ship: name lots by their codes"};
    }
    book::Change change{book, hand.now};
    if (hand.clock_is_right) {
        change.clock_is_right();
    }
    Shipment shipment;
    shipment.id = keys.make<ShipmentId>(hand.now);
    shipment.shipped = wishes.shipped;
    shipment.carrier = wishes.carrier;
    shipment.tracking = wishes.tracking;
    shipment.ice = wishes.ice;
    shipment.packed_by = hand.who;
    shipment.note = wishes.note;
    std::optional<Order> order;
    if (!wishes.order.empty()) {
        order = find_order(book, wishes.order);
        if (order->state != OrderState::Open) {
            throw Failure{ErrorCode::InvalidInput,
                          fmt::format("it is {} already", text(order->state)),
                          "order " + wishes.order};
        }
        shipment.order = order->id;
    }
    std::set<LotId> named;
    for (const auto& code : wishes.lots) {
        const auto story = story_of(book, find_lot(book, code));
        const auto& card = story.card;
        const auto refuse = [&](const std::string& why) {
            throw Failure{ErrorCode::InvalidInput, why, "lot " + card.lot.code};
        };
        if (!named.insert(card.lot.id).second) {
            refuse("it is named twice");
        }
        if (card.shipped) {
            refuse(fmt::format("it was shipped on {} already ({})", format_day(*card.shipped),
                               freezer::tail(card.shipment->uuid())));
        }
        if (card.withdrawn) {
            refuse("it is withdrawn");
        }
        if (!card.lot.sealed_at) {
            refuse("it is not sealed");
        }
        // A day's grace: the day is the crew's, the seal's instant is in UTC.
        if (Instant{wishes.shipped + std::chrono::days{2}} <= *card.lot.sealed_at) {
            refuse(fmt::format("it cannot leave on {}: it was sealed on {}",
                               format_day(wishes.shipped),
                               format_instant(*card.lot.sealed_at).substr(0, 10)));
        }
        if (order && card.lot.taxon != order->taxon) {
            refuse(
                fmt::format("it is {}, and the order asks for {}", card.lot.taxon, order->taxon));
        }
        if (order && order->purpose == LotPurpose::Venom && card.lot.purpose != LotPurpose::Venom) {
            refuse("it is not for venom, and the order is");
        }
        shipment.lots.push_back(card.lot.id);
    }
    change.insert(shipment);
    if (order) {
        // With the lots of this change, which sees its own rows.
        const auto shipped = shipped_by_order(all_lots(book));
        const auto at = shipped.find(order->id);
        if (at != shipped.end() && at->second >= order->wanted) {
            order->state = OrderState::Filled;
            change.update(*order);
        }
    }
    change.commit();
    return sent_of(book, *book.shipment(shipment.id));
}

Sent find_shipment(const book::Book& book, const std::string& key)
{
    const auto ids = book.ids_ending("shipment", key);
    if (ids.size() == 1) {
        return sent_of(book, *book.shipment(ShipmentId{ids.front()}));
    }
    const auto card = book.lot_card(find_lot(book, key));
    if (!card->shipment) {
        throw Failure{ErrorCode::NotFound, "it was not shipped", "lot " + card->lot.code};
    }
    return sent_of(book, *book.shipment(*card->shipment));
}

}  // namespace nestround::app
