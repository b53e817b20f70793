#include "planner/sheets/wasp_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

constexpr double kShownChance = 0.01;  // taxa below are summed up
constexpr double kShownBits = 0.05;    // looks below tell next to nothing
constexpr std::size_t kShownLooks = 4;
constexpr double kRarelyAlive = 0.10;
constexpr double kLeads = 0.25;  // below, what the leader is taken for helps nobody

std::string percent(double share)
{
    const double whole = std::round(share * 100);
    if (whole < 1) {
        return "under 1 %";
    }
    return whole > 99 ? "over 99 %" : fmt::format("{:.0f} %", whole);
}

std::string bar(double share)
{
    std::string out;
    for (int i = 0; i < static_cast<int>(std::lround(share * 18)); ++i) {
        out += "\u2588";
    }
    return out;
}

std::string answers_of(const nature::Trait& trait)
{
    std::string list;
    for (const auto& answer : trait.answers) {
        list += (list.empty() ? "" : ", ") + answer.key;
    }
    return list;
}

std::string joined(const std::vector<std::string>& words)
{
    std::string list;
    for (const auto& word : words) {
        list += (list.empty() ? "" : " and ") + word;
    }
    return list;
}

void write_heeded(TextPage& page, const nature::WaspName& name)
{
    std::string seen;
    for (const auto& one : name.heeded) {
        seen += fmt::format("{}{} {}", seen.empty() ? "" : ", ", one.trait, one.answer);
    }
    page.block("seen    ", "        ", Ink::Faint,
               seen.empty() ? "nothing: only place and day speak" : seen);
}

void write_verdict(TextPage& page, const nature::WaspName& name)
{
    if (name.contradiction) {
        page.line(
            fmt::format("What was seen fits no wasp of the table: {}. Look again, or give one as "
                        "unknown. Below stand the chances by place and day alone.",
                        name.contradictory.size() == 2
                            ? joined(name.contradictory) + " go together least"
                            : "the answer to " + joined(name.contradictory) + " is not known here"),
            Ink::Warn);
        return;
    }
    const auto& first = name.taxa.front();
    const auto& genus = name.genera.front();
    if (first.chance >= 0.8) {
        page.line(fmt::format("Probably {}.", first.taxon->name), Ink::Strong);
    } else if (genus.chance >= 0.8) {
        page.line(fmt::format("Probably a {}; the species is open.", genus.genus), Ink::Strong);
    } else if (first.chance >= 0.5) {
        page.line(fmt::format("Most likely {}, but not settled.", first.taxon->name), Ink::Strong);
    } else {
        page.line("Open: no wasp stands out.", Ink::Strong);
    }
    if (!name.against.empty()) {
        page.line(fmt::format("Against {}: {}. A slip, or another wasp.", first.taxon->name,
                              joined(name.against)),
                  Ink::Warn);
    }
}

void write_taxa(TextPage& page, const nature::WaspName& name)
{
    double rest = 0;
    std::size_t left = 0;
    // Said of single wasps only where others fly: in winter it holds for all.
    const bool none_alive = std::all_of(name.taxa.begin(), name.taxa.end(),
                                        [](const auto& one) { return one.alive < kRarelyAlive; });
    if (none_alive) {
        page.line("By the calendar hardly any colony lives on this day.", Ink::Warn);
    }
    for (const auto& one : name.taxa) {
        if (one.chance < kShownChance) {
            rest += one.chance;
            ++left;
            continue;
        }
        std::string line = fmt::format("  {:>9}  {}  {} {}", percent(one.chance), one.taxon->code,
                                       fit(one.taxon->name, 30), fit(one.taxon->english, 28));
        if (page.width() >= 95) {
            line += bar(one.chance);
        }
        page.line_as_is(line);
        if (one.alive < kRarelyAlive && !none_alive) {
            page.block("             ", "             ", Ink::Plain,
                       "hardly any colony of it should live on this day", Ink::Faint);
        }
    }
    if (left > 0) {
        page.line_as_is(fmt::format("  {:>9}  {} more", percent(rest), left));
    }
}

