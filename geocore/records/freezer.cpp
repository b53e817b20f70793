#include "geocore/records/freezer.hpp"

namespace nestround {

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
