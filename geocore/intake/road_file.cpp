#include "geocore/intake/road_file.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <bit>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <optional>
#include <type_traits>
#include <utility>
#include <vector>

#include "geocore/base/checksum.hpp"
#include "geocore/base/error.hpp"

namespace nestround::intake {
namespace {

static_assert(std::endian::native == std::endian::little,
              "road files are little-endian; a big-endian machine needs a swap here");
static_assert(std::is_trivially_copyable_v<roads::RoadEdge>);
static_assert(sizeof(roads::RoadPoint) == 8 && sizeof(roads::RoadBox) == 16);

using roads::NetworkPart;

constexpr std::array<char, 8> kMagic{'N', 'R', 'o', 'a', 'd', 's', '\r', '\n'};
constexpr std::uint32_t kVersion = 3;

enum class Section : std::uint32_t {
    Attribution = 1,
    Source,
    Report,
    Nodes,
    Edges,
    FirstPoint,
    Points,
    FirstLetter,
    Letters,
    Limits,
    TurnRules,
    TurnSteps,
    FirstCutOff,
    CutOff,
    Boxes,
    FirstArc,
    Arcs,
    Arriving,
    Leaving,
    HierarchyFacts,
    Positions,
    FirstUp,
    UpArcs,
    Via,
};
constexpr std::uint32_t kSections = 24;

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
using Table = std::array<SectionEntry, kSections>;

struct HierarchyFacts {
    std::uint64_t graph_hash = 0;
    std::uint32_t core = 0;
    std::uint32_t spare = 0;
};
static_assert(sizeof(HierarchyFacts) == 16);

constexpr std::size_t padded(std::size_t size) { return (size + 7) / 8 * 8; }

std::uint64_t checksum_of_head(Header header, const Table& table)
{
    header.checksum = 0;
    return checksum_of(std::span<const SectionEntry>{table},
                       checksum_of(std::span<const Header>{&header, 1}));
}

/// Part of the network that a section belongs to; nothing: read when the file is opened.
std::optional<NetworkPart> part_of(std::uint32_t kind)
{
    if (kind <= static_cast<std::uint32_t>(Section::Report)) {
        return std::nullopt;
    }
    if (kind <= static_cast<std::uint32_t>(Section::Boxes)) {
        return NetworkPart::Roads;
    }
    return kind <= static_cast<std::uint32_t>(Section::Leaving) ? NetworkPart::Graph
                                                                : NetworkPart::Hierarchy;
}

class Encoder {
public:
    template <class Items>
    void add(const Items& items)
    {
        const std::span all{items};
        using Item = typename decltype(all)::value_type;
        static_assert(std::is_trivially_copyable_v<Item>);
        const auto offset = body_.size();
        body_.resize(offset + padded(all.size_bytes()), '\0');
        if (!all.empty()) {
            std::memcpy(body_.data() + offset, all.data(), all.size_bytes());
        }
        table_[next_] = {next_ + 1, sizeof(Item), sizeof(Header) + sizeof(Table) + offset,
                         all.size(), checksum(std::span{body_}.subspan(offset))};
        ++next_;
    }

    [[nodiscard]] std::string finish() const
    {
        Header header;
        header.file_size = sizeof header + sizeof(Table) + body_.size();
        header.checksum = checksum_of_head(header, table_);
        std::string file;
        file.reserve(header.file_size);
        file.append(reinterpret_cast<const char*>(&header), sizeof header);
        file.append(reinterpret_cast<const char*>(table_.data()), sizeof table_);
        file.append(body_);
        return file;
    }

private:
    Table table_{};
    std::uint32_t next_ = 0;
    std::string body_;
};

/// A road file in memory, mapped or read. Sections are looked at only when asked for.
class RoadBytes {
public:
    /// `bytes` begin at a multiple of 8 and stay as they are.
    RoadBytes(std::span<const char> bytes, std::string name) : bytes_{bytes}, name_{std::move(name)}
    {
        Header header;
        if (bytes.size() < sizeof header.magic ||
            std::memcmp(bytes.data(), kMagic.data(), kMagic.size()) != 0) {
            throw Failure{ErrorCode::InvalidInput,
                          "not a road file; make one with: nestround roads build", name_};
        }
        if (bytes.size() < sizeof header) {
            damaged("its beginning is cut short");
        }
        std::memcpy(&header, bytes.data(), sizeof header);
        if (header.version != kVersion && header.version > 0 && header.version < 1000) {
            throw Failure{
                ErrorCode::WrongVersion,
                header.version > kVersion
                    ? fmt::format("road file of version {}, this program reads version "
                                  "{}; build it again, or use the newer program",
                                  header.version, kVersion)
                    : fmt::format("road file of the older version {}, without what this program "
                                  "needs; build it again with: nestround roads build",
                                  header.version),
                name_};
        }
        if (header.version != kVersion || header.sections != kSections) {
            damaged("its header makes no sense");
        }
        if (header.file_size != bytes.size()) {
            damaged(
                fmt::format("it should have {} bytes and has {}", header.file_size, bytes.size()));
        }
        if (bytes.size() < sizeof header + sizeof table_) {
            damaged("its table is cut short");
        }
        std::memcpy(table_.data(), bytes.data() + sizeof header, sizeof table_);
        if (checksum_of_head(header, table_) != header.checksum) {
            damaged("the checksum of its table does not fit");
        }
        // Sections follow each other without a gap, so every byte is under some checksum.
        auto offset = sizeof header + sizeof table_;
        for (std::uint32_t i = 0; i < kSections; ++i) {
            const auto& entry = table_[i];
            const auto left = bytes.size() - offset;
            if (entry.kind != i + 1 || entry.offset != offset || entry.entry_size == 0 ||
                entry.count > left / entry.entry_size ||
                padded(entry.count * entry.entry_size) > left) {
                damaged(fmt::format("section {} is out of bounds", i + 1));
            }
            offset += padded(entry.count * entry.entry_size);
        }
        if (offset != bytes.size()) {
            damaged("it has bytes that belong to no section");
        }
    }

