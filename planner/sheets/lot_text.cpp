#include "planner/sheets/lot_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace nestround::sheets {

namespace {

std::string day_text(Instant at) { return format_instant(at).substr(0, 10); }
std::string minute_text(Instant at) { return format_instant(at).substr(0, 16) + "Z"; }

std::string grams_text(std::optional<Grams> grams)
{
    return grams ? fmt::format("{:.1f} g", grams->value()) : "- g";
}

std::string about(Grams grams) { return fmt::format("{:.0f}", grams.value()); }

std::string spread_text(const Spread<Grams>& grams)
{
    return fmt::format("{} g ({} to {})", about(grams.middle), about(grams.low), about(grams.high));
}

std::string things_name(const Ancestor& thing)
{
    return thing.catch_id ? "catch " + freezer::tail(thing.catch_id->uuid())
                          : "collection " + freezer::tail(thing.collection->uuid());
}

std::string amount_text(const Ancestor& thing)
{
    std::string out = thing.mass || !thing.count ? grams_text(thing.mass) : "not weighed";
    if (thing.count && *thing.count > 0) {
        out += fmt::format(", {} wasps", *thing.count);
    }
    if (thing.parent && thing.parent->mass) {
        out = grams_text(thing.parent->mass) + " of " + out;
    }
    return out;
}

/// The way back from a catch or collection, one line a step.
void add_way_back(std::string& out, const std::string& indent, const Ancestor& thing)
{
    std::string gap = indent;
    const auto step = [&](const std::string& words) {
        out += gap + "└─ " + words + "\n";
        gap += "   ";
    };
    if (thing.comb) {
        step("comb " + freezer::tail(thing.comb->uuid()));
    }
    step("visit " + freezer::tail(thing.visit.uuid()) + ", " + minute_text(thing.visited));
    step("nest " + freezer::tail(thing.nest.uuid()) +
         (thing.insecticide ? ", HAD INSECTICIDE" : ""));
    if (thing.call) {
        step(fmt::format("call {}{}", freezer::tail(thing.call->uuid()),
                         thing.received ? ", received " + format_day(*thing.received) : ""));
    }
}

std::string marks_text(const freezer::LotStory& story)
{
    std::string out;
    if (story.card.withdrawn) {
        out += " WITHDRAWN";
    }
    if (story.card.corrections > (story.card.withdrawn ? 1 : 0)) {
        out += " corrected";
    }
    if (story.card.excursions > 0) {
        out += fmt::format(" WAS WARM {}x", story.card.excursions);
    }
    if (story.now.purpose != LotPurpose::Venom) {
        out += " not for venom";
    }
    return out.empty() ? out : out.substr(1);
}

std::string place_text(const freezer::LotStory& story)
{
    auto words = freezer::whereabouts(story);
    return words.starts_with("WITHDRAWN; ") ? words.substr(11) : words;
}

}  // namespace

std::string money_text(std::int64_t minor, const std::string& currency)
{
    return fmt::format("{}.{:02} {}", minor / 100, minor % 100, currency);
}

std::string lot_list_text(std::span<const freezer::LotStory> lots)
{
    if (lots.empty()) {
        return "no lots; 'nestround lot loose' lists what can be sealed\n";
    }
    std::string out = fmt::format("{:<10}{:<6}{:>10}  {:<11} {:<30} {}\n", "lot", "kind", "mass",
                                  "frozen", "where", "");
    std::size_t width = 30;
    for (const auto& story : lots) {
        width = std::max(width, place_text(story).size());
    }
    width = std::min<std::size_t>(width, 44);
    std::map<std::string, Grams> sums;
    for (const auto& story : lots) {
        std::string line =
            fmt::format("{:<10}{:<6}{:>10}  {:<11} {:<{}} {}", story.now.code, story.now.taxon,
                        grams_text(story.now.mass), day_text(story.now.frozen_at),
                        place_text(story), width, marks_text(story));
        line.erase(line.find_last_not_of(' ') + 1);
        out += line + "\n";
        if (story.card.lot.sealed_at && !story.card.shipped && !story.card.withdrawn) {
            sums[story.now.taxon] += story.now.mass.value_or(Grams{0});
        }
    }
    for (const auto& [taxon, sum] : sums) {
        out += fmt::format("in the freezer: {:.1f} g of {}\n", sum.value(), taxon);
    }
    return out;
}

