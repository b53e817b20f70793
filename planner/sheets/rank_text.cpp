#include <fmt/format.h>

#include <algorithm>

#include "planner/sheets/morning_text.hpp"
#include "planner/sheets/text_page.hpp"

namespace nestround::sheets {

namespace {

constexpr int kRank = 4;
constexpr int kScore = 6;
constexpr int kGrams = 7;
constexpr int kBounds = 10;
constexpr int kKey = 6;
constexpr int kGaps = 6 * 2;

std::string right(std::string_view text, int width)
{
    const int used = columns(text);
    return std::string(static_cast<std::size_t>(std::max(0, width - used)), ' ') +
           std::string{text};
}

struct Row {
    std::string rank;
    std::string score;
    std::string grams;
    std::string bounds;
    std::string place;
    std::string colony;
    std::string key;
};

/// Columns left for the place and for the colony; a narrow page has none for the latter.
struct Widths {
    int place;
    int colony;
};

Widths widths_for(int page)
{
    const int room = page - kRank - kScore - kGrams - kBounds - kKey - kGaps;
    if (room < 24) {
        return {room + 2, 0};
    }
    const int place = room * 45 / 100;
    return {place, room - place};
}

std::string text_of(const Row& row, const Widths& widths)
{
    const std::string colony =
        widths.colony > 0 ? "  " + fit(row.colony, widths.colony) : std::string{};
    return fmt::format("{}  {}  {}  {}  {}{}  {}", right(row.rank, kRank), right(row.score, kScore),
                       right(row.grams, kGrams), fit(row.bounds, kBounds),
                       fit(row.place, widths.place), colony, row.key);
}

}  // namespace

std::string rank_text(std::span<const rank::RankedCall> calls, Day on,
                      const RankTextOptions& options)
{
    TextPage page{options.text.width, options.text.colour};
    const std::size_t shown =
        options.limit == 0 ? calls.size() : std::min(options.limit, calls.size());
    page.spread("Waiting calls for " + format_day_long(on), Ink::Strong,
                shown == calls.size() ? fmt::format("{} in all", calls.size())
                                      : fmt::format("{} of {}", shown, calls.size()),
                Ink::Faint);
    if (calls.empty()) {
        page.line("No call waits on this day.");
        return page.take();
    }
    page.blank();
    const Widths widths = widths_for(page.width());
    page.line_as_is(
        page.in(Ink::Faint,
                text_of({"", "points", "grams", "10-90 %", "place", "colony", "call"}, widths)));
    for (std::size_t at = 0; at < shown; ++at) {
        const rank::RankedCall& call = calls[at];
        const yield::NestOutlook& outlook = call.outlook;
        page.line_as_is(
            page.in(Ink::Strong,
                    text_of({std::to_string(at + 1), number(call.score), middle_of(outlook.grams),
                             bounds_of(outlook.grams), place_name(call.sheet),
                             colony_words(outlook), call_key(call.sheet.call.id)},
                            widths)));
        if (!options.reasons) {
            continue;
        }
        std::string why;
        for (const std::string& reason : call.reasons) {
            why += (why.empty() ? "" : "; ") + clean(reason);
        }
        if (const auto brood = brood_words(outlook); !brood.empty()) {
            why += (why.empty() ? "" : "; ") + brood;
        }
        if (!outlook.venom) {
            why += std::string{why.empty() ? "" : "; "} +
                   "insecticide was used: nothing for laboratories";
        }
        if (!why.empty()) {
            const std::string margin(kRank + 2, ' ');
            page.block(margin, margin, Ink::Plain, why, Ink::Faint);
        }
    }
    if (shown < calls.size()) {
        page.blank();
        page.line(fmt::format("{} more wait: raise the limit to see them.", calls.size() - shown),
                  Ink::Faint);
    }
    return page.take();
}

}  // namespace nestround::sheets
