/// \file small_heap.hpp
/// \brief The queue of a search: smallest key first.
///
/// Purpose:  a search in a hierarchy settles a hundred states and spends half its time here, so an
///           entry is one number: the milliseconds, then the state.
/// Units:    milliseconds.
/// Range:    keys below 2^32 - 1. Entries are never changed: a state is pushed again, and the
///           search knows an entry that is out of date. Lengths do not count here, so of equal
///           times a state may come twice, the second time with a shorter way.
/// Accuracy: not applicable.
/// Errors:   pop() needs an entry (precondition).
/// Source:   heap with four children a node: D. B. Johnson, Inf. Process. Lett. 4, 1975.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace nestround::roads {

class SmallHeap {
public:
    struct Entry {
        std::uint64_t ms = 0;
        std::uint32_t state = 0;
    };

    [[nodiscard]] bool empty() const { return size_ == 0; }
    /// Time of the first entry.
    [[nodiscard]] std::uint64_t top_ms() const { return entries_.front() >> 32U; }
    /// State of the first entry.
    [[nodiscard]] std::uint32_t top_state() const
    {
        return static_cast<std::uint32_t>(entries_.front());
    }
    void clear()
    {
        size_ = 0;
        entries_.clear();
    }

    void push(std::uint64_t ms, std::uint32_t state)
    {
        if (entries_.size() < size_ + 5) {
            // Behind the last entry stand four that come after all others.
            entries_.resize(2 * size_ + 64, kLast);
        }
        const auto entry = ms << 32U | state;
        auto at = size_++;
        while (at > 0) {
            const auto above = (at - 1) / 4;
            if (entries_[above] <= entry) {
                break;
            }
            entries_[at] = entries_[above];
            at = above;
        }
        entries_[at] = entry;
    }

    Entry pop()
    {
        const auto first = entries_.front();
        const auto moved = entries_[--size_];
        entries_[size_] = kLast;
        std::size_t at = 0;
        for (auto child = std::size_t{1}; child < size_; child = at * 4 + 1) {
            const auto* e = entries_.data() + child;
            const std::size_t left = e[1] < e[0] ? 1 : 0;
            const std::size_t right = e[3] < e[2] ? 3 : 2;
            const auto least = e[right] < e[left] ? right : left;
            if (e[least] >= moved) {
                break;
            }
            entries_[at] = e[least];
            at = child + least;
        }
        if (size_ > 0) {
            entries_[at] = moved;
        }
        return {first >> 32U, static_cast<std::uint32_t>(first)};
    }

private:
    static constexpr std::uint64_t kLast = ~std::uint64_t{0};
    std::vector<std::uint64_t> entries_;
    std::size_t size_ = 0;
};

}  // namespace nestround::roads
