/// \file ruin.hpp
/// \brief Takes strings of neighbouring stops out of tours near a random job.
///
/// Purpose:  one half of an iteration; see solver.hpp.
/// Units:    as flat.hpp.
/// Range:    takes out some eight jobs, fewer when fewer are served.
/// Accuracy: not applicable.
/// Errors:   none.
/// Source:   see solver.hpp, "adjacent string removal".
#pragma once

#include <vector>

#include "geocore/base/random.hpp"
#include "planner/tour/part.hpp"

namespace nestround::tour {

class Ruin {
public:
    explicit Ruin(const Flat& flat);

    void apply(SearchState& state, Random& random, LiveScratch& scratch);
    /// From now on takes out stops of these tours only; null: of all.
    void keep_to(const Part* part) { part_ = part; }
    /// Jobs by nearness to each, itself first.
    [[nodiscard]] const std::vector<std::vector<int>>& near() const { return near_; }
    /// The jobs taken out last, and the one around which they were looked for.
    [[nodiscard]] const std::vector<int>& around() const { return gone_; }

private:
    void take_strings(const SearchState& state, Random& random);
    void take_scattered(const SearchState& state, Random& random);
    void take_string(const Route& route, int job, int length, Random& random);

    const Flat* flat_;
    const Part* part_ = nullptr;
    std::vector<std::vector<int>> near_;  ///< jobs by nearness to each, itself first
    std::vector<std::uint8_t> ruined_;    ///< by tour
    std::vector<int> gone_;
    int seed_ = -1;
};

}  // namespace nestround::tour
