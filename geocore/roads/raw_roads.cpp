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

}  // namespace nestround::roads
