/// \file tour_travel.hpp
/// \brief The times between the places of a tour problem's JSON: a matrix, or points.
///
/// Purpose:  reads the field `travel`.
/// Units:    whole numbers of the file's last decimal.
/// Range:    times below tour::kLatestTime; coordinates up to a thousand million.
/// Accuracy: Euclidean distances truncated to the last decimal, found in integers.
/// Errors:   as tour_fields.hpp.
/// Source:   own.
#pragma once

#include "geocore/base/calendar.hpp"
#include "geocore/roads/travel.hpp"
#include "planner/app/tour_fields.hpp"

namespace nestround::app {

/// Refused unless it lies between 0 and tour::kLatestTime.
[[nodiscard]] seconds tour_time(const TourField& field, int decimals);

[[nodiscard]] roads::TravelMatrix read_tour_travel(const TourField& field, int decimals);

}  // namespace nestround::app
