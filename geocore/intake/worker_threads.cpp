#include "geocore/intake/worker_threads.hpp"

#include <algorithm>
#include <exception>
#include <system_error>
#include <thread>
#include <vector>

namespace nestround::intake {

Workers worker_threads(std::size_t count)
{
    Workers workers;
    workers.count =
        count != 0 ? count : std::max<std::size_t>(1, std::thread::hardware_concurrency());
    if (workers.count == 1) {
        return workers;
    }
    workers.run = [](std::size_t jobs, const Workers::Job& job) {
        std::vector<std::exception_ptr> problems(jobs);
        const auto guarded = [&](std::size_t i) {
            try {
                job(i);
            } catch (...) {
                problems[i] = std::current_exception();
            }
        };
        std::vector<std::thread> threads;
        std::size_t started = 1;
        try {
            for (; started < jobs; ++started) {
                threads.emplace_back(guarded, started);
            }
        } catch (const std::system_error&) {
            // No more threads to be had: the rest is done here.
        }
        guarded(0);
        for (; started < jobs; ++started) {
            guarded(started);
        }
        for (auto& thread : threads) {
            thread.join();
        }
        for (const auto& problem : problems) {
            if (problem) {
                std::rethrow_exception(problem);
            }
        }
    };
    return workers;
}

}  // namespace nestround::intake
