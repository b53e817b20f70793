#include "geocore/intake/picture_size.hpp"

#include <gdal_priv.h>

#include <memory>

#include "geocore/base/error.hpp"
#include "geocore/intake/file_text.hpp"
#include "geocore/intake/gdal_quiet.hpp"

namespace nestround::intake {

std::pair<int, int> picture_size(const std::filesystem::path& file)
{
    require_file(file);
    const GdalQuiet quiet;
    GDALAllRegister();
    struct Close {
        void operator()(GDALDataset* dataset) const { GDALClose(dataset); }
    };
    const std::unique_ptr<GDALDataset, Close> dataset{
        GDALDataset::Open(file.c_str(), GDAL_OF_RASTER | GDAL_OF_READONLY)};
    if (dataset == nullptr || dataset->GetRasterXSize() < 1 || dataset->GetRasterYSize() < 1) {
        throw Failure{ErrorCode::InvalidInput,
                      "this is no picture that can be opened; a JPEG or PNG can", file.string()};
    }
    return {dataset->GetRasterXSize(), dataset->GetRasterYSize()};
}

}  // namespace nestround::intake
