// Stage and yield of 100,000 nests over 20 degrees of latitude, ten taxa, traffic counted at half
// of them. The first pass makes the colonies; the later ones must allocate nothing.
#include <array>
#include <cstddef>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <new>
#include <span>

#include "geocore/base/random.hpp"
#include "planner/yield/outlook.hpp"

namespace {
std::size_t allocations = 0;
}

void* operator new(std::size_t size)
{
    ++allocations;
    if (void* memory = std::malloc(size)) {
        return memory;
    }
    throw std::bad_alloc{};
}
void operator delete(void* memory) noexcept { std::free(memory); }
void operator delete(void* memory, std::size_t) noexcept { std::free(memory); }

int main()
{
    using namespace nestround;
    // Processor time, so that others at work on the machine do not count.
    const auto clock = [] { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; };
    constexpr std::array taxa{"VMAC", "VGER", "DMAC", "DARE", "VCRA",
                              "PFUS", "PDOM", "VSQU", "VPEN", "VVUL"};
    constexpr int nests = 100000;
    yield::Forecaster forecaster{nature::standard_taxa()};
    const Day day = *parse_day("2026-08-20");
    double first_pass = 0;
    for (int pass = 0; pass < 3; ++pass) {
        Random random{1};
        double workers = 0;
        allocations = 0;
        const double begin = clock();
        for (int i = 0; i < nests; ++i) {
            Nest nest;
            nest.taxon = taxa.at(random.below(taxa.size()));
            nest.kind = NestKind::Aerial;
            const LonLat place{Longitude{-80}, Latitude{random.uniform(28, 48)}};
            nature::Observation seen;
            seen.look = nature::Look::Traffic;
            seen.day = 232;
            seen.value = random.uniform(2, 45);
            const std::span<const nature::Observation> all{&seen, i % 2 == 0 ? 0U : 1U};
            workers += forecaster.numbers(nest, place, day, all).workers.middle;
        }
        const double seconds = clock() - begin;
        first_pass = pass == 0 ? seconds : first_pass;
        std::printf("pass %d: %.2f s, %.2f of the first, %zu allocations (%.0f workers in all)\n",
                    pass, seconds, seconds / first_pass, allocations, workers);
        if (pass > 0 && allocations > 0) {
            return 1;
        }
    }
}