void write_looks(TextPage& page, const nature::WaspName& name)
{
    const auto telling = std::count_if(name.looks.begin(), name.looks.end(),
                                       [](const auto& one) { return one.bits >= kShownBits; });
    if (telling == 0) {
        page.line("Nothing else that can be looked at would tell more.");
        return;
    }
    page.line(fmt::format("Look next (what it tells, of {:.1f} bits open):", name.entropy_bits));
    for (std::size_t i = 0;
         i < std::min<std::size_t>(kShownLooks, static_cast<std::size_t>(telling)); ++i) {
        const auto& one = name.looks[i];
        page.block(fmt::format("  {:>4.1f}  ", one.bits), "        ", Ink::Plain,
                   fmt::format("{} {} {}", one.trait.question, trait_option(one.trait),
                               answers_of(one.trait)));
    }
}

void write_look_alikes(TextPage& page, const nature::WaspName& name)
{
    if (name.look_alikes.empty() || name.contradiction || name.taxa.front().chance < kLeads) {
        return;
    }
    page.line(fmt::format("Taken for {} at times:", name.taxa.front().taxon->name));
    for (const auto& one : name.look_alikes) {
        page.block("  " + one.taxon->code + "  ", "        ", Ink::Plain,
                   fmt::format("{}: {}  [{}]", one.taxon->name, one.tells, text(one.mark)));
    }
}

}  // namespace

std::string trait_option(const nature::Trait& trait)
{
    std::string option = "--" + trait.key;
    std::replace(option.begin(), option.end(), '_', '-');
    return option;
}

std::string wasp_text(const nature::WaspName& name, const WaspHead& head,
                      const nature::TaxaTable& table, const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    page.spread("Which wasp? " + clean(head.place), Ink::Strong, format_day_long(head.on),
                Ink::Plain);
    write_heeded(page, name);
    for (const auto& note : head.notes) {
        page.block("note    ", "        ", Ink::Faint, clean(note));
    }
    page.blank();
    write_verdict(page, name);
    write_taxa(page, name);
    page.blank();
    write_looks(page, name);
    write_look_alikes(page, name);
    page.blank();
    if (const auto* rule = table.figure("all", "naming.rule"); rule != nullptr && !name.wasp_seen) {
        page.line("No mark of the wasps themselves was given. " + std::string{"Mind: "} +
                  rule->words + ".");
    }
    if (name.shares_used > 0) {
        page.line(fmt::format(
                      "Figures used on what was seen: {}; of them read somewhere: {}; the rest is "
                      "memory or assumption.",
                      name.shares_used, name.shares_read),
                  Ink::Faint);
    }
    return page.take();
}

std::string traits_text(const std::vector<nature::Trait>& traits, const TextOptions& options)
{
    TextPage page{options.width, options.colour};
    page.line("Which wasp? Give place and day and what was seen; leave out what is not known.",
              Ink::Strong);
    page.line("nestround wasp --at LAT,LON --on DATE --site aerial --paper gray ...");
    for (const bool of_wasp : {false, true}) {
        page.blank();
        page.heading(of_wasp ? "The wasps" : "The nest", Ink::Strong);
        for (const auto& trait : traits) {
            if (trait.of_wasp != of_wasp) {
                continue;
            }
            page.block(fit("  " + trait_option(trait), 18), std::string(18, ' '), Ink::Strong,
                       trait.question +
                           (trait.unit.empty() ? "" : " A length (as 25cm), or one of these."));
            for (const auto& answer : trait.answers) {
                page.block(std::string(18, ' ') + fit(answer.key, 14), std::string(32, ' '),
                           Ink::Plain, answer.words);
            }
        }
    }
    page.blank();
    page.line("'unknown' is an answer to each.", Ink::Faint);
    return page.take();
}

}  // namespace nestround::sheets
