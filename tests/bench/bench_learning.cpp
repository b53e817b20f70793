// How long a book of 10,000 catches takes to learn from.
#include <fmt/core.h>

#include <chrono>
#include <cstddef>

#include "geocore/base/random.hpp"
#include "planner/yield/learning.hpp"

using namespace nestround;

int main()
{
    Random random{1};
    std::vector<yield::CatchCase> records;
    for (int i = 0; i < 10000; ++i) {
        yield::CatchCase record;
        record.nest.taxon = i % 3 == 0 ? "VMAC" : i % 3 == 1 ? "VGER" : "DMAC";
        record.nest.kind = NestKind::Void;
        record.place = {Longitude{-77}, Latitude{random.uniform(41, 42)}};
        record.day = Day{std::chrono::year{2016 + i / 1000} / 7 / 1} +
                     std::chrono::days{static_cast<int>(random.below(90))};
        record.method = i % 2 == 0 ? "hand" : "ladder";
        record.crew = fmt::format("crew {}", i % 8);
        record.count = 200 + static_cast<int>(random.below(900));
        record.mass = Grams{*record.count * 0.08};
        records.push_back(record);
    }
    const auto begun = std::chrono::steady_clock::now();
    const auto learned = yield::learn(records, nature::standard_taxa());
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
    const auto again = std::chrono::steady_clock::now();
    const auto half = yield::learn(std::span{records}.first(5000), nature::standard_taxa());
    const std::chrono::duration<double> half_took = std::chrono::steady_clock::now() - again;
    fmt::print("{} records in {:.2f} s; twice as many take {:.2f} times as long\n",
               learned.records(), took.count(), took.count() / half_took.count());
    // Some fall on days on which the calendar expects no workers; nothing else may be missing.
    std::size_t seen = learned.records();
    for (const auto& [why, count] : learned.left_out()) {
        fmt::print("{} left out: {}\n", count, why);
        seen += count;
    }
    return seen == records.size() && half.records() > 4900 ? 0 : 1;
}
