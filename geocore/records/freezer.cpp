#include "geocore/records/freezer.hpp"

#include <array>
#include <utility>

namespace nestround {

namespace {

constexpr std::array<std::pair<FreezingMethod, std::string_view>, 4> kMethods{
    {{FreezingMethod::Unknown, "unknown"},
     {FreezingMethod::DryIce, "dry_ice"},
     {FreezingMethod::Freezer, "freezer"},
     {FreezingMethod::Other, "other"}}};

constexpr std::array<std::pair<ChainKind, std::string_view>, 5> kKinds{
    {{ChainKind::Seal, "seal"},
     {ChainKind::Correction, "correction"},
     {ChainKind::Move, "move"},
     {ChainKind::Shipment, "shipment"},
     {ChainKind::Excursion, "excursion"}}};

template <class Table, class Value>
std::string_view word_of(const Table& table, Value value)
{
    for (const auto& [each, name] : table) {
        if (each == value) {
            return name;
        }
    }
    return table.front().second;
}

template <class Table>
auto value_of(const Table& table, std::string_view text)
    -> std::optional<typename Table::value_type::first_type>
{
    for (const auto& [value, name] : table) {
        if (name == text) {
            return value;
        }
    }
    return std::nullopt;
}

}  // namespace

std::string_view text(FreezingMethod method) { return word_of(kMethods, method); }
std::string_view text(ChainKind kind) { return word_of(kKinds, kind); }
std::optional<FreezingMethod> freezing_method(std::string_view text)
{
    return value_of(kMethods, text);
}
std::optional<ChainKind> chain_kind(std::string_view text) { return value_of(kKinds, text); }

std::string FreezerPlace::text() const
{
    std::string out = "freezer " + freezer;
    if (!shelf.empty()) {
        out += ", shelf " + shelf;
    }
    if (!box.empty()) {
        out += ", box " + box;
    }
    return out;
}

std::string_view text(LotPurpose purpose)
{
    return purpose == LotPurpose::Venom ? "venom" : "other";
}

std::string_view text(OrderState state)
{
    switch (state) {
        case OrderState::Open:
            return "open";
        case OrderState::Filled:
            return "filled";
        case OrderState::Cancelled:
            break;
    }
    return "cancelled";
}

std::optional<LotPurpose> lot_purpose(std::string_view text)
{
    for (const auto value : {LotPurpose::Venom, LotPurpose::Other}) {
        if (nestround::text(value) == text) {
            return value;
        }
    }
    return std::nullopt;
}

std::optional<OrderState> order_state(std::string_view text)
{
    for (const auto value : {OrderState::Open, OrderState::Filled, OrderState::Cancelled}) {
        if (nestround::text(value) == text) {
            return value;
        }
    }
    return std::nullopt;
}

}  // namespace nestround