std::string loose_text(std::span<const Ancestor> things)
{
    if (things.empty()) {
        return "nothing is loose: every catch and collection is in a lot\n";
    }
    std::string out = fmt::format("{:<19}{:<6}{:<22}{:<12}{:<9}{}\n", "what", "kind", "amount",
                                  "frozen", "nest", "call");
    for (const auto& thing : things) {
        std::string amount = amount_text(thing);
        if (thing.taken && thing.mass) {
            amount = fmt::format("{:.1f} g left", (*thing.mass - *thing.taken).value());
        }
        std::string line = fmt::format("{:<19}{:<6}{:<22}{:<12}{:<9}{}{}", things_name(thing),
                                       thing.taxon.empty() ? "?" : thing.taxon, amount,
                                       day_text(thing.at), freezer::tail(thing.nest.uuid()),
                                       thing.call ? freezer::tail(thing.call->uuid()) : "",
                                       thing.insecticide ? "  HAD INSECTICIDE: not for venom" : "");
        line.erase(line.find_last_not_of(' ') + 1);
        out += line + "\n";
    }
    return out;
}

std::string lot_text(const freezer::LotStory& story, const std::string& name)
{
    const auto& now = story.now;
    std::string out = fmt::format("lot {}\n", now.code);
    const auto say = [&](std::string_view what, const std::string& words) {
        if (!words.empty()) {
            out += fmt::format("  {:<10} {}\n", what, words);
        }
    };
    say("species", fmt::format("{} ({})", name, now.taxon));
    say("purpose", now.purpose == LotPurpose::Venom ? "for venom" : "NOT for venom");
    say("mass", grams_text(now.mass) + (now.count ? fmt::format(", {} wasps", *now.count) : ""));
    say("frozen",
        minute_text(now.frozen_at) + (now.method == FreezingMethod::DryIce    ? " on dry ice"
                                      : now.method == FreezingMethod::Freezer ? " in a freezer"
                                                                              : ""));
    say("sealed", now.sealed_at ? minute_text(*now.sealed_at) + " by " +
                                      (now.sealed_by.empty() ? "?" : now.sealed_by)
                                : "no: open");
    say("container", now.container);
    say("where", freezer::whereabouts(story));
    say("note", now.note);
    for (const auto& move : story.moves) {
        say("put", minute_text(move.at) + " into " + move.place.text() + " by " + move.who +
                       (move.note.empty() ? "" : ": " + move.note));
    }
    for (const auto& correction : story.corrections) {
        say("corrected", fmt::format("{} by {}: {}; {}", minute_text(correction.at), correction.who,
                                     correction.field == "withdrawn"
                                         ? "WITHDRAWN"
                                         : fmt::format("{} was '{}', is '{}'", correction.field,
                                                       correction.was, correction.becomes),
                                     correction.why));
    }
    for (const auto& excursion : story.excursions) {
        say("WAS WARM", fmt::format("{} to {}: up to {:.1f} C, limit {:.1f} C, {}",
                                    minute_text(excursion.began), minute_text(excursion.ended),
                                    excursion.warmest.value(), excursion.limit.value(),
                                    excursion.place.text()));
    }
    return out;
}

std::string trace_text(const freezer::LotStory& story)
{
    std::string out = fmt::format("lot {}, {}, {}, frozen {}: {}\n", story.now.code,
                                  story.now.taxon, grams_text(story.now.mass),
                                  day_text(story.now.frozen_at), freezer::whereabouts(story));
    for (std::size_t i = 0; i < story.ancestors.size(); ++i) {
        const bool is_last = i + 1 == story.ancestors.size();
        const auto& thing = story.ancestors[i];
        out += fmt::format("{} {}, {}, {} {}\n", is_last ? "└─" : "├─", things_name(thing),
                           amount_text(thing), thing.catch_id ? "frozen" : "collected",
                           minute_text(thing.at));
        add_way_back(out, is_last ? "   " : "│  ", thing);
    }
    return out;
}

std::string nest_text(NestId nest, std::span<const freezer::LotStory> lots,
                      std::span<const Ancestor> loose)
{
    std::string out = fmt::format("nest {}\n", freezer::tail(nest.uuid()));
    std::size_t left = loose.size();
    for (const auto& story : lots) {
        left += story.ancestors.size();
    }
    if (left == 0) {
        return out + "└─ nothing was caught or collected\n";
    }
    const auto branch = [&](const Ancestor& thing, const std::string& lot) {
        const bool is_last = --left == 0;
        out +=
            fmt::format("{} {}, {}, {} {}\n{}  └─ {}\n", is_last ? "└─" : "├─", things_name(thing),
                        amount_text(thing), thing.catch_id ? "frozen" : "collected",
                        minute_text(thing.at), is_last ? " " : "│", lot);
    };
    for (const auto& story : lots) {
        for (const auto& thing : story.ancestors) {
            branch(thing, fmt::format("lot {}, {}: {}", story.now.code, grams_text(story.now.mass),
                                      freezer::whereabouts(story)));
        }
    }
    for (const auto& thing : loose) {
        branch(thing, "in no lot");
    }
    return out;
}

