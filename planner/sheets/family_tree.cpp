#include "planner/sheets/family_tree.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>
#include <tuple>
#include <vector>

namespace nestround::sheets {

namespace {

constexpr Colour kPaper{0xfdfcf9, 1};
constexpr Colour kInk{0x2b2b2b, 1};
constexpr Colour kQuiet{0x6a665e, 1};
constexpr Colour kRed{0xa3273a, 1};

enum Column { kCalls, kNests, kComb, kTaken, kLots, kGone, kColumns };
constexpr std::array<std::string_view, kColumns> kHeads{"call",  "nest", "comb",
                                                        "taken", "lot",  "where it is"};
constexpr std::array<std::uint32_t, kColumns> kTints{0xe9e4d8, 0xe8d9b8, 0xf2e3bd,
                                                     0xcfe0ea, 0x1f5f8b, 0xdfe9df};
constexpr double kMargin = 9;
constexpr double kBoxWidth = 34;
constexpr double kBoxHeight = 11;
constexpr double kApart = 14;
constexpr double kRow = 14.5;
constexpr double kHead = 24;

struct Node {
    std::string title;
    std::string note;
    bool alarm = false;
    double sum = 0;  ///< of the rows it takes part in
    int rows = 0;
    double y = 0;
};

struct Link {
    Column from;
    std::string source;
    Column to;
    std::string target;
    double grams = 0;
};

class Tree {
public:
    void add(const Ancestor& thing, const freezer::LotStory* story)
    {
        const double row = rows_++;
        const auto touch = [&](Column column, const std::string& key, const std::string& title,
                               const std::string& note, bool alarm = false) {
            auto& node = nodes_[column][key];
            node.title = title;
            node.note = note;
            node.alarm = alarm;
            node.sum += row;
            ++node.rows;
        };
        const double grams = (thing.parent && thing.parent->mass ? *thing.parent->mass
                                                                 : thing.mass.value_or(Grams{1}))
                                 .value();
        const auto join = [&](Column from, const std::string& source, Column to,
                              const std::string& target) {
            for (auto& link : links_) {
                if (link.from == from && link.to == to && link.source == source &&
                    link.target == target) {
                    link.grams += grams;
                    return;
                }
            }
            links_.push_back({from, source, to, target, grams});
        };
        const std::string nest = thing.nest.text();
        const std::string taken =
            thing.catch_id ? thing.catch_id->text() : thing.collection->text();
        if (thing.call) {
            touch(kCalls, thing.call->text(), "call " + freezer::tail(thing.call->uuid()),
                  thing.received ? "received " + format_day(*thing.received) : "");
            join(kCalls, thing.call->text(), kNests, nest);
        }
        touch(kNests, nest, "nest " + freezer::tail(thing.nest.uuid()),
              thing.insecticide ? "HAD INSECTICIDE"
                                : "taken " + format_instant(thing.visited).substr(0, 10),
              thing.insecticide);
        if (thing.comb) {
            touch(kComb, thing.comb->text(), "comb " + freezer::tail(thing.comb->uuid()),
                  "brought home alive");
            join(kNests, nest, kComb, thing.comb->text());
            join(kComb, thing.comb->text(), kTaken, taken);
        } else {
            join(kNests, nest, kTaken, taken);
        }
        const std::string mass = thing.mass ? fmt::format("{:.1f} g, ", thing.mass->value()) : "";
        touch(kTaken, taken,
              (thing.catch_id ? "catch " : "collection ") +
                  freezer::tail(thing.catch_id ? thing.catch_id->uuid() : thing.collection->uuid()),
              mass + format_instant(thing.at).substr(0, 10));
        if (story == nullptr) {
            return;
        }
        const std::string lot = story->card.lot.id.text();
        touch(kLots, lot, story->now.code,
              fmt::format("{} {:.1f} g{}", story->now.taxon,
                          story->now.mass.value_or(Grams{0}).value(),
                          story->card.excursions > 0 ? ", WAS WARM" : ""),
              story->card.withdrawn || story->card.excursions > 0);
        join(kTaken, taken, kLots, lot);
        // Lots of one shipment, or of one box, stand together.
        const std::string where = freezer::whereabouts(*story);
        const auto cut = where.find(", shelf");
        touch(kGone, where,
              story->card.withdrawn ? "WITHDRAWN"
              : story->card.shipped ? "shipped " + format_day(*story->card.shipped)
                                    : where.substr(0, cut),
              story->card.withdrawn      ? where.substr(std::min<std::size_t>(11, where.size()))
              : story->card.shipped      ? story->laboratory
              : cut == std::string::npos ? ""
                                         : where.substr(cut + 2),
              story->card.withdrawn);
        join(kLots, lot, kGone, where);
    }