    template <class Item>
    [[nodiscard]] std::span<const Item> section(Section kind) const
    {
        const auto& entry = table_[static_cast<std::uint32_t>(kind) - 1];
        if (entry.entry_size != sizeof(Item)) {
            damaged(fmt::format("section {} is of another kind", entry.kind));
        }
        return {reinterpret_cast<const Item*>(bytes_.data() + entry.offset), entry.count};
    }

    /// Checksums of the sections of a part, or of those read at once.
    void check_sums(std::optional<NetworkPart> part) const
    {
        for (const auto& entry : table_) {
            if (part_of(entry.kind) == part &&
                checksum(bytes_.subspan(entry.offset, padded(entry.count * entry.entry_size))) !=
                    entry.checksum) {
                damaged(fmt::format("the checksum of section {} does not fit", entry.kind));
            }
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
    [[nodiscard]] const std::string& name() const { return name_; }

private:
    std::span<const char> bytes_;
    std::string name_;
    Table table_{};
};

roads::NetworkView view_of(const RoadBytes& file)
{
    roads::NetworkView view;
    view.nodes = file.section<roads::RoadPoint>(Section::Nodes);
    view.edges = file.section<roads::RoadEdge>(Section::Edges);
    view.first_point = file.section<std::uint32_t>(Section::FirstPoint);
    view.points = file.section<roads::RoadPoint>(Section::Points);
    view.first_letter = file.section<std::uint32_t>(Section::FirstLetter);
    view.letters = file.section<char>(Section::Letters);
    view.limits = file.section<roads::RoadLimits>(Section::Limits);
    view.turn_rules = file.section<roads::TurnRule>(Section::TurnRules);
    view.turn_steps = file.section<std::uint32_t>(Section::TurnSteps);
    view.first_cut_off = file.section<std::uint32_t>(Section::FirstCutOff);
    view.cut_off = file.section<roads::RoadPoint>(Section::CutOff);
    view.boxes = file.section<roads::RoadBox>(Section::Boxes);
    view.graph = {file.section<std::uint32_t>(Section::FirstArc),
                  file.section<roads::TravelArc>(Section::Arcs),
                  file.section<std::uint32_t>(Section::Arriving),
                  file.section<std::uint32_t>(Section::Leaving)};
    const auto facts = file.section<HierarchyFacts>(Section::HierarchyFacts);
    if (!facts.empty()) {
        auto& hierarchy = view.hierarchy.emplace();
        hierarchy.position = file.section<std::uint32_t>(Section::Positions);
        hierarchy.first = file.section<std::uint32_t>(Section::FirstUp);
        hierarchy.arcs = file.section<roads::HierarchyArc>(Section::UpArcs);
        hierarchy.via = file.section<std::uint32_t>(Section::Via);
    }
    return view;
}

void check_part(const RoadBytes& file, const roads::NetworkView& view, NetworkPart part)
{
    file.check_sums(part);
    auto fault = roads::fault_of(view, part);
    if (fault.empty() && part == NetworkPart::Hierarchy && view.hierarchy) {
        const auto facts = file.section<HierarchyFacts>(Section::HierarchyFacts);
        if (facts[0].graph_hash != roads::hash_of(view.graph)) {
            fault = "its prepared times belong to other roads or speeds";
        }
    }
    if (!fault.empty()) {
        file.damaged(fault);
    }
}

/// `keeper` keeps the bytes.
roads::RoadNetwork open_network(std::span<const char> bytes, const std::string& name,
                                std::shared_ptr<const void> keeper)
{
    const auto file = std::make_shared<const RoadBytes>(bytes, name);
    file->check_sums(std::nullopt);
    const auto text = [&](Section kind) {
        const auto letters = file->section<char>(kind);
        return std::string{letters.begin(), letters.end()};
    };
    auto view = view_of(*file);
    if (view.hierarchy) {
        // Small, so looked at now: the network hands them out with the arrays.
        const auto facts = file->section<HierarchyFacts>(Section::HierarchyFacts);
        if (facts.size() != 1) {
            file->damaged("section 15 is out of bounds");
        }
        view.hierarchy->core = facts[0].core;
        view.hierarchy->graph_hash = facts[0].graph_hash;
    }
    return roads::RoadNetwork::over(
        view, {text(Section::Attribution), text(Section::Source), text(Section::Report)},
        std::move(keeper), [file, view](NetworkPart part) { check_part(*file, view, part); });
}

/// A file mapped into memory until the last network over it is gone.
class Mapping {
public:
    explicit Mapping(const std::string& path)
    {
        const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
        struct stat info {};
        if (file < 0 || ::fstat(file, &info) != 0) {
            const int problem = errno;
            if (file >= 0) {
                ::close(file);
            }
            cannot(path, problem);
        }
        size_ = static_cast<std::size_t>(info.st_size);
        if (size_ > 0) {
            data_ = ::mmap(nullptr, size_, PROT_READ, MAP_PRIVATE, file, 0);
        }
        const int problem = errno;
        ::close(file);
        if (data_ == MAP_FAILED) {
            cannot(path, problem);
        }
    }
    ~Mapping()
    {
        if (data_ != nullptr) {
            ::munmap(data_, size_);
        }
    }
    Mapping(const Mapping&) = delete;
    Mapping& operator=(const Mapping&) = delete;

    [[nodiscard]] std::span<const char> bytes() const
    {
        return {static_cast<const char*>(data_), size_};
    }

private:
    [[noreturn]] static void cannot(const std::string& path, int problem)
    {
        throw Failure{ErrorCode::InvalidInput,
                      fmt::format("the road file cannot be read: {}", std::strerror(problem)),
                      path};
    }

    void* data_ = nullptr;
    std::size_t size_ = 0;
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

std::string encode_roads(const roads::RoadNetwork& network)
{
    const auto& view = network.view();
    Encoder encoder;
    encoder.add(network.attribution());
    encoder.add(network.source());
    encoder.add(network.report());
    encoder.add(view.nodes);
    encoder.add(view.edges);
    encoder.add(view.first_point);
    encoder.add(view.points);
    encoder.add(view.first_letter);
    encoder.add(view.letters);
    encoder.add(view.limits);
    encoder.add(view.turn_rules);
    encoder.add(view.turn_steps);
    encoder.add(view.first_cut_off);
    encoder.add(view.cut_off);
    encoder.add(view.boxes);
    encoder.add(view.graph.first_arcs());
    encoder.add(view.graph.arcs());
    encoder.add(view.graph.arriving());
    encoder.add(view.graph.leaving());
    const auto hierarchy = view.hierarchy.value_or(roads::Hierarchy{});
    std::vector<HierarchyFacts> facts;
    if (view.hierarchy) {
        facts.push_back({hierarchy.graph_hash, hierarchy.core, 0});
    }
    encoder.add(facts);
    encoder.add(hierarchy.position);
    encoder.add(hierarchy.first);
    encoder.add(hierarchy.arcs);
    encoder.add(hierarchy.via);
    return encoder.finish();
}

roads::RoadNetwork decode_roads(std::span<const char> bytes, const std::string& name)
{
    // Numbers of eight bytes: the arrays must begin at multiples of 8.
    auto copy = std::make_shared<std::vector<std::uint64_t>>((bytes.size() + 7) / 8);
    if (!bytes.empty()) {
        std::memcpy(copy->data(), bytes.data(), bytes.size());
    }
    const std::span own{reinterpret_cast<const char*>(copy->data()), bytes.size()};
    auto network = open_network(own, name, copy);
    (void)network.view();
    return network;
}

void save_roads(const std::string& path, const roads::RoadNetwork& network)
{
    const auto bytes = encode_roads(network);
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
    const auto mapping = std::make_shared<const Mapping>(path);
    return std::make_shared<const roads::RoadNetwork>(
        open_network(mapping->bytes(), path, mapping));
}

}  // namespace nestround::intake
