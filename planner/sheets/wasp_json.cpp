#include <nlohmann/json.hpp>

#include "planner/sheets/wasp_text.hpp"

namespace nestround::sheets {

namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& json)
{
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Json trait_of(const nature::Trait& trait)
{
    Json answers = Json::array();
    for (const auto& answer : trait.answers) {
        Json one{{"answer", answer.key}, {"words", answer.words}};
        if (!trait.unit.empty()) {
            one["from"] = answer.from ? Json(*answer.from) : nullptr;
            one["to"] = answer.to ? Json(*answer.to) : nullptr;
        }
        answers.push_back(std::move(one));
    }
    return {{"trait", trait.key},
            {"of", trait.of_wasp ? "wasp" : "nest"},
            {"question", trait.question},
            {"unit", trait.unit.empty() ? Json(nullptr) : Json(trait.unit)},
            {"answers", std::move(answers)}};
}

}  // namespace

std::string wasp_json(const nature::WaspName& name, const WaspHead& head)
{
    Json out;
    out["place"] = head.place;
    out["on"] = format_day(head.on);
    out["notes"] = head.notes;
    Json seen = Json::object();
    for (const auto& one : name.heeded) {
        seen[one.trait] = one.answer;
    }
    out["seen"] = std::move(seen);
    out["contradiction"] = name.contradiction;
    out["contradictory"] = name.contradictory;
    out["against"] = name.against;
    out["wasps_looked_at"] = name.wasp_seen;
    out["trust"] = name.trust;
    out["entropy_bits"] = name.entropy_bits;
    Json taxa = Json::array();
    for (const auto& one : name.taxa) {
        taxa.push_back({{"code", one.taxon->code},
                        {"name", one.taxon->name},
                        {"chance", one.chance},
                        {"chance_by_place_and_day", one.before},
                        {"chance_alive", one.alive}});
    }
    out["taxa"] = std::move(taxa);
    Json genera = Json::array();
    for (const auto& one : name.genera) {
        genera.push_back({{"genus", one.genus}, {"chance", one.chance}});
    }
    out["genera"] = std::move(genera);
    Json looks = Json::array();
    for (const auto& one : name.looks) {
        Json look = trait_of(one.trait);
        look["bits"] = one.bits;
        looks.push_back(std::move(look));
    }
    out["look_next"] = std::move(looks);
    Json alike = Json::array();
    for (const auto& one : name.look_alikes) {
        alike.push_back(
            {{"code", one.taxon->code}, {"tells", one.tells}, {"mark", text(one.mark)}});
    }
    out["look_alikes"] = std::move(alike);
    out["figures_used"] = name.shares_used;
    out["figures_read"] = name.shares_read;
    return dumped(out);
}

std::string traits_json(const std::vector<nature::Trait>& traits)
{
    Json list = Json::array();
    for (const auto& trait : traits) {
        list.push_back(trait_of(trait));
    }
    return dumped({{"traits", std::move(list)}});
}

}  // namespace nestround::sheets
