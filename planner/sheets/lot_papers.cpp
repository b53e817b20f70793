#include "planner/sheets/lot_papers.hpp"

#include <fmt/format.h>

#include <set>

namespace nestround::sheets {

namespace {

std::string day_text(Instant at) { return format_instant(at).substr(0, 10); }

std::string method_text(FreezingMethod method)
{
    switch (method) {
        case FreezingMethod::DryIce:
            return "alive onto dry ice";
        case FreezingMethod::Freezer:
            return "in a freezer";
        case FreezingMethod::Other:
            return "in another way";
        case FreezingMethod::Unknown:
            break;
    }
    return "method not recorded";
}

Grams sum_of(const ShipmentPaper& paper)
{
    Grams sum{0};
    for (const auto& lot : paper.lots) {
        sum += lot.story.now.mass.value_or(Grams{0});
    }
    return sum;
}

std::string instant_of(const ShipmentPaper& paper)
{
    return format_day(paper.shipment.shipped) + "T00:00:00Z";
}

std::string subtitle_of(const ShipmentPaper& paper)
{
    return fmt::format("shipment {}, {}", freezer::tail(paper.shipment.id.uuid()),
                       format_day_long(paper.shipment.shipped));
}

DocumentPart shipment_part(const ShipmentPaper& paper)
{
    DocumentPart part;
    part.heading = "Shipment";
    if (paper.order) {
        part.facts.emplace_back("for", paper.order->laboratory);
        part.facts.emplace_back("order", freezer::tail(paper.order->id.uuid()));
    }
    part.facts.emplace_back(
        "lots", fmt::format("{}, {:.1f} g net in all", paper.lots.size(), sum_of(paper).value()));
    if (!paper.shipment.carrier.empty()) {
        part.facts.emplace_back("carrier", paper.shipment.carrier);
    }
    if (!paper.shipment.tracking.empty()) {
        part.facts.emplace_back("tracking", paper.shipment.tracking);
    }
    part.facts.emplace_back("packed by", paper.shipment.packed_by);
    if (!paper.shipment.note.empty()) {
        part.facts.emplace_back("note", paper.shipment.note);
    }
    return part;
}

DocumentPart ice_part(const ShipmentPaper& paper)
{
    DocumentPart part;
    part.heading = "Dry ice";
    if (!paper.shipment.ice || !(*paper.shipment.ice > Grams{0})) {
        part.paragraphs.emplace_back("None is recorded for this shipment.");
        return part;
    }
    part.facts.emplace_back("packed",
                            fmt::format("{:.2f} kg net", paper.shipment.ice->value() / 1000));
    part.facts.emplace_back("mark outside", paper.parcel_mark);
    part.table.heads = {"rule, as it was read", "source", "mark"};
    part.table.shares = {0.64, 0.22, 0.14};
    for (const auto& rule : paper.parcel) {
        part.table.rows.push_back({rule.words, rule.source, rule.mark});
    }
    part.paragraphs.emplace_back(
        "These lines support a decision. The codes in force and the carrier's own instructions "
        "come first; they change every year.");
    return part;
}

}  // namespace

Document packing_list(const ShipmentPaper& paper)
{
    Document document;
    document.title = "Packing list";
    document.subtitle = subtitle_of(paper);
    document.instant = instant_of(paper);
    document.foot = "Each bag bears its code, its species and the day on which it was frozen.";
    document.parts.push_back(shipment_part(paper));
    DocumentPart bags;
    bags.heading = "Bags";
    bags.table.heads = {"code", "species", "net mass", "wasps", "frozen", "taken from"};
    bags.table.shares = {0.15, 0.27, 0.13, 0.1, 0.14, 0.21};
    for (const auto& [story, name] : paper.lots) {
        bags.table.rows.push_back(
            {story.now.code, name,
             fmt::format("{:.1f} g", story.now.mass.value_or(Grams{0}).value()),
             story.now.count ? std::to_string(*story.now.count) : "-",
             day_text(story.now.frozen_at),
             story.moves.empty() ? "-" : story.moves.back().place.text()});
    }
    document.parts.push_back(std::move(bags));
    document.parts.push_back(ice_part(paper));
    return document;
}

Document certificate_of_origin(const ShipmentPaper& paper)
{
    Document document;
    document.title = "Certificate of origin";
    document.subtitle = subtitle_of(paper);
    document.instant = instant_of(paper);
    document.foot =
        "Taken from the records as they stand on this day. Names of clients and places of nests "
        "stay with the crew.";
    document.parts.push_back(shipment_part(paper));
    bool venom = true;
    bool poisoned = false;
    std::set<NestId> nests;
    for (const auto& [story, name] : paper.lots) {
        DocumentPart part;
        part.heading = "Lot " + story.now.code;
        part.facts.emplace_back("species", fmt::format("{} ({})", name, story.now.taxon));
        part.facts.emplace_back(
            "net mass",
            fmt::format("{:.1f} g{}", story.now.mass.value_or(Grams{0}).value(),
                        story.now.count ? fmt::format(", {} wasps", *story.now.count) : ""));
        part.facts.emplace_back(
            "frozen", day_text(story.now.frozen_at) + ", " + method_text(story.now.method));
        if (story.now.sealed_at) {
            part.facts.emplace_back(
                "sealed", day_text(*story.now.sealed_at) +
                              (story.now.sealed_by.empty() ? "" : " by " + story.now.sealed_by));
        }
        for (const auto& correction : story.corrections) {
            part.facts.emplace_back(
                "corrected",
                fmt::format("{}: {} was {}, is {}; {}", day_text(correction.at), correction.field,
                            correction.was, correction.becomes, correction.why));
        }
        for (const auto& warm : story.excursions) {
            part.facts.emplace_back("was warm",
                                    fmt::format("{} to {}: up to {:.1f} C, limit {:.1f} C",
                                                format_instant(warm.began).substr(0, 16),
                                                format_instant(warm.ended).substr(0, 16),
                                                warm.warmest.value(), warm.limit.value()));
        }
        part.table.heads = {"from", "frozen or collected", "mass", "nest", "nest taken on"};
        part.table.shares = {0.26, 0.24, 0.16, 0.16, 0.18};
        for (const auto& thing : story.ancestors) {
            nests.insert(thing.nest);
            poisoned = poisoned || thing.insecticide;
            const auto mass = thing.parent && thing.parent->mass ? thing.parent->mass : thing.mass;
            part.table.rows.push_back(
                {thing.catch_id ? "catch " + freezer::tail(thing.catch_id->uuid())
                                : "collection " + freezer::tail(thing.collection->uuid()),
                 day_text(thing.at), mass ? fmt::format("{:.1f} g", mass->value()) : "-",
                 freezer::tail(thing.nest.uuid()), day_text(thing.visited)});
        }
        venom = venom && story.now.purpose == LotPurpose::Venom;
        document.parts.push_back(std::move(part));
    }
    DocumentPart origin;
    origin.heading = "Origin";
    origin.facts.emplace_back("region", paper.region);
    origin.facts.emplace_back("nests", std::to_string(nests.size()));
    origin.facts.emplace_back("insecticide",
                              poisoned ? "RECORDED for a nest of this shipment: not for venom"
                                       : "none is recorded for any nest of this shipment");
    origin.facts.emplace_back("use", venom ? "for venom" : "NOT for venom");
    if (paper.link) {
        origin.facts.emplace_back(
            "record",
            fmt::format("link {} of the chain of sealed lots, SHA-256", paper.link->number));
        origin.facts.emplace_back("", paper.link->hash);
        origin.paragraphs.emplace_back(
            "Whoever keeps this paper can ask later whether the record behind it was altered: the "
            "book that it came from must still hold this number, and every link before it.");
    }
    document.parts.push_back(std::move(origin));
    return document;
}

}  // namespace nestround::sheets
