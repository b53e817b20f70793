#include "planner/app/clockwork.hpp"

#include <random>

namespace nestround::app {

Instant present() { return std::chrono::floor<seconds>(std::chrono::system_clock::now()); }

namespace {

std::uint64_t fresh_seed()
{
    std::random_device device;
    return (std::uint64_t{device()} << 32U) ^ device();
}

}  // namespace

KeyMaker::KeyMaker() : random_{fresh_seed()} {}

}  // namespace nestround::app
