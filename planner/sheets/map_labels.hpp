/// \file map_labels.hpp
/// \brief Room on the map: where marks and names can stand without covering each other.
///
/// Purpose:  greedy placement in the order of importance; the first come stay where they are.
/// Units:    millimetres on the page.
/// Range:    some hundred marks.
/// Promise:  what it gives out never overlaps what was given out or blocked before.
/// Errors:   none: a name that finds no room is left out, a mark never is.
/// Source:   own.
#pragma once

#include <optional>
#include <vector>

#include "planner/sheets/map_frame.hpp"

namespace nestround::sheets {

class Placer {
public:
    explicit Placer(const PageBox& bounds) : bounds_{bounds} {}

    /// Nothing may stand here.
    void block(const PageBox& box) { taken_.push_back(box); }
    /// Better not here: the tours.
    void avoid(PagePoint point) { tender_.push_back(point); }

    /// Where a mark of that half size for `place` stands: there, or beside it where that is taken.
    [[nodiscard]] PagePoint settle(PagePoint place, double half);
    /// A box of that size beside the mark, on the side that covers the least; or nothing.
    [[nodiscard]] std::optional<PageBox> name_beside(PagePoint mark, double half, double width,
                                                     double height);

private:
    [[nodiscard]] bool free(const PageBox& box) const;

    PageBox bounds_;
    std::vector<PageBox> taken_;
    std::vector<PagePoint> tender_;
};

}  // namespace nestround::sheets
