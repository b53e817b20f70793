#include "geocore/density/kernel.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace nestround::density {
namespace {

constexpr double kReach = 6;           // smoothings
constexpr double kDirectWork = 1.5e9;  // point-cell pairs beyond which points are shared out
constexpr double kSquareKilometre = 1e6;
constexpr std::size_t kFewPoints = 10;
constexpr int kLadder = 33;  // smoothings tried at first

double normal_below(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

/// The mass of a kernel at `at` between the edges of each of `count` cells from `begin`.
void cell_masses(double at, double begin, double cell, double smoothing, std::span<double> out)
{
    double below = normal_below((begin - at) / smoothing);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const double next =
            normal_below((begin + cell * static_cast<double>(i + 1) - at) / smoothing);
        out[i] = next - below;
        below = next;
    }
}

/// Cells that a kernel at `at` reaches, [first, last).
struct Reach {
    std::size_t first = 0;
    std::size_t last = 0;
};

Reach reach_of(double at, double begin, double cell, std::size_t count, double smoothing)
{
    const double most = static_cast<double>(count);
    const double from = std::floor((at - kReach * smoothing - begin) / cell);
    const double to = std::ceil((at + kReach * smoothing - begin) / cell);
    return {static_cast<std::size_t>(std::clamp(from, 0.0, most)),
            static_cast<std::size_t>(std::clamp(to, 0.0, most))};
}

std::ptrdiff_t cell_of(double at, double begin, double cell, std::size_t count)
{
    const double position = std::floor((at - begin) / cell);
    if (!(position >= 0) || position >= static_cast<double>(count)) {
        return -1;
    }
    return static_cast<std::ptrdiff_t>(position);
}

bool is_searched(PlanePoint point, const SearchedArea& searched)
{
    const auto& grid = searched.grid;
    const auto column = cell_of(point.east, grid.west, grid.cell, grid.columns);
    const auto row = cell_of(point.north, grid.south, grid.cell, grid.rows);
    return column >= 0 && row >= 0 &&
           searched.share_at(static_cast<std::size_t>(row) * grid.columns +
                             static_cast<std::size_t>(column)) > 0;
}

/// Adds up, for each cell of `rows`, weight * kernel and its square.
void add_directly(std::span<const PlanePoint> points, std::span<const double> weights,
                  const Grid& grid, double smoothing, Reach rows, Surface& surface)
{
    const double scale = 1 / (2 * smoothing * smoothing);
    std::vector<float> across(grid.columns);
    for (std::size_t i = 0; i < points.size(); ++i) {
        const Reach up = reach_of(points[i].north, grid.south, grid.cell, grid.rows, smoothing);
        const std::size_t first = std::max(up.first, rows.first);
        const std::size_t last = std::min(up.last, rows.last);
        if (first >= last) {
            continue;
        }
        const Reach along = reach_of(points[i].east, grid.west, grid.cell, grid.columns, smoothing);
        for (std::size_t column = along.first; column < along.last; ++column) {
            const double d = grid.middle(column, 0).east - points[i].east;
            across[column] = static_cast<float>(std::exp(-d * d * scale));
        }
        for (std::size_t row = first; row < last; ++row) {
            const double d = grid.middle(0, row).north - points[i].north;
            const auto weight = static_cast<float>(weights[i] * std::exp(-d * d * scale));
            float* sum = surface.per_km2.data() + row * grid.columns;
            float* squares = surface.standard_error.data() + row * grid.columns;
            for (std::size_t column = along.first; column < along.last; ++column) {
                const float part = weight * across[column];
                sum[column] += part;
                squares[column] += part * part;
            }
        }
    }
}

/// One direction of a smoothing: each row of `from` is spread along itself.
void smooth_rows(std::span<const float> from, std::span<float> to, std::size_t columns,
                 std::size_t first, std::size_t last, std::span<const float> half)
{
    const auto width = static_cast<std::ptrdiff_t>(columns);
    for (std::size_t row = first; row < last; ++row) {
        const float* in = from.data() + row * columns;
        float* out = to.data() + row * columns;
        std::fill(out, out + columns, 0.0F);
        for (std::ptrdiff_t shift = 1 - static_cast<std::ptrdiff_t>(half.size());
             shift < static_cast<std::ptrdiff_t>(half.size()); ++shift) {
            const float factor = half[static_cast<std::size_t>(std::abs(shift))];
            const std::ptrdiff_t begin = std::max<std::ptrdiff_t>(0, -shift);
            const std::ptrdiff_t end = std::min(width, width - shift);
            for (std::ptrdiff_t i = begin; i < end; ++i) {
                out[i] += factor * in[i + shift];
            }
        }
    }
}

/// The same in the other direction: whole rows are added, so that memory is read in order.
void smooth_columns(std::span<const float> from, std::span<float> to, const Grid& grid,
                    std::size_t first, std::size_t last, std::span<const float> half)
{
    const auto height = static_cast<std::ptrdiff_t>(grid.rows);
    for (std::size_t row = first; row < last; ++row) {
        float* out = to.data() + row * grid.columns;
        std::fill(out, out + grid.columns, 0.0F);
        for (std::ptrdiff_t shift = 1 - static_cast<std::ptrdiff_t>(half.size());
             shift < static_cast<std::ptrdiff_t>(half.size()); ++shift) {
            const std::ptrdiff_t other = static_cast<std::ptrdiff_t>(row) + shift;
            if (other < 0 || other >= height) {
                continue;
            }
            const float factor = half[static_cast<std::size_t>(std::abs(shift))];
            const float* in = from.data() + static_cast<std::size_t>(other) * grid.columns;
            for (std::size_t i = 0; i < grid.columns; ++i) {
                out[i] += factor * in[i];
            }
        }
    }
}

/// Rows in as many bands as there are workers.
template <class Work>
void in_bands(std::size_t rows, const Workers& workers, Work work)
{
    const std::size_t bands = std::max<std::size_t>(1, std::min(workers.count, rows));
    workers(bands, [&](std::size_t band) {
        work(Reach{rows * band / bands, rows * (band + 1) / bands});
    });
}

std::vector<float> smoothed(const std::vector<float>& values, const Grid& grid,
                            std::span<const float> half, const Workers& workers)
{
    std::vector<float> along(values.size());
    std::vector<float> both(values.size());
    in_bands(grid.rows, workers, [&](Reach rows) {
        smooth_rows(values, along, grid.columns, rows.first, rows.last, half);
    });
    in_bands(grid.rows, workers,
             [&](Reach rows) { smooth_columns(along, both, grid, rows.first, rows.last, half); });
    return both;
}

/// exp(-(i cell)^2 / 2 smoothing^2) for i = 0, 1, ... as far as it reaches; `power` 2 squares it.
std::vector<float> half_kernel(double cell, double smoothing, double power)
{
    std::vector<float> half;
    const auto reach = static_cast<std::size_t>(std::ceil(kReach * smoothing / cell));
    for (std::size_t i = 0; i <= reach; ++i) {
        const double d = cell * static_cast<double>(i) / smoothing;
        half.push_back(static_cast<float>(std::exp(-power * d * d / 2)));
    }
    return half;
}

/// Each point's weight goes to the four nearest cells, by nearness.
std::vector<float> shares(std::span<const PlanePoint> points, std::span<const double> weights,
                          const Grid& grid)
{
    std::vector<double> sums(grid.size(), 0.0);
    const auto columns = static_cast<std::ptrdiff_t>(grid.columns);
    const auto rows = static_cast<std::ptrdiff_t>(grid.rows);
    for (std::size_t i = 0; i < points.size(); ++i) {
        const double x = (points[i].east - grid.west) / grid.cell - 0.5;
        const double y = (points[i].north - grid.south) / grid.cell - 0.5;
        const auto column = static_cast<std::ptrdiff_t>(std::floor(x));
        const auto row = static_cast<std::ptrdiff_t>(std::floor(y));
        const double right = x - static_cast<double>(column);
        const double up = y - static_cast<double>(row);
        for (std::ptrdiff_t dy = 0; dy < 2; ++dy) {
            for (std::ptrdiff_t dx = 0; dx < 2; ++dx) {
                // In the outermost half cell there is no neighbour: the cell itself takes it.
                const auto c = std::clamp<std::ptrdiff_t>(column + dx, 0, columns - 1);
                const auto r = std::clamp<std::ptrdiff_t>(row + dy, 0, rows - 1);
                sums[static_cast<std::size_t>(r * columns + c)] +=
                    weights[i] * (dx == 1 ? right : 1 - right) * (dy == 1 ? up : 1 - up);
            }
        }
    }
    return {sums.begin(), sums.end()};
}

/// The share of the kernel inside, for every cell's middle at once.
class Inside {
public:
    Inside(const SearchedArea& searched, double smoothing, const Workers& workers)
        : searched_{searched}, smoothing_{smoothing}
    {
        if (searched.share.empty()) {
            return;
        }
        const auto& grid = searched.grid;
        const auto half = cell_kernel(grid.cell, smoothing);
        field_ = smoothed(searched.share, grid, half, workers);
    }

