/// \file gdal_memory.hpp
/// \brief Files that GDAL makes in memory, so that ours are written whole or not at all.
///
/// Purpose:  what every exporter by GDAL shares: silence, a name nobody else has, the bytes at the
///           end.
/// Units:    bytes.
/// Range:    files that fit into memory.
/// Accuracy: not applicable.
/// Errors:   refuse_output throws Failure (OutputFailed) with GDAL's last words.
/// Source:   GDAL's in-memory files.
#pragma once

#include <string>

class OGRSpatialReference;

namespace nestround::sheets {

/// GDAL prints nothing while one of these lives, and its drivers are there.
class GdalSilence {
public:
    GdalSilence();
    ~GdalSilence();
    GdalSilence(const GdalSilence&) = delete;
    GdalSilence& operator=(const GdalSilence&) = delete;
};

/// A name in memory; nothing of it is left at the end.
class MemoryFile {
public:
    explicit MemoryFile(const std::string& ending);
    ~MemoryFile();
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;

    [[nodiscard]] const std::string& name() const { return name_; }
    /// What was written; `path` is named when there is nothing or GDAL said that it failed.
    [[nodiscard]] std::string bytes(const std::string& path) const;

private:
    std::string name_;
};

[[noreturn]] void refuse_output(const std::string& path);

/// Throws when `path` is there already: no GeoPackage is written over, it may be a book.
void refuse_present(const std::string& path);

}  // namespace nestround::sheets
