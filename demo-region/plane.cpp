#include "demo-region/plane.hpp"

#include <algorithm>
#include <cstddef>

namespace nestround::demo {

Vec turned(Vec a, double radians)
{
    const double c = std::cos(radians);
    const double s = std::sin(radians);
    return {a.x * c - a.y * s, a.x * s + a.y * c};
}

std::optional<double> meeting(Vec p, Vec q, Vec a, Vec b)
{
    const Vec d = q - p;
    const Vec e = b - a;
    const double denominator = cross(d, e);
    if (std::abs(denominator) < 1e-9) {
        return std::nullopt;
    }
    const double t = cross(a - p, e) / denominator;
    const double u = cross(a - p, d) / denominator;
    if (t < 0 || t > 1 || u < 0 || u > 1) {
        return std::nullopt;
    }
    return t;
}

double nearest_share(Vec p, Vec a, Vec b)
{
    const Vec d = b - a;
    const double squared = dot(d, d);
    return squared == 0 ? 0 : std::clamp(dot(p - a, d) / squared, 0.0, 1.0);
}

double distance_to(Vec p, Vec a, Vec b)
{
    return distance(p, between(a, b, nearest_share(p, a, b)));
}

double length_of(const Line& line)
{
    double sum = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        sum += distance(line[i - 1], line[i]);
    }
    return sum;
}

Line densified(const Line& line, double step)
{
    Line out;
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const int pieces =
            std::max(1, static_cast<int>(std::ceil(distance(line[i], line[i + 1]) / step)));
        for (int k = 0; k < pieces; ++k) {
            out.push_back(between(line[i], line[i + 1], static_cast<double>(k) / pieces));
        }
    }
    if (!line.empty()) {
        out.push_back(line.back());
    }
    return out;
}

Line clipped(const Line& polygon, Vec on, Vec normal)
{
    Line out;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vec a = polygon[i];
        const Vec b = polygon[(i + 1) % polygon.size()];
        const double da = dot(a - on, normal);
        const double db = dot(b - on, normal);
        if (da >= 0) {
            out.push_back(a);
        }
        if ((da > 0 && db < 0) || (da < 0 && db > 0)) {
            out.push_back(between(a, b, da / (da - db)));
        }
    }
    return out;
}

bool is_inside(Vec p, const Line& polygon)
{
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const Vec a = polygon[i];
        if (cross(polygon[(i + 1) % polygon.size()] - a, p - a) < 0) {
            return false;
        }
    }
    return polygon.size() >= 3;
}

Line drawn_in(const Line& polygon, double margin)
{
    Line out = polygon;
    for (std::size_t i = 0; i < polygon.size() && out.size() >= 3; ++i) {
        const Vec a = polygon[i];
        const Vec b = polygon[(i + 1) % polygon.size()];
        if (a == b) {
            continue;
        }
        const Vec normal = unit(left_of(b - a));
        out = clipped(out, a + normal * margin, normal);
    }
    return out.size() >= 3 ? out : Line{};
}

Line curve(Vec a, Vec at_a, Vec b, Vec at_b, double step)
{
    const double reach = distance(a, b);
    const int pieces = std::max(1, static_cast<int>(std::ceil(reach / step)));
    // Cubic in Bernstein form; handles a third of the chord keep it from bulging.
    const Vec c1 = a + at_a * (reach / 3);
    const Vec c2 = b - at_b * (reach / 3);
    Line out;
    for (int k = 0; k <= pieces; ++k) {
        const double t = static_cast<double>(k) / pieces;
        const double s = 1 - t;
        out.push_back(a * (s * s * s) + c1 * (3 * s * s * t) + c2 * (3 * s * t * t) +
                      b * (t * t * t));
    }
    return out;
}

LonLat on_earth(Vec p)
{
    constexpr double kMidLongitude = -77.0;
    constexpr double kMidLatitude = 41.2;
    constexpr double kMetresPerDegreeLat = 111061.0;
    constexpr double kMetresPerDegreeLon = 83884.0;
    // Seven decimals, as OpenStreetMap files hold them.
    const auto rounded = [](double degrees) { return std::round(degrees * 1e7) / 1e7; };
    return {Longitude{rounded(kMidLongitude + p.x / kMetresPerDegreeLon)},
            Latitude{rounded(kMidLatitude + p.y / kMetresPerDegreeLat)}};
}

}  // namespace nestround::demo