    [[nodiscard]] double at(PlanePoint point) const
    {
        const auto& grid = searched_.grid;
        if (field_.empty()) {
            const auto part = [this](double at, double from, double to) {
                return normal_below((to - at) / smoothing_) -
                       normal_below((from - at) / smoothing_);
            };
            return part(point.east, grid.west, grid.east()) *
                   part(point.north, grid.south, grid.north());
        }
        const double x = std::clamp((point.east - grid.west) / grid.cell - 0.5, 0.0,
                                    static_cast<double>(grid.columns) - 1.0);
        const double y = std::clamp((point.north - grid.south) / grid.cell - 0.5, 0.0,
                                    static_cast<double>(grid.rows) - 1.0);
        const auto column = static_cast<std::size_t>(x);
        const auto row = static_cast<std::size_t>(y);
        const double right = x - static_cast<double>(column);
        const double up = y - static_cast<double>(row);
        const auto value = [&](std::size_t dx, std::size_t dy) -> double {
            return field_[std::min(row + dy, grid.rows - 1) * grid.columns +
                          std::min(column + dx, grid.columns - 1)];
        };
        return (value(0, 0) * (1 - right) + value(1, 0) * right) * (1 - up) +
               (value(0, 1) * (1 - right) + value(1, 1) * right) * up;
    }

private:
    /// The mass of the kernel over a cell so many cells away.
    static std::vector<float> cell_kernel(double cell, double smoothing)
    {
        const auto reach = static_cast<std::size_t>(std::ceil(kReach * smoothing / cell)) + 1;
        std::vector<double> masses(reach);
        cell_masses(0, -cell / 2, cell, smoothing, masses);
        return {masses.begin(), masses.end()};
    }

