/// \file scratch.hpp
/// \brief A folder of one test, gone when the test ends, and the files it makes there.
#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

namespace nestround::tests {

class Scratch {
public:
    Scratch()
    {
        std::string name = (std::filesystem::temp_directory_path() / "intake-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) {
            throw std::filesystem::filesystem_error{
                "mkdtemp", name, std::error_code{errno, std::generic_category()}};
        }
        folder_ = name;
    }
    ~Scratch()
    {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;

    [[nodiscard]] std::filesystem::path path(const std::string& name) const
    {
        return folder_ / name;
    }
    [[nodiscard]] std::filesystem::path file(const std::string& name, std::string_view bytes) const
    {
        // Some file systems wait for the disk when a file is overwritten.
        std::filesystem::remove(path(name));
        std::ofstream{path(name), std::ios::binary} << bytes;
        return path(name);
    }

private:
    std::filesystem::path folder_;
};

}  // namespace nestround::tests
