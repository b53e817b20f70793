/// \file spread.hpp
/// \brief A forecast as three numbers: it is below `low` one time in ten, below `middle` one time
/// in two, above `high` one time in ten.
///
/// Purpose:  every forecast the program shows has this form; none is a single number.
/// Units:    those of T.
/// Range:    low <= middle <= high.
/// Accuracy: as the maker says.
/// Errors:   none.
/// Source:   own.
#pragma once

namespace nestround {

template <class T>
struct Spread {
    T low{};     ///< 10 % quantile
    T middle{};  ///< median
    T high{};    ///< 90 % quantile

    friend constexpr bool operator==(const Spread&, const Spread&) = default;
};

}  // namespace nestround
