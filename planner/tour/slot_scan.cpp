#include "planner/tour/slot_scan.hpp"

#include <algorithm>

namespace nestround::tour {

namespace {

/// Without a branch, so that the compiler can lay positions side by side. A missing road is kNever:
/// two of them and a moment still fit into 32 bits without a sign.
[[gnu::always_inline]] inline std::int32_t scan_any(const SlotScan& s, std::int32_t* cost)
{
    const auto opens = static_cast<std::uint32_t>(s.window.opens);
    const auto closes = static_cast<std::uint32_t>(s.window.closes);
    const auto service = static_cast<std::uint32_t>(s.service);
    std::int32_t least = kNoSlot;
    for (int i = 0; i < s.count; ++i) {
        const auto there = static_cast<std::uint32_t>(s.there[i]);
        const auto onward = static_cast<std::uint32_t>(s.onward[i]);
        const auto straight = static_cast<std::uint32_t>(s.straight[i]);
        const auto free = static_cast<std::uint32_t>(s.free[i]);
        const std::uint32_t start = std::max(free + there, opens);
        const std::uint32_t reach = start + service + onward;
        const std::uint32_t whole = s.drive_weight * (there + onward - straight) +
                                    s.push_weight * (reach - free - straight);
        const bool fits = (start <= closes) & (reach <= static_cast<std::uint32_t>(s.latest[i]));
        const std::int32_t here = fits ? static_cast<std::int32_t>(whole) : kNoSlot;
        cost[i] = here;
        least = std::min(least, here);
    }
    return least;
}

#if defined(__x86_64__)
#define NESTROUND_WIDE 1
[[gnu::target("avx512f")]] std::int32_t scan_512(const SlotScan& s, std::int32_t* cost)
{
    return scan_any(s, cost);
}
[[gnu::target("avx2")]] std::int32_t scan_256(const SlotScan& s, std::int32_t* cost)
{
    return scan_any(s, cost);
}
#endif
std::int32_t scan_plain(const SlotScan& s, std::int32_t* cost) { return scan_any(s, cost); }

using Kernel = std::int32_t (*)(const SlotScan&, std::int32_t*);

/// The same instructions in wider registers, where this machine has them.
Kernel choose()
{
#ifdef NESTROUND_WIDE
    if (__builtin_cpu_supports("avx512f")) {
        return scan_512;
    }
    if (__builtin_cpu_supports("avx2")) {
        return scan_256;
    }
#endif
    return scan_plain;
}

}  // namespace

std::int32_t scan_slots(const SlotScan& scan, std::int32_t* cost)
{
    static const Kernel kernel = choose();
    return kernel(scan, cost);
}

}  // namespace nestround::tour