    const SearchedArea& searched_;
    double smoothing_;
    std::vector<float> field_;
};

/// A point of the searched land has at least this much of its kernel on it; a lower figure comes of
/// a sliver narrower than a cell, and would raise one nest to many.
constexpr double kLeastInside = 0.05;

std::vector<PlanePoint> searched_points(std::span<const PlanePoint> points,
                                        const SearchedArea& searched)
{
    std::vector<PlanePoint> inside;
    inside.reserve(points.size());
    for (const auto& point : points) {
        if (is_searched(point, searched)) {
            inside.push_back(point);
        }
    }
    return inside;
}

double normal_rule(std::span<const PlanePoint> points)
{
    double east = 0;
    double north = 0;
    const double n = static_cast<double>(points.size());
    for (const auto& point : points) {
        east += point.east / n;
        north += point.north / n;
    }
    double spread = 0;
    for (const auto& point : points) {
        spread += (point.east - east) * (point.east - east) +
                  (point.north - north) * (point.north - north);
    }
    return std::sqrt(spread / (2 * (n - 1))) * std::pow(n, -1.0 / 6);
}

/// Sum over the points of the log density that the others give them; higher is better.
double likelihood_left_out(std::span<const PlanePoint> points, const SearchedArea& searched,
                           double smoothing)
{
    const Inside inside{searched, smoothing, {}};
    const std::size_t n = points.size();
    std::vector<double> weights(n);
    for (std::size_t i = 0; i < n; ++i) {
        weights[i] = 1 / std::max(inside.at(points[i]), kLeastInside);
    }
    std::vector<double> densities(n, 0.0);
    const double reach = kReach * smoothing;
    const double scale = 1 / (2 * smoothing * smoothing);
    for (std::size_t i = 0; i < n; ++i) {
        // Sorted by east: beyond the reach no later point can add.
        for (std::size_t j = i + 1; j < n && points[j].east - points[i].east <= reach; ++j) {
            const double dx = points[j].east - points[i].east;
            const double dy = points[j].north - points[i].north;
            const double kernel = std::exp(-(dx * dx + dy * dy) * scale);
            densities[i] += weights[j] * kernel;
            densities[j] += weights[i] * kernel;
        }
    }
    double sum = 0;
    for (const double density : densities) {
        sum += std::log(density / (2 * std::numbers::pi * smoothing * smoothing));
    }
    return sum;  // minus infinity when a point stands alone
}

}  // namespace

