// Density on a grid of 1000 by 1000 from 2,000 nests and from a million, beside SciPy's in the same
// run (fewer places, because it is slow; its time is scaled to all of them).
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "geocore/base/random.hpp"
#include "geocore/density/kernel.hpp"
#include "geocore/intake/worker_threads.hpp"

using namespace nestround;
using namespace nestround::density;
using Clock = std::chrono::steady_clock;

namespace {

double since(Clock::time_point begin)
{
    return std::chrono::duration<double>(Clock::now() - begin).count();
}

std::vector<PlanePoint> scattered(std::size_t count)
{
    Random dice{1};
    std::vector<PlanePoint> points;
    for (std::size_t i = 0; i < count; ++i) {
        points.push_back(
            {100 * double(dice.below(1'000'000)) / 1e3, 100 * double(dice.below(1'000'000)) / 1e3});
    }
    return points;
}

double scipy_seconds(const std::vector<PlanePoint>& points, double smoothing, int side)
{
    const auto folder = std::filesystem::temp_directory_path();
    const auto file = folder / "nestround_bench_density.txt";
    {
        std::ofstream out{file};
        for (const auto& point : points) {
            out << fmt::format("{:.3f} {:.3f}\n", point.east, point.north);
        }
    }
    const auto script = fmt::format(
        "/usr/bin/python3 -c \"\nimport time, numpy as np\nfrom scipy import stats\n"
        "p = np.loadtxt('{}').T\ns = p.std(axis=1, ddof=1).mean()\n"
        "g = np.linspace(0, 1e5, {})\nx, y = np.meshgrid(g, g)\n"
        "k = stats.gaussian_kde(p, bw_method={} / s)\nt = time.perf_counter()\n"
        "k(np.vstack([x.ravel(), y.ravel()]))\nprint(time.perf_counter() - t)\"",
        file.string(), side, smoothing);
    double seconds = -1;
    if (std::FILE* pipe = ::popen(script.c_str(), "r")) {
        if (std::fscanf(pipe, "%lf", &seconds) != 1) {
            seconds = -1;
        }
        ::pclose(pipe);
    }
    std::filesystem::remove(file);
    return seconds;
}

}  // namespace

int main()
{
    const Grid grid{0, 0, 100, 1000, 1000};
    const std::vector<PlaneRing> land{{{0, 0}, {1e5, 10'000}, {9e4, 1e5}, {5'000, 9e4}}};
    const auto searched = within(grid, land).value();
    const auto two = intake::worker_threads(2);
    for (const std::size_t count : {2'000U, 1'000'000U}) {
        const auto points = scattered(count);
        for (const double smoothing : {1'000.0, 3'000.0}) {
            auto begin = Clock::now();
            const auto surface = kernel_surface(points, searched, smoothing, two).value();
            const double ours = since(begin);
            fmt::print(
                "{:>9} nests, smoothing {:>4.0f} m, 1000 x 1000 cells, 2 threads: {:.3f} s{}",
                count, smoothing, ours, surface.shared_out ? " (shared out)" : "");
            if (count == 2'000U) {
                const double theirs = scipy_seconds(points, smoothing, 200) * 25;
                fmt::print("; SciPy {:.1f} s (200 x 200 times 25), ratio {:.0f}", theirs,
                           theirs / ours);
            }
            fmt::print("\n");
        }
        auto begin = Clock::now();
        const auto coarse = within(Grid{0, 0, 667, 150, 150}, land).value();
        const auto chosen = choose_smoothing(points, coarse).value();
        fmt::print("{:>9} nests, smoothing chosen: {:.0f} m in {:.2f} s\n", count, chosen.metres,
                   since(begin));
    }
}
