// Stands in for a fuzzer in ordinary builds: gives the target each file of the folder, each file
// cut short at every byte, and 2,000 files with a few bytes changed, the same ones each time.
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <vector>

#include "geocore/base/random.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

using Bytes = std::vector<std::uint8_t>;

void give(const Bytes& bytes)
{
    // A copy of the exact size, so that a sanitizer sees a read past the end.
    const Bytes exact(bytes.begin(), bytes.end());
    LLVMFuzzerTestOneInput(exact.data(), exact.size());
}

Bytes changed(Bytes bytes, const std::vector<Bytes>& all, nestround::Random& random)
{
    const auto changes = 1 + random.below(3);
    for (std::uint64_t i = 0; i < changes; ++i) {
        const auto at = static_cast<std::ptrdiff_t>(random.below(bytes.size() + 1));
        switch (random.below(5)) {
            case 0:  // another byte
                if (at < std::ssize(bytes)) {
                    bytes[at] = static_cast<std::uint8_t>(random.next());
                }
                break;
            case 1:  // one more
                bytes.insert(bytes.begin() + at, static_cast<std::uint8_t>(random.next()));
                break;
            case 2:  // one less
                if (at < std::ssize(bytes)) {
                    bytes.erase(bytes.begin() + at);
                }
                break;
            case 3:  // another digit
                if (at < std::ssize(bytes)) {
                    bytes[at] = static_cast<std::uint8_t>('0' + random.below(10));
                }
                break;
            default: {  // the tail of another file
                const Bytes& other = all[random.below(all.size())];
                const auto from = static_cast<std::ptrdiff_t>(random.below(other.size() + 1));
                bytes.resize(static_cast<std::size_t>(at));
                bytes.insert(bytes.end(), other.begin() + from, other.end());
            }
        }
    }
    return bytes;
}

}  // namespace

int main(int argc, char** argv)
{
    if (argc != 2) {
        std::fprintf(stderr, "usage: %s FOLDER\n", argv[0]);
        return 2;
    }
    std::vector<std::string> paths;
    for (const auto& entry : std::filesystem::directory_iterator{argv[1]}) {
        paths.push_back(entry.path().string());
    }
    std::sort(paths.begin(), paths.end());
    std::vector<Bytes> files;
    for (const std::string& path : paths) {
        std::ifstream in{path, std::ios::binary};
        files.emplace_back(std::istreambuf_iterator<char>{in}, std::istreambuf_iterator<char>{});
        give(files.back());
    }
    if (files.empty()) {
        std::fprintf(stderr, "%s: no files to replay\n", argv[1]);
        return 1;
    }
    int given = 0;
    for (const Bytes& file : files) {
        const std::size_t longest = std::min<std::size_t>(file.size(), 4096);
        for (std::size_t size = 0; size < longest; ++size, ++given) {
            give(Bytes(file.begin(), file.begin() + static_cast<std::ptrdiff_t>(size)));
        }
    }
    nestround::Random random{1};
    for (int i = 0; i < 2000; ++i, ++given) {
        give(changed(files[random.below(files.size())], files, random));
    }
    std::printf("replayed %zu files and %d variations\n", files.size(), given);
    return 0;
}