Result<Surface> kernel_surface(std::span<const PlanePoint> points, const SearchedArea& searched,
                               double smoothing, const Workers& workers)
{
    if (!(smoothing > 0) || !std::isfinite(smoothing)) {
        return fail(ErrorCode::InvalidInput, "the smoothing is above 0 m");
    }
    const auto& grid = searched.grid;
    const auto inside_points = searched_points(points, searched);
    Surface surface{grid,
                    std::vector<float>(grid.size(), 0.0F),
                    std::vector<float>(grid.size(), 0.0F),
                    smoothing,
                    inside_points.size(),
                    false};
    const Inside inside{searched, smoothing, workers};
    std::vector<double> weights;
    weights.reserve(inside_points.size());
    for (const auto& point : inside_points) {
        weights.push_back(kSquareKilometre / (2 * std::numbers::pi * smoothing * smoothing) /
                          std::max(inside.at(point), kLeastInside));
    }
    const double reach = 2 * kReach * smoothing / grid.cell + 1;
    const double work = static_cast<double>(inside_points.size()) *
                        std::min(reach, static_cast<double>(grid.columns)) *
                        std::min(reach, static_cast<double>(grid.rows));
    if (work <= kDirectWork || smoothing < 3 * grid.cell) {
        in_bands(grid.rows, workers, [&](Reach rows) {
            add_directly(inside_points, weights, grid, smoothing, rows, surface);
        });
    } else {
        surface.shared_out = true;
        surface.per_km2 = smoothed(shares(inside_points, weights, grid), grid,
                                   half_kernel(grid.cell, smoothing, 1), workers);
        for (double& weight : weights) {
            weight *= weight;
        }
        surface.standard_error = smoothed(shares(inside_points, weights, grid), grid,
                                          half_kernel(grid.cell, smoothing, 2), workers);
    }
    constexpr float none = std::numeric_limits<float>::quiet_NaN();
    for (std::size_t cell = 0; cell < grid.size(); ++cell) {
        const bool known = searched.share_at(cell) > 0;
        surface.per_km2[cell] = known ? surface.per_km2[cell] : none;
        surface.standard_error[cell] = known ? std::sqrt(surface.standard_error[cell]) : none;
    }
    return surface;
}

Result<Smoothing> choose_smoothing(std::span<const PlanePoint> points, const SearchedArea& searched,
                                   const SmoothingLimits& limits)
{
    auto inside = searched_points(points, searched);
    if (inside.size() < 2) {
        return fail(ErrorCode::InvalidInput,
                    "one nest or none gives no smoothing; name one in metres");
    }
    std::ranges::sort(inside, [](const PlanePoint& a, const PlanePoint& b) {
        return a.east < b.east || (a.east == b.east && a.north < b.north);
    });
    const double rule = std::clamp(normal_rule(inside), limits.least, limits.most);
    if (inside.size() < kFewPoints) {
        return Smoothing{rule, SmoothingChoice::NormalRule, inside.size()};
    }
    double scale = 1;
    if (inside.size() > limits.most_points) {
        const std::size_t all = inside.size();
        std::vector<PlanePoint> some;
        for (std::size_t i = 0; i < limits.most_points; ++i) {
            some.push_back(inside[i * all / limits.most_points]);
        }
        // The best smoothing falls with the sixth root of the number of points.
        scale = std::pow(static_cast<double>(some.size()) / static_cast<double>(all), 1.0 / 6);
        inside = std::move(some);
    }
    const double low = std::log(limits.least);
    const double high =
        std::log(std::min(limits.most, 4 * rule * std::pow(inside.size(), 1.0 / 6)));
    double best = -std::numeric_limits<double>::infinity();
    double at = 0;
    const double step = (high - low) / (kLadder - 1);
    for (int i = 0; i < kLadder && step > 0; ++i) {
        const double value = likelihood_left_out(inside, searched, std::exp(low + step * i));
        if (value > best) {
            best = value;
            at = low + step * i;
        }
    }
    if (!std::isfinite(best)) {
        return Smoothing{rule, SmoothingChoice::NormalRule, inside.size()};
    }
    // Golden section between the neighbours of the best step.
    double a = std::max(low, at - step);
    double b = std::min(high, at + step);
    const double ratio = 1 / std::numbers::phi;
    while (b - a > 1e-3) {
        const double c = b - (b - a) * ratio;
        const double d = a + (b - a) * ratio;
        if (likelihood_left_out(inside, searched, std::exp(c)) >=
            likelihood_left_out(inside, searched, std::exp(d))) {
            b = d;
        } else {
            a = c;
        }
    }
    return Smoothing{std::max(limits.least, std::exp((a + b) / 2) * scale),
                     SmoothingChoice::LikelihoodLeftOut, inside.size()};
}

double kernel_inside(PlanePoint point, const SearchedArea& searched, double smoothing)
{
    return Inside{searched, smoothing, {}}.at(point);
}

}  // namespace nestround::density
