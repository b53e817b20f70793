#include "planner/freezer/family.hpp"

namespace nestround::freezer {

std::string whereabouts(const LotStory& story)
{
    const auto& card = story.card;
    std::string words;
    if (card.shipped) {
        words = "shipped " + format_day(*card.shipped) +
                (story.laboratory.empty() ? "" : " to " + story.laboratory);
    } else if (card.place) {
        words = card.place->text();
    } else {
        words = card.lot.sealed_at ? "place not written down" : "open, not sealed";
    }
    return card.withdrawn ? "WITHDRAWN; " + words : words;
}

std::string tail(const Uuid& key)
{
    constexpr std::size_t kLength = 6;
    const std::string text = key.text();
    return text.substr(text.size() - kLength);
}

}  // namespace nestround::freezer
