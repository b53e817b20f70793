/// \file quantity.hpp
/// \brief Numbers that carry their unit in their type.
///
/// Purpose:  a length cannot be added to a mass, nor two thermometer readings to each other.
/// Units:    the tag names the unit; see units.hpp for the units in use.
/// Range:    whatever the stored number allows; NaN passes through.
/// Accuracy: exact operations of the stored type.
/// Errors:   none.
/// Source:   own.
#pragma once

#include <compare>

namespace nestround {

/// A difference or an amount: can be added, scaled and compared.
/// `Unit` is an empty tag, `Rep` the stored number.
template <class Unit, class Rep = double>
class Quantity {
public:
    using rep = Rep;

    constexpr Quantity() = default;
    explicit constexpr Quantity(Rep value) : value_{value} {}

    [[nodiscard]] constexpr Rep value() const { return value_; }

    friend constexpr auto operator<=>(Quantity, Quantity) = default;
    friend constexpr Quantity operator+(Quantity a, Quantity b)
    {
        return Quantity{a.value_ + b.value_};
    }
    friend constexpr Quantity operator-(Quantity a, Quantity b)
    {
        return Quantity{a.value_ - b.value_};
    }
    friend constexpr Quantity operator-(Quantity a) { return Quantity{-a.value_}; }
    friend constexpr Quantity operator*(Rep k, Quantity q) { return Quantity{k * q.value_}; }
    friend constexpr Quantity operator*(Quantity q, Rep k) { return Quantity{k * q.value_}; }
    friend constexpr Quantity operator/(Quantity q, Rep k) { return Quantity{q.value_ / k}; }
    friend constexpr Rep operator/(Quantity a, Quantity b) { return a.value_ / b.value_; }
    constexpr Quantity& operator+=(Quantity other)
    {
        value_ += other.value_;
        return *this;
    }
    constexpr Quantity& operator-=(Quantity other)
    {
        value_ -= other.value_;
        return *this;
    }

private:
    Rep value_{};
};

/// A position on a scale (a temperature reading, not a temperature rise).
/// Point - Point = Difference; Point + Difference = Point; Point + Point does not compile.
template <class Difference>
class Point {
public:
    using rep = typename Difference::rep;

    constexpr Point() = default;
    explicit constexpr Point(rep value) : value_{value} {}

    [[nodiscard]] constexpr rep value() const { return value_; }

    friend constexpr auto operator<=>(Point, Point) = default;
    friend constexpr Difference operator-(Point a, Point b)
    {
        return Difference{a.value_ - b.value_};
    }
    friend constexpr Point operator+(Point p, Difference d) { return Point{p.value_ + d.value()}; }
    friend constexpr Point operator-(Point p, Difference d) { return Point{p.value_ - d.value()}; }

private:
    rep value_{};
};

}  // namespace nestround
