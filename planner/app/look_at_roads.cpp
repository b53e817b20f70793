#include "planner/app/look_at_roads.hpp"

#include <chrono>

#include "geocore/base/random.hpp"
#include "geocore/intake/road_file.hpp"
#include "geocore/roads/many_to_many.hpp"

namespace nestround::app {
namespace {

template <class Action>
double milliseconds_of(const Action& action)
{
    const auto begin = std::chrono::steady_clock::now();
    action();
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin)
        .count();
}

}  // namespace

RoadFacts look_at_roads(const std::string& path)
{
    RoadFacts facts;
    facts.opened_ms = milliseconds_of([&] { facts.network = intake::load_roads(path); });
    facts.checked_ms = milliseconds_of([&] { (void)facts.network->view(); });
    facts.prepared = prepared_of(*facts.network);
    if (facts.prepared.prepared) {
        constexpr std::size_t kQueries = 1000;
        const auto states = facts.network->graph().state_count();
        roads::HierarchyQuery query{facts.network->hierarchy()};
        Random random{1};
        const auto place = [&] {
            roads::StopLinks links;
            links.link[0].state = static_cast<std::uint32_t>(random.below(states));
            links.count = 1;
            return links;
        };
        const auto all = milliseconds_of([&] {
            for (std::size_t i = 0; i < kQueries; ++i) {
                (void)query.cost(place(), place());
            }
        });
        facts.queries = kQueries;
        facts.query_us = all * 1000 / kQueries;
    }
    return facts;
}

}  // namespace nestround::app
