#include "planner/sheets/gdal_memory.hpp"

#include <cpl_error.h>
#include <cpl_vsi.h>
#include <fmt/format.h>
#include <gdal_priv.h>

#include <filesystem>

#include "geocore/base/error.hpp"

namespace nestround::sheets {

GdalSilence::GdalSilence()
{
    CPLPushErrorHandler(CPLQuietErrorHandler);
    CPLErrorReset();
    GDALAllRegister();
}

GdalSilence::~GdalSilence() { CPLPopErrorHandler(); }

MemoryFile::MemoryFile(const std::string& ending)
    : name_{fmt::format("/vsimem/sheet_{}{}", static_cast<const void*>(this), ending)}
{
}

MemoryFile::~MemoryFile() { VSIUnlink(name_.c_str()); }

std::string MemoryFile::bytes(const std::string& path) const
{
    vsi_l_offset size = 0;
    const auto* bytes = VSIGetMemFileBuffer(name_.c_str(), &size, FALSE);
    if (bytes == nullptr || CPLGetLastErrorType() >= CE_Failure) {
        refuse_output(path);
    }
    return {reinterpret_cast<const char*>(bytes), static_cast<std::size_t>(size)};
}

void refuse_output(const std::string& path)
{
    throw Failure{ErrorCode::OutputFailed, fmt::format("cannot be made ({})", CPLGetLastErrorMsg()),
                  path};
}

void refuse_present(const std::string& path)
{
    std::error_code ignored;
    if (std::filesystem::exists(path, ignored)) {
        throw Failure{ErrorCode::OutputFailed,
                      "is there already, and no GeoPackage is written over; name a new file", path};
    }
}

}  // namespace nestround::sheets