std::string recall_text(const freezer::Recall& recall)
{
    std::string out = recall.asked;
    for (const auto& nest : recall.nests) {
        const auto name = "nest " + freezer::tail(nest.uuid());
        if (name != recall.asked) {
            out += (out == recall.asked ? ": " : ", ") + name;
        }
    }
    out += fmt::format("\n{} {} a nest with it:\n", recall.lots.size(),
                       recall.lots.size() == 1 ? "lot shares" : "lots share");
    for (const auto& story : recall.lots) {
        std::string shared;
        for (const auto& thing : story.ancestors) {
            if (std::find(recall.nests.begin(), recall.nests.end(), thing.nest) !=
                recall.nests.end()) {
                shared += (shared.empty() ? "" : ", ") + things_name(thing);
            }
        }
        out += fmt::format("  {:<10}{:<6}{:>9}  {}\n      by {}\n", story.now.code, story.now.taxon,
                           grams_text(story.now.mass), freezer::whereabouts(story), shared);
    }
    for (const auto& thing : recall.loose) {
        out += fmt::format("  in no lot: {}, {}, nest {}\n", things_name(thing), amount_text(thing),
                           freezer::tail(thing.nest.uuid()));
    }
    return out;
}

std::string order_list_text(std::span<const Order> orders, const std::string& currency)
{
    if (orders.empty()) {
        return "no orders; 'nestround order add' enters one\n";
    }
    std::string out = fmt::format("{:<8}{:<10}{:<6}{:>9}{:>10}  {:<12}{:<14}{}\n", "order", "state",
                                  "kind", "wanted", "promised", "due", "a gram", "laboratory");
    for (const auto& order : orders) {
        out += fmt::format(
            "{:<8}{:<10}{:<6}{:>9}{:>10}  {:<12}{:<14}{}\n", freezer::tail(order.id.uuid()),
            text(order.state), order.taxon, about(order.wanted) + " g",
            order.promised ? about(*order.promised) + " g" : "-",
            order.due ? format_day(*order.due) : "-",
            order.price_minor ? money_text(*order.price_minor, currency) : "-", order.laboratory);
    }
    return out;
}

std::string order_status_text(std::span<const freezer::OrderStand> stands,
                              const std::map<std::string, freezer::Stock>& stock,
                              const std::map<std::string, double>& worth,
                              const std::string& currency)
{
    if (stands.empty()) {
        return "no open orders\n";
    }
    std::string out;
    for (const auto& stand : stands) {
        const auto& order = stand.order;
        out += fmt::format(
            "{} {}, {} g of {}{}{}\n", freezer::tail(order.id.uuid()), order.laboratory,
            about(order.wanted), order.taxon, order.due ? ", due " + format_day(*order.due) : "",
            order.price_minor ? ", " + money_text(*order.price_minor, currency) + " a gram" : "");
        const auto say = [&](std::string_view what, const std::string& words) {
            out += fmt::format("  {:<22}{}\n", what, words);
        };
        const auto of = stock.find(order.taxon);
        say("shipped", grams_text(stand.shipped));
        say("in the freezer", grams_text(stand.ready));
        say("frozen, not sealed", grams_text(stand.loose));
        if (of != stock.end() && (of->second.brood_known || of->second.season_known)) {
            say("expected",
                spread_text(stand.expected) + (of->second.brood_known && of->second.season_known
                                                   ? " from brood and season"
                                               : of->second.brood_known ? " from brood"
                                                                        : " from the season"));
        } else {
            say("expected", "not asked: give --season with a plan of the season");
        }
        if (order.promised) {
            say("promised",
                grams_text(order.promised) +
                    (stand.promise_open() > Grams{0}
                         ? ", " + grams_text(stand.promise_open()) + " of it not at hand"
                         : ", all of it at hand"));
        }
        if (stand.missing() > Grams{0}) {
            const Grams after{std::max(0.0, (stand.missing() - stand.expected.middle).value())};
            say("MISSING", grams_text(stand.missing()) +
                               (stand.expected.high > Grams{0}
                                    ? fmt::format("; {} g when all comes as expected", about(after))
                                    : ""));
        } else {
            say("covered", "yes");
        }
    }
    out += "one more gram is worth\n";
    for (const auto& [taxon, points] : worth) {
        out += fmt::format("  {:<6}{:.2f} points\n", taxon, points);
    }
    return out;
}

}  // namespace nestround::sheets
