/// \file gdal_quiet.hpp
/// \brief While one of these lives, GDAL tells it what is wrong instead of printing.
///
/// Purpose:  every use of GDAL stands in such a scope; its words end in our one-line error.
/// Units:    none.
/// Range:    of the thread that made it; scopes may be nested.
/// Accuracy: not applicable.
/// Errors:   none of its own.
/// Source:   GDAL, CPLPushErrorHandlerEx.
#pragma once

#include <string>
#include <vector>

namespace nestround::intake {

/// Registers GDAL's drivers on first use.
class GdalQuiet {
public:
    GdalQuiet();
    ~GdalQuiet();
    GdalQuiet(const GdalQuiet&) = delete;
    GdalQuiet& operator=(const GdalQuiet&) = delete;

    [[nodiscard]] const std::vector<std::string>& messages() const { return messages_; }
    /// All messages in one line, or `otherwise` when there is none.
    [[nodiscard]] std::string text(const std::string& otherwise) const;
    /// Whether something failed, not only warned.
    [[nodiscard]] bool failed() const { return failed_; }
    void add(std::string message, bool failure);

private:
    std::vector<std::string> messages_;
    bool failed_ = false;
};

}  // namespace nestround::intake
