#include "geocore/records/partner.hpp"

namespace nestround {

std::string_view text(PlaceForm form) { return form == PlaceForm::Cell ? "cell" : "point"; }

std::optional<PlaceForm> place_form(std::string_view word)
{
    for (const auto form : {PlaceForm::Point, PlaceForm::Cell}) {
        if (text(form) == word) {
            return form;
        }
    }
    return std::nullopt;
}

std::string_view text(PartnerDecision decision)
{
    switch (decision) {
        case PartnerDecision::Open:
            return "open";
        case PartnerDecision::Same:
            return "same";
        case PartnerDecision::Other:
            return "other";
        case PartnerDecision::Refused:
            return "refused";
    }
    return "";
}

std::optional<PartnerDecision> partner_decision(std::string_view word)
{
    for (const auto decision : {PartnerDecision::Open, PartnerDecision::Same,
                                PartnerDecision::Other, PartnerDecision::Refused}) {
        if (text(decision) == word) {
            return decision;
        }
    }
    return std::nullopt;
}

}  // namespace nestround
