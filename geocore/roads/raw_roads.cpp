#include "geocore/roads/raw_roads.hpp"

#include <algorithm>
#include <utility>

namespace nestround::roads {

void count_left_out(std::vector<LeftOut>& list, std::string_view reason, std::string example)
{
    const auto found = std::find_if(list.begin(), list.end(),
                                    [&](const LeftOut& entry) { return entry.reason == reason; });
    if (found != list.end()) {
        ++found->count;
        return;
    }
    list.push_back({std::string{reason}, 1, std::move(example)});
}

bool is_whole(const TurnMembers& members)
{
    const bool has_via = members.turn.via_node != 0 || !members.turn.via_ways.empty();
    return has_via && !members.from.empty() && !members.to.empty() &&
           (members.from.size() == 1 || members.to.size() == 1);
}

void add_turns(std::vector<TurnRestriction>& to, const TurnMembers& members)
{
    for (const auto from_way : members.from) {
        for (const auto to_way : members.to) {
            auto& turn = to.emplace_back(members.turn);
            turn.from_way = from_way;
            turn.to_way = to_way;
        }
    }
}

}  // namespace nestround::roads
