/// \file program.hpp
/// \brief Runs the built program as a user would, and a folder of its own for each test.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace nestround::test {

struct Outcome {
    int code = 0;
    std::string out;
    std::string err;
};

/// Runs `nestround` with these words; `limits` is put before it, as "ulimit -f 8;".
[[nodiscard]] Outcome run_program(const std::vector<std::string>& words,
                                  const std::string& limits = {});

/// An empty folder, removed with what is in it when the test ends.
class Folder {
public:
    Folder();
    ~Folder();
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    [[nodiscard]] std::string operator/(const std::string& name) const
    {
        return (path_ / name).string();
    }
    /// Writes `text` to `name` and gives its path.
    std::string write(const std::string& name, const std::string& text) const;

private:
    std::filesystem::path path_;
};

[[nodiscard]] std::string bytes_of(const std::string& path);

/// A small town of 25 junctions near 41.2 N, 77 W, as an OpenStreetMap extract.
[[nodiscard]] std::string small_town_osm();

}  // namespace nestround::test
