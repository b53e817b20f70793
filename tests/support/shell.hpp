/// \file shell.hpp
/// \brief Other programs as witnesses: runs a command line and keeps what it said.
#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <stdexcept>
#include <string>

namespace nestround::testing {

struct Said {
    int code = -1;
    std::string words;  ///< both streams
};

inline Said run_shell(const std::string& command)
{
    Said said;
    std::FILE* pipe = ::popen((command + " 2>&1").c_str(), "r");
    if (pipe == nullptr) {
        throw std::runtime_error{"no shell"};
    }
    std::array<char, 4096> part{};
    for (std::size_t got = 0; (got = std::fread(part.data(), 1, part.size(), pipe)) > 0;) {
        said.words.append(part.data(), got);
    }
    const int status = ::pclose(pipe);
    said.code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    return said;
}

/// A folder of its own, gone at the end.
class ScratchFolder {
public:
    ScratchFolder()
    {
        std::random_device dice;
        path_ = std::filesystem::temp_directory_path() /
                ("nestround-test-" + std::to_string(dice()) + std::to_string(dice()));
        std::filesystem::create_directories(path_);
    }
    ~ScratchFolder()
    {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;

    [[nodiscard]] std::string file(const std::string& name) const
    {
        return (path_ / name).string();
    }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

inline std::string read_all(const std::string& path)
{
    std::ifstream in{path, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

}  // namespace nestround::testing
