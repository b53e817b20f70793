#include "planner/sheets/write_file.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <system_error>

#include "geocore/base/error.hpp"

namespace nestround::sheets {

namespace {

[[noreturn]] void refuse(const std::string& path, int why)
{
    const char* way_out = "check the path and the permissions";
    if (why == ENOSPC || why == EDQUOT || why == EFBIG) {
        way_out = "make room on the disk or choose another folder";
    } else if (why == ENOENT) {
        way_out = "create the folder first";
    }
    throw Failure{ErrorCode::OutputFailed,
                  fmt::format("cannot be written ({}); {}", std::strerror(why), way_out), path};
}

/// A temporary file that is gone at the end unless it was renamed.
class Draft {
public:
    explicit Draft(const std::string& target) : name_{target + ".part-XXXXXX"}
    {
        file_ = ::mkstemp(name_.data());
        made_ = file_ >= 0;
    }
    ~Draft()
    {
        if (file_ >= 0) {
            ::close(file_);
        }
        if (made_ && !done_) {
            ::unlink(name_.c_str());
        }
    }
    Draft(const Draft&) = delete;
    Draft& operator=(const Draft&) = delete;

    [[nodiscard]] bool open() const { return file_ >= 0; }

    /// errno, or 0.
    int fill(std::string_view bytes, mode_t mode)
    {
        while (!bytes.empty()) {
            const ssize_t written = ::write(file_, bytes.data(), bytes.size());
            if (written < 0 && errno == EINTR) {
                continue;
            }
            if (written < 0) {
                return errno;
            }
            bytes.remove_prefix(static_cast<std::size_t>(written));
        }
        if (::fchmod(file_, mode) != 0 || ::fsync(file_) != 0) {
            return errno;
        }
        const int closed = ::close(file_);
        file_ = -1;
        return closed == 0 ? 0 : errno;
    }
    int rename_to(const std::string& target)
    {
        if (std::rename(name_.c_str(), target.c_str()) != 0) {
            return errno;
        }
        done_ = true;
        return 0;
    }

private:
    std::string name_;
    int file_ = -1;
    bool made_ = false;
    bool done_ = false;
};

/// A folder that is gone at the end with all that is in it.
class DraftFolder {
public:
    explicit DraftFolder(const std::string& target) : name_{target + ".part-XXXXXX"}
    {
        made_ = ::mkdtemp(name_.data()) != nullptr;
    }
    ~DraftFolder()
    {
        if (made_) {
            std::error_code ignored;
            std::filesystem::remove_all(name_, ignored);
        }
    }
    DraftFolder(const DraftFolder&) = delete;
    DraftFolder& operator=(const DraftFolder&) = delete;

    [[nodiscard]] bool made() const { return made_; }
    [[nodiscard]] const std::string& name() const { return name_; }

private:
    std::string name_;
    bool made_ = false;
};

/// Bytes and mode on the disk: errno, or 0.
int settle(const std::string& name, mode_t mode)
{
    const int file = ::open(name.c_str(), O_RDONLY | O_CLOEXEC);
    if (file < 0) {
        return errno;
    }
    const int why = ::fchmod(file, mode) != 0 || ::fsync(file) != 0 ? errno : 0;
    return ::close(file) != 0 && why == 0 ? errno : why;
}

/// That of the file to be replaced, else what a newly made file would get.
mode_t mode_for(const std::string& target)
{
    struct stat status {};
    if (::stat(target.c_str(), &status) == 0) {
        return status.st_mode & 0777U;
    }
    const mode_t mask = ::umask(0);
    ::umask(mask);
    return 0666U & ~mask;
}

}  // namespace

void write_file(const std::string& path, std::string_view bytes)
{
    std::error_code trouble;
    // A link stays a link: what it points to is replaced.
    const auto real = std::filesystem::weakly_canonical(path, trouble);
    const std::string target = trouble || path.empty() ? path : real.string();
    struct stat status {};
    if (::stat(target.c_str(), &status) == 0 && !S_ISREG(status.st_mode)) {
        if (S_ISDIR(status.st_mode)) {
            refuse(path, EISDIR);
        }
        // A device or pipe (/dev/stdout) cannot be renamed over.
        std::FILE* device = std::fopen(target.c_str(), "wb");
        if (device == nullptr) {
            refuse(path, errno);
        }
        const bool whole = std::fwrite(bytes.data(), 1, bytes.size(), device) == bytes.size();
        const int why = errno;
        if (std::fclose(device) != 0 || !whole) {
            refuse(path, whole ? errno : why);
        }
        return;
    }
    Draft draft{target};
    if (!draft.open()) {
        refuse(path, errno);
    }
    if (const int why = draft.fill(bytes, mode_for(target)); why != 0) {
        refuse(path, why);
    }
    if (const int why = draft.rename_to(target); why != 0) {
        refuse(path, why);
    }
}

void make_file(const std::string& path, const std::function<void(const std::string&)>& make)
{
    std::error_code trouble;
    const auto real = std::filesystem::weakly_canonical(path, trouble);
    const std::string target = trouble || path.empty() ? path : real.string();
    struct stat status {};
    if (::stat(target.c_str(), &status) == 0 && !S_ISREG(status.st_mode)) {
        refuse(path, S_ISDIR(status.st_mode) ? EISDIR : ENODEV);
    }
    const DraftFolder folder{target};
    if (!folder.made()) {
        refuse(path, errno);
    }
    const auto draft =
        folder.name() + "/draft" + std::filesystem::path{target}.extension().string();
    make(draft);
    if (const int why = settle(draft, mode_for(target)); why != 0) {
        refuse(path, why);
    }
    if (std::rename(draft.c_str(), target.c_str()) != 0) {
        refuse(path, errno);
    }
}

}  // namespace nestround::sheets
