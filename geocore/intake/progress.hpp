/// \file progress.hpp
/// \brief How a long reading step tells how far it is.
///
/// Purpose:  readers report, commands show; nobody prints here.
/// Units:    share of the step, 0 to 1; below 0 when it is not known.
/// Range:    may be empty, then nothing is told.
/// Accuracy: rough.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <functional>
#include <string_view>

namespace nestround::intake {

using Progress = std::function<void(std::string_view step, double share)>;

}  // namespace nestround::intake
