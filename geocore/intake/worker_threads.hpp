/// \file worker_threads.hpp
/// \brief Workers that are threads.
///
/// Purpose:  the pure rooms may not start threads; the rim hands them these.
/// Units:    none.
/// Range:    0 asks for as many as the machine has cores.
/// Accuracy: not applicable.
/// Errors:   as workers.hpp; where no thread can be started the jobs run one after the other.
/// Source:   own.
#pragma once

#include <cstddef>

#include "geocore/base/workers.hpp"

namespace nestround::intake {

[[nodiscard]] Workers worker_threads(std::size_t count = 0);

}  // namespace nestround::intake
