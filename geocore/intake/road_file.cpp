#include "geocore/intake/road_file.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <bit>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <type_traits>
#include <utility>
#include <vector>

#include "geocore/base/error.hpp"

namespace nestround::intake {
namespace {

static_assert(std::endian::native == std::endian::little,
              "road files are little-endian; a big-endian machine needs a swap here");
static_assert(std::is_trivially_copyable_v<roads::RoadEdge>);
static_assert(sizeof(roads::RoadPoint) == 8);

constexpr std::array<char, 8> kMagic{'N', 'R', 'o', 'a', 'd', 's', '\r', '\n'};
constexpr std::uint32_t kVersion = 1;

enum class Section : std::uint32_t {
    Nodes = 1,
    Edges = 2,
    FirstPoint = 3,
    Points = 4,
    FirstLetter = 5,
    Letters = 6,
    Attribution = 7,
    Source = 8,
    Report = 9,
};
constexpr std::uint32_t kSections = 9;

struct Header {
    std::array<char, 8> magic = kMagic;
    std::uint32_t version = kVersion;
    std::uint32_t sections = kSections;
    std::uint64_t file_size = 0;
    std::uint64_t checksum = 0;  ///< of this header with 0 here, and of the table
};
static_assert(sizeof(Header) == 32);

struct SectionEntry {
    std::uint32_t kind = 0;
    std::uint32_t entry_size = 0;
    std::uint64_t offset = 0;
    std::uint64_t count = 0;
    std::uint64_t checksum = 0;  ///< of the section and its padding
};
static_assert(sizeof(SectionEntry) == 32);

constexpr std::size_t padded(std::size_t size) { return (size + 7) / 8 * 8; }

/// Eight bytes a step. Each step is one-to-one in the state and in the word, so that no change in
/// a single word, least of all one bit, can go unseen.
std::uint64_t checksum(std::span<const char> bytes, std::uint64_t state = 0x6e65737472646173U)
{
    for (std::size_t i = 0; i + 8 <= bytes.size(); i += 8) {
        std::uint64_t word = 0;
        std::memcpy(&word, bytes.data() + i, 8);
        state = std::rotl(state ^ word, 29) * 0x9e3779b97f4a7c15U;
        state ^= state >> 32U;
    }
    return state;
}

std::uint64_t checksum_of_head(Header header, std::span<const SectionEntry> table)
{
    header.checksum = 0;
    const auto state = checksum({reinterpret_cast<const char*>(&header), sizeof header});
    return checksum({reinterpret_cast<const char*>(table.data()), table.size_bytes()}, state);
}

class Encoder {
public:
    template <class Items>
    void add(Section kind, const Items& items)
    {
        using Item = typename Items::value_type;
        static_assert(std::is_trivially_copyable_v<Item>);
        const auto size = items.size() * sizeof(Item);
        const auto offset = body_.size();
        body_.resize(offset + padded(size), '\0');
        if (size > 0) {
            std::memcpy(body_.data() + offset, items.data(), size);
        }
        table_.push_back({static_cast<std::uint32_t>(kind), sizeof(Item),
                          sizeof(Header) + kSections * sizeof(SectionEntry) + offset, items.size(),
                          checksum({body_.data() + offset, padded(size)})});
    }

    std::string finish() const
    {
        Header header;
        header.file_size = sizeof header + table_.size() * sizeof(SectionEntry) + body_.size();
        header.checksum = checksum_of_head(header, table_);
        std::string file;
        file.reserve(header.file_size);
        file.append(reinterpret_cast<const char*>(&header), sizeof header);
        file.append(reinterpret_cast<const char*>(table_.data()),
                    table_.size() * sizeof(SectionEntry));
        file.append(body_);
        return file;
    }

private:
    std::vector<SectionEntry> table_;
    std::string body_;
};

class Decoder {
public:
    Decoder(std::span<const char> bytes, const std::string& name) : bytes_{bytes}, name_{name}
    {
        Header header;
        if (bytes.size() < sizeof header.magic ||
            std::memcmp(bytes.data(), kMagic.data(), kMagic.size()) != 0) {
            throw Failure{ErrorCode::InvalidInput,
                          "not a road file; make one with: nestround roads build", name};
        }
        if (bytes.size() < sizeof header) {
            damaged("its beginning is cut short");
        }
        std::memcpy(&header, bytes.data(), sizeof header);
        if (header.version > kVersion && header.version < 1000) {
            throw Failure{ErrorCode::WrongVersion,
                          fmt::format("road file of version {}, this program reads up to {}; build "
                                      "it again, or use the newer program",
                                      header.version, kVersion),
                          name};
        }
        if (header.version != kVersion || header.sections != kSections) {
            damaged("its header makes no sense");
        }
        if (header.file_size != bytes.size()) {
            damaged(
                fmt::format("it should have {} bytes and has {}", header.file_size, bytes.size()));
        }
        table_.resize(kSections);
        if (bytes.size() < sizeof header + kSections * sizeof(SectionEntry)) {
            damaged("its table is cut short");
        }
        std::memcpy(table_.data(), bytes.data() + sizeof header, kSections * sizeof(SectionEntry));
        if (checksum_of_head(header, table_) != header.checksum) {
            damaged("the checksum of its table does not fit");
        }
        // Sections follow each other without a gap, so every byte is under some checksum.
        expected_offset_ = sizeof header + kSections * sizeof(SectionEntry);
    }

