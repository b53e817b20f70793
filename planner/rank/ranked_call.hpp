/// \file ranked_call.hpp
/// \brief A waiting call with its outlook, its score and why.
///
/// Purpose:  the value that planning and sheets share.
/// Units:    score in points: worth of the median grams plus urgency, see rank.hpp.
/// Range:    score >= 0.
/// Accuracy: as the outlook.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <string>
#include <vector>

#include "geocore/records/call.hpp"
#include "planner/yield/outlook.hpp"

namespace nestround::rank {

struct RankedCall {
    CallSheet sheet;
    yield::NestOutlook outlook;
    double score = 0;
    std::vector<std::string> reasons;  ///< in plain words, weightiest first
    /// What a second visit on the same day would bring, of the score and of the grams; 0 where none
    /// is asked for. A call that is due for its second visit has these in score and outlook.
    double second_score = 0;
    double second_share = 0;
};

}  // namespace nestround::rank
