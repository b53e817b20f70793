/// \file workers.hpp
/// \brief Doing several jobs at once, without knowing how.
///
/// Purpose:  pure rooms split work into jobs; the rim says on how many threads they run. Results
///           never depend on that number.
/// Units:    none.
/// Range:    1 worker or more.
/// Accuracy: not applicable.
/// Errors:   what a job throws is thrown by run() once all have ended.
/// Source:   own.
#pragma once

#include <cstddef>
#include <functional>

namespace nestround {

struct Workers {
    using Job = std::function<void(std::size_t)>;

    std::size_t count = 1;
    /// Calls job(0) to job(count - 1), each once, and waits; empty: one after the other.
    std::function<void(std::size_t count, const Job& job)> run;

    void operator()(std::size_t jobs, const Job& job) const
    {
        if (run && jobs > 1) {
            run(jobs, job);
            return;
        }
        for (std::size_t i = 0; i < jobs; ++i) {
            job(i);
        }
    }
};

}  // namespace nestround
