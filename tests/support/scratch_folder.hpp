/// \file scratch_folder.hpp
/// \brief A folder of its own for a test, gone afterwards.
#pragma once

#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <stdexcept>
#include <string>
#include <string_view>

namespace nestround::test {

class ScratchFolder {
public:
    ScratchFolder()
    {
        auto pattern = (std::filesystem::temp_directory_path() / "nestround-XXXXXX").string();
        if (::mkdtemp(pattern.data()) == nullptr) {
            throw std::runtime_error{"no scratch folder"};
        }
        path_ = pattern;
    }
    ~ScratchFolder()
    {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    ScratchFolder(const ScratchFolder&) = delete;
    ScratchFolder& operator=(const ScratchFolder&) = delete;

    [[nodiscard]] std::string file(std::string_view name) const { return (path_ / name).string(); }
    /// Writes a file and gives its path.
    [[nodiscard]] std::string write(std::string_view name, std::string_view text) const
    {
        std::ofstream{file(name), std::ios::binary} << text;
        return file(name);
    }
    [[nodiscard]] std::string read(std::string_view name) const
    {
        std::ifstream in{file(name), std::ios::binary};
        return {std::istreambuf_iterator<char>{in}, {}};
    }

private:
    std::filesystem::path path_;
};

}  // namespace nestround::test
