/// \file clockwork.hpp
/// \brief The present moment and fresh keys: the two things a use case takes from the world.
///
/// Purpose:  use cases get both from their caller, so that a test can fix them.
/// Units:    UTC seconds; keys are version 7 UUIDs.
/// Range:    two makers give different keys unless made with the same seed.
/// Accuracy: the system's clock.
/// Errors:   none.
/// Source:   own.
#pragma once

#include "geocore/base/calendar.hpp"
#include "geocore/base/identifier.hpp"
#include "geocore/base/random.hpp"

namespace nestround::app {

/// The system's clock, to the second.
[[nodiscard]] Instant present();

class KeyMaker {
public:
    /// Seeded by the system's source of chance.
    KeyMaker();
    explicit KeyMaker(std::uint64_t seed) : random_{seed} {}

    /// A fresh key of the moment `now`.
    template <class AnyId>
    [[nodiscard]] AnyId make(Instant now)
    {
        // The counter keeps keys of one second in the order in which they were made.
        return AnyId{Uuid::make(now + std::chrono::milliseconds{made_++ % 1000}, random_)};
    }

private:
    Random random_;
    std::int64_t made_ = 0;
};

}  // namespace nestround::app
