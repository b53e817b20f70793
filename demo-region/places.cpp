// Where the river runs and where people settled.
#include <algorithm>
#include <numbers>

#include "demo-region/county.hpp"
#include "demo-region/noise.hpp"

namespace nestround::demo {
namespace {

constexpr double kTurn = 2 * std::numbers::pi;

double distance_from(Vec p, const Line& line)
{
    double best = 1e9;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        best = std::min(best, distance_to(p, line[i], line[i + 1]));
    }
    return best;
}

bool has_room(const County& county, Vec at, double apart, double radius)
{
    return std::all_of(county.places.begin(), county.places.end(), [&](const Place& place) {
        return distance(at, place.at) >= apart + std::max(0.0, place.radius * 1.1 + radius);
    });
}

/// Up to `wanted` places of a kind, thrown at random where there is room.
void scatter(County& county, PlaceKind kind, int wanted, int throws, double apart, double least,
             double most, double from_water, double from_edge)
{
    const ShiftField soil{county.seed ^ 0x736fU, 7000};
    for (int i = 0; i < throws && wanted > 0; ++i) {
        const Vec at{county.random.uniform(-kHalfWidth + from_edge, kHalfWidth - from_edge),
                     county.random.uniform(-kHalfHeight + from_edge, kHalfHeight - from_edge)};
        const double radius = county.random.uniform(least, most);
        // Fields are larger in some parts than in others.
        const double room = kind == PlaceKind::Corner ? apart * (1.1 + 0.5 * soil.at(at).x) : apart;
        if (!has_room(county, at, room, radius) ||
            distance_from(at, county.network.river()) < from_water ||
            distance_from(at, county.motorway) < radius + 350) {
            continue;
        }
        county.places.push_back(
            {kind, at, radius, kind == PlaceKind::Corner ? "" : county.names.place()});
        --wanted;
    }
}

}  // namespace

Line draw_river(Random& random)
{
    const double phase = random.uniform(0, kTurn);
    const double second = random.uniform(0, kTurn);
    const ShiftField bends{random.next(), 1900};
    const ShiftField ripples{random.next(), 620};
    Line river;
    const double top = kHalfHeight + 1500;
    for (double y = top; y >= -top; y -= 50) {
        const double s = (top - y) / (2 * top);
        const Vec at{-2500 + 5000 * s + 3300 * std::sin(kTurn * 1.2 * s + phase) +
                         950 * std::sin(kTurn * 4.3 * s + second),
                     y};
        river.push_back(at + bends.at(at) * 850 + ripples.at(at) * 170);
    }
    // Water knows no sharp bends.
    for (int round = 0; round < 14; ++round) {
        Line smooth = river;
        for (std::size_t i = 1; i + 1 < river.size(); ++i) {
            smooth[i] = (river[i - 1] + river[i] * 2 + river[i + 1]) * 0.25;
        }
        river = smooth;
    }
    return river;
}

void settle(County& county)
{
    // The county town stands on the river; its far bank is built up too.
    const Line& river = county.network.river();
    const auto middle = static_cast<std::size_t>(0.42 * static_cast<double>(river.size()));
    county.places.push_back(
        {PlaceKind::Town, river[middle] + Vec{-1500, 0}, 3300, county.names.place()});
    scatter(county, PlaceKind::Town, 7, 4000, 4200, 1350, 2100, 900, 3200);
    scatter(county, PlaceKind::Village, 34, 9000, 1500, 260, 520, 700, 1500);
    // Inner corners of towns, so that main roads fan out.
    const std::size_t towns = 8;
    for (std::size_t t = 0; t < towns && t < county.places.size(); ++t) {
        const Place town = county.places[t];
        if (town.kind != PlaceKind::Town) {
            continue;
        }
        const int corners = town.radius > 3000 ? 9 : 5;
        const double start = county.random.uniform(0, kTurn);
        for (int k = 0; k < corners; ++k) {
            const double angle = start + kTurn * k / corners + county.random.uniform(-0.2, 0.2);
            const Vec at = town.at + Vec{std::cos(angle), std::sin(angle)} *
                                         (town.radius * county.random.uniform(0.55, 0.75));
            if (distance_from(at, river) > 250) {
                county.places.push_back({PlaceKind::Corner, at, -1e9, ""});
            }
        }
    }
    scatter(county, PlaceKind::Corner, 4000, 120000, 820, 0, 0, 190, 150);
}

}  // namespace nestround::demo