    template <class Items>
    void read(Section kind, Items& items)
    {
        using Item = typename Items::value_type;
        const auto& entry = table_[next_++];
        const auto left = bytes_.size() - expected_offset_;
        if (entry.kind != static_cast<std::uint32_t>(kind) || entry.entry_size != sizeof(Item) ||
            entry.offset != expected_offset_ || entry.count > left / sizeof(Item) ||
            padded(entry.count * sizeof(Item)) > left) {
            damaged(fmt::format("section {} is out of bounds", entry.kind));
        }
        const auto size = entry.count * sizeof(Item);
        const auto section = bytes_.subspan(expected_offset_, padded(size));
        if (checksum(section) != entry.checksum) {
            damaged(fmt::format("the checksum of section {} does not fit", entry.kind));
        }
        items.resize(entry.count);
        if (size > 0) {
            std::memcpy(items.data(), section.data(), size);
        }
        expected_offset_ += padded(size);
    }

    void finish() const
    {
        if (expected_offset_ != bytes_.size()) {
            damaged("it has bytes that belong to no section");
        }
    }

    [[noreturn]] void damaged(const std::string& what) const
    {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("damaged road file: {}; build it again with: nestround roads "
                                  "build",
                                  what),
                      name_};
    }

private:
    std::span<const char> bytes_;
    const std::string& name_;
    std::vector<SectionEntry> table_;
    std::size_t next_ = 0;
    std::size_t expected_offset_ = 0;
};

[[noreturn]] void output_failed(const std::string& path, int problem)
{
    throw Failure{ErrorCode::OutputFailed,
                  fmt::format("cannot write the road file: {}", std::strerror(problem)), path};
}

/// 0, or the error number.
int write_all(int file, std::span<const char> bytes)
{
    while (!bytes.empty()) {
        const auto written = ::write(file, bytes.data(), bytes.size());
        if (written < 0) {
            if (errno == EINTR) {
                continue;
            }
            return errno;
        }
        bytes = bytes.subspan(static_cast<std::size_t>(written));
    }
    return 0;
}

int write_file(const std::string& path, std::span<const char> bytes, bool keep)
{
    const int file = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0644);
    if (file < 0) {
        return errno;
    }
    int problem = write_all(file, bytes);
    if (problem == 0 && keep && ::fsync(file) != 0) {
        problem = errno;
    }
    if (::close(file) != 0 && problem == 0) {
        problem = errno;
    }
    return problem;
}

}  // namespace

std::string encode_roads(const roads::NetworkData& data)
{
    Encoder encoder;
    encoder.add(Section::Nodes, data.nodes);
    encoder.add(Section::Edges, data.edges);
    encoder.add(Section::FirstPoint, data.first_point);
    encoder.add(Section::Points, data.points);
    encoder.add(Section::FirstLetter, data.first_letter);
    encoder.add(Section::Letters, data.letters);
    encoder.add(Section::Attribution, data.attribution);
    encoder.add(Section::Source, data.source);
    encoder.add(Section::Report, data.report);
    return encoder.finish();
}

roads::RoadNetwork decode_roads(std::span<const char> bytes, const std::string& name)
{
    Decoder decoder{bytes, name};
    roads::NetworkData data;
    decoder.read(Section::Nodes, data.nodes);
    decoder.read(Section::Edges, data.edges);
    decoder.read(Section::FirstPoint, data.first_point);
    decoder.read(Section::Points, data.points);
    decoder.read(Section::FirstLetter, data.first_letter);
    decoder.read(Section::Letters, data.letters);
    decoder.read(Section::Attribution, data.attribution);
    decoder.read(Section::Source, data.source);
    decoder.read(Section::Report, data.report);
    decoder.finish();
    auto network = roads::RoadNetwork::make(std::move(data));
    if (!network) {
        throw Failure{network.error().code, network.error().message, name};
    }
    return std::move(*network);
}

void save_roads(const std::string& path, const roads::RoadNetwork& network)
{
    const auto bytes = encode_roads(network.data());
    struct stat info {};
    if (::stat(path.c_str(), &info) == 0 && !S_ISREG(info.st_mode)) {
        // A pipe or a device can't be replaced by renaming.
        if (const int problem = write_file(path, bytes, false); problem != 0) {
            output_failed(path, problem);
        }
        return;
    }
    const auto part = path + ".part";
    int problem = write_file(part, bytes, true);
    if (problem == 0 && ::rename(part.c_str(), path.c_str()) != 0) {
        problem = errno;
    }
    if (problem != 0) {
        ::unlink(part.c_str());
        output_failed(path, problem);
    }
}

std::shared_ptr<const roads::RoadNetwork> load_roads(const std::string& path)
{
    std::error_code problem;
    const auto status = std::filesystem::status(path, problem);
    if (!std::filesystem::exists(status)) {
        throw Failure{ErrorCode::NotFound,
                      "no such road file; make one with: nestround roads build", path};
    }
    if (!std::filesystem::is_regular_file(status)) {
        throw Failure{ErrorCode::InvalidInput, "not a road file", path};
    }
    std::ifstream file{path, std::ios::binary};
    std::vector<char> bytes(std::filesystem::file_size(path, problem));
    if (!file || problem || !file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()))) {
        throw Failure{ErrorCode::InvalidInput, "the road file cannot be read", path};
    }
    return std::make_shared<const roads::RoadNetwork>(decode_roads(bytes, path));
}

}  // namespace nestround::intake
