/// \file side_by_side.hpp
/// \brief Runs tasks at once, each on a thread of its own.
///
/// Purpose:  what the pure rooms ask for where work can be shared out; they start no threads.
/// Units:    none.
/// Range:    a few tasks.
/// Accuracy: not applicable.
/// Errors:   what the first task throws, after all have ended; the others must not throw.
/// Source:   own.
#pragma once

#include <functional>
#include <thread>
#include <vector>

namespace nestround::app {

/// The first task runs on the caller's thread.
inline void run_side_by_side(const std::vector<std::function<void()>>& tasks)
{
    std::vector<std::jthread> others;
    for (std::size_t i = 1; i < tasks.size(); ++i) {
        others.emplace_back(tasks[i]);
    }
    if (!tasks.empty()) {
        tasks.front()();
    }
}

}  // namespace nestround::app
