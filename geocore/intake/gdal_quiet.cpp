#include "geocore/intake/gdal_quiet.hpp"

#include <cpl_error.h>
#include <gdal.h>

#include <algorithm>
#include <mutex>

namespace nestround::intake {

namespace {

void CPL_STDCALL hear(CPLErr severity, CPLErrorNum /*number*/, const char* message)
{
    if (severity == CE_None || severity == CE_Debug) {
        return;
    }
    auto* scope = static_cast<GdalQuiet*>(CPLGetErrorHandlerUserData());
    scope->add(message == nullptr ? "" : message, severity != CE_Warning);
}

}  // namespace

GdalQuiet::GdalQuiet()
{
    CPLPushErrorHandlerEx(hear, this);
    static std::once_flag registered;
    std::call_once(registered, GDALAllRegister);
}

GdalQuiet::~GdalQuiet() { CPLPopErrorHandler(); }

void GdalQuiet::add(std::string message, bool failure)
{
    for (char& c : message) {
        if (c == '\n' || c == '\r' || c == '\t') {
            c = ' ';
        }
    }
    failed_ = failed_ || failure;
    // A damaged file repeats itself for every feature; a few words are enough.
    constexpr std::size_t kMost = 5;
    if (messages_.size() < kMost &&
        std::find(messages_.begin(), messages_.end(), message) == messages_.end()) {
        messages_.push_back(std::move(message));
    }
}

std::string GdalQuiet::text(const std::string& otherwise) const
{
    std::string out;
    for (const auto& message : messages_) {
        out += (out.empty() ? "" : "; ") + message;
    }
    return out.empty() ? otherwise : out;
}

}  // namespace nestround::intake
