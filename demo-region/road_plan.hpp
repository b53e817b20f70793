/// \file road_plan.hpp
/// \brief Which places are joined by what road, before any line is drawn.
///
/// Purpose:  shared by the choosing of main ways and the drawing of their curves.
/// Units:    metres on the stage.
/// Range:    a few thousand places.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <vector>

#include "demo-region/county.hpp"

namespace nestround::demo {

struct Link {
    int a = 0;
    int b = 0;
    RoadClass road_class = RoadClass::Unclassified;
    int crossings = 0;  ///< of the river
    bool kept = true;
    bool bridge = false;
    bool backbone = false;  ///< without it the lanes would fall apart
    double weight = 0;
};

struct Plan {
    std::vector<Vec> at;
    std::vector<Link> links;
    std::vector<std::vector<int>> links_at;

    void index()
    {
        links_at.assign(at.size(), {});
        for (std::size_t i = 0; i < links.size(); ++i) {
            links_at[links[i].a].push_back(static_cast<int>(i));
            links_at[links[i].b].push_back(static_cast<int>(i));
        }
    }
};

/// Lays the links as curves; where two links go on nearly straight through a place they are one
/// road and share the direction there.
void lay_links(County& county, const Plan& plan);

}  // namespace nestround::demo
