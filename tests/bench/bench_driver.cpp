// The driver on a book of a million nests: opening it, one window of the map, counts and extent;
// through GDAL's C API in a process of its own a row, and through GDAL in Python.
#include <gdal.h>

#include "tests/bench/million_nests.hpp"

using namespace nestround;
using namespace nestround::bench;

namespace {

constexpr const char* kDay = "?on=2026-08-04";

struct Laps {
    std::chrono::steady_clock::time_point from = std::chrono::steady_clock::now();
    void operator()(const char* what, long long answer)
    {
        const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - from;
        timespec used{};
        ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &used);
        const double processor = double(used.tv_sec) + double(used.tv_nsec) / 1e9;
        fmt::print("  {:<34} {:7.3f} s wall {:7.3f} s processor  {}\n", what, taken.count(),
                   processor - before, answer);
        before = processor;
        from = std::chrono::steady_clock::now();
    }
    double before = 0;
};

long long features_of(OGRLayerH layer)
{
    long long count = 0;
    OGR_L_ResetReading(layer);
    while (OGRFeatureH feature = OGR_L_GetNextFeature(layer)) {
        ++count;
        OGR_F_Destroy(feature);
    }
    return count;
}

int look(const std::string& book)
{
    GDALAllRegister();
    Laps lap;
    lap("GDAL itself", 0);
    const auto name = "NESTROUND:" + book + kDay;
    GDALDatasetH data = GDALOpenEx(name.c_str(), GDAL_OF_VECTOR, nullptr, nullptr, nullptr);
    if (data == nullptr) {
        return 1;
    }
    lap("opened; layers", GDALDatasetGetLayerCount(data));
    OGRLayerH nests = GDALDatasetGetLayerByName(data, "nests");
    OGR_L_SetSpatialFilterRect(nests, -77.05, 41, -76.95, 41.1);
    lap("window of 8 x 11 km, nests", features_of(nests));
    OGR_L_SetSpatialFilterRect(nests, -77.25, 41, -76.95, 41.2);
    lap("window of 25 x 22 km, nests", features_of(nests));
    OGR_L_SetSpatialFilter(nests, nullptr);
    lap("count of all", OGR_L_GetFeatureCount(nests, 1));
    OGREnvelope extent;
    lap("extent", OGR_L_GetExtent(nests, &extent, 1));
    OGR_L_SetAttributeFilter(nests, "season = 2026 AND taxon = 'VGER'");
    lap("a season's nests of one wasp", OGR_L_GetFeatureCount(nests, 1));
    OGRLayerH waiting = GDALDatasetGetLayerByName(data, "waiting_calls");
    lap("waiting calls, 333,000 own catches", features_of(waiting));
    GDALClose(data);
    return 0;
}

}  // namespace

int main(int count, char** words)
{
    namespace fs = std::filesystem;
    if (count == 3 && std::string{words[1]} == "--look") {
        return look(words[2]);
    }
    const auto here = fs::absolute(count > 0 ? words[0] : ".").parent_path();
    const auto book = million_book(here);
    const auto folder = here.parent_path() / "gdalplugins";
    ::setenv("GDAL_DRIVER_PATH", folder.c_str(), 1);
    fmt::print("{} nests; opening and one window: limit 0.3 s\n", kNests);
    const auto c = run_apart({fs::absolute(words[0]).string(), "--look", book}, false);
    fmt::print("GDAL's C API: {:.2f} s in all, {:.0f} MB memory{}\n", c.wall, c.memory,
               c.code == 0 ? "" : "  FAILED");
    const auto script = fmt::format(
        "import time\nfrom osgeo import gdal\n"
        "a = time.process_time(); w = time.perf_counter()\n"
        "d = gdal.OpenEx('NESTROUND:{}{}')\nl = d.GetLayerByName('nests')\n"
        "l.SetSpatialFilterRect(-77.05, 41, -76.95, 41.1)\nn = sum(1 for f in l)\n"
        "print(f'  opened and the first window        {{time.perf_counter() - w:7.3f}} s wall "
        "{{time.process_time() - a:7.3f}} s processor  {{n}}')\n",
        book, kDay);
    fmt::print("GDAL in Python:\n");
    const auto python = run_apart({"/usr/bin/python3", "-c", script}, false);
    return c.code == 0 && python.code == 0 ? 0 : 1;
}