    [[nodiscard]] std::string draw(const std::string& title, MapFormat format)
    {
        // Columns in which nothing stands take no room.
        std::array<double, kColumns> x{};
        double width = kMargin;
        for (int column = 0; column < kColumns; ++column) {
            x[static_cast<std::size_t>(column)] = width;
            if (!nodes_[static_cast<Column>(column)].empty()) {
                width += kBoxWidth + kApart;
            }
        }
        width += kMargin - kApart;
        width = std::max(width, 120.0);
        const double deepest = lay_out();
        const double height = std::max(deepest + kMargin + 6, 50.0);
        Canvas canvas{format, width, height, 150};
        canvas.rectangle({0, 0, width, height});
        canvas.fill(kPaper);
        canvas.text({kMargin, kMargin + 4}, title, {5, Weight::Bold, kInk, 0});
        for (int column = 0; column < kColumns; ++column) {
            if (!nodes_[static_cast<Column>(column)].empty()) {
                canvas.text({x[static_cast<std::size_t>(column)], kHead - 3},
                            kHeads[static_cast<std::size_t>(column)],
                            {2.6, Weight::Slanted, kQuiet, 0});
            }
        }
        draw_links(canvas, x);
        draw_nodes(canvas, x);
        canvas.text({kMargin, height - 5},
                    "A band is as thick as the grams that went that way. Names of clients and "
                    "places stay in the book.",
                    {2.2, Weight::Normal, kQuiet, 0}, Align::Left, width - 2 * kMargin);
        return canvas.finish();
    }

private:
    /// Each thing at the middle of what hangs on it, moved apart where two would meet.
    double lay_out()
    {
        double deepest = kHead + kBoxHeight;
        for (auto& [column, nodes] : nodes_) {
            std::vector<Node*> order;
            for (auto& [key, node] : nodes) {
                node.y = kHead + kRow * node.sum / node.rows;
                order.push_back(&node);
            }
            std::stable_sort(order.begin(), order.end(),
                             [](const Node* a, const Node* b) { return a->y < b->y; });
            for (std::size_t i = 1; i < order.size(); ++i) {
                order[i]->y = std::max(order[i]->y, order[i - 1]->y + kRow);
            }
            if (!order.empty()) {
                deepest = std::max(deepest, order.back()->y + kBoxHeight);
            }
        }
        return deepest;
    }

    void draw_links(Canvas& canvas, const std::array<double, kColumns>& x)
    {
        double most = 1;
        for (const auto& link : links_) {
            most = std::max(most, link.grams);
        }
        for (const auto& link : links_) {
            const auto& from = nodes_[link.from][link.source];
            const auto& to = nodes_[link.to][link.target];
            const double x1 = x[link.from] + kBoxWidth;
            const double x2 = x[link.to];
            const double y1 = from.y + kBoxHeight / 2;
            const double y2 = to.y + kBoxHeight / 2;
            const double middle = (x1 + x2) / 2;
            canvas.move_to({x1, y1});
            canvas.curve_to({middle, y1}, {middle, y2}, {x2, y2});
            canvas.stroke(
                {{from.alarm ? kRed.rgb : 0xb8a677, 0.6}, 0.5 + 4.5 * link.grams / most, {}});
        }
    }

    void draw_nodes(Canvas& canvas, const std::array<double, kColumns>& x)
    {
        for (const auto& [column, nodes] : nodes_) {
            for (const auto& [key, node] : nodes) {
                const PageBox box{x[column], node.y, kBoxWidth, kBoxHeight};
                const bool is_lot = column == kLots;
                canvas.rounded(box, 1.6);
                canvas.fill_keep({node.alarm && is_lot ? kRed.rgb : kTints[column], 1});
                canvas.stroke({node.alarm ? kRed : kQuiet, node.alarm ? 0.5 : 0.15, {}});
                const Colour ink = is_lot ? Colour{0xffffff, 1} : node.alarm ? kRed : kInk;
                canvas.text({box.x + 2, box.y + 4.6}, node.title,
                            {is_lot ? 3.4 : 2.7, Weight::Bold, ink, 0}, Align::Left, kBoxWidth - 3);
                canvas.text({box.x + 2, box.y + 8.7}, node.note,
                            {2.3, Weight::Normal,
                             is_lot       ? ink
                             : node.alarm ? kRed
                                          : kQuiet,
                             0},
                            Align::Left, kBoxWidth - 3);
            }
        }
    }

    double rows_ = 0;
    std::map<Column, std::map<std::string, Node>> nodes_;
    std::vector<Link> links_;
};

}  // namespace

std::string family_tree_picture(const std::string& title, std::span<const freezer::LotStory> lots,
                                std::span<const Ancestor> loose, MapFormat format)
{
    struct Row {
        const Ancestor* thing;
        const freezer::LotStory* story;
    };
    std::vector<Row> rows;
    for (const auto& story : lots) {
        for (const auto& thing : story.ancestors) {
            rows.push_back({&thing, &story});
        }
    }
    for (const auto& thing : loose) {
        rows.push_back({&thing, nullptr});
    }
    // What comes of one nest and one comb stands together, so that few bands cross.
    std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) {
        return std::tuple{a.thing->visited, a.thing->nest, a.thing->comb, a.thing->at} <
               std::tuple{b.thing->visited, b.thing->nest, b.thing->comb, b.thing->at};
    });
    Tree tree;
    for (const auto& row : rows) {
        tree.add(*row.thing, row.story);
    }
    return tree.draw(title, format);
}

}  // namespace nestround::sheets
