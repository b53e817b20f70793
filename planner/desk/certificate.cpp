#include "planner/desk/certificate.hpp"

#include <arpa/inet.h>
#include <fcntl.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <openssl/evp.h>
#include <openssl/pem.h>
#include <openssl/rand.h>
#include <openssl/x509.h>
#include <openssl/x509v3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <memory>

namespace nestround::desk {
namespace {

template <auto Free>
struct Freed {
    template <class T>
    void operator()(T* thing) const
    {
        Free(thing);
    }
};
using Key = std::unique_ptr<EVP_PKEY, Freed<EVP_PKEY_free>>;
using Paper = std::unique_ptr<X509, Freed<X509_free>>;
using File = std::unique_ptr<std::FILE, Freed<std::fclose>>;

[[noreturn]] void refuse_file(const std::string& path)
{
    throw Failure{ErrorCode::OutputFailed,
                  "the desk's certificate cannot be kept there; the folder must be writable", path};
}

/// A new file that only its owner may read, from its first byte on.
File private_file(const std::string& path)
{
    ::unlink(path.c_str());
    const int handle = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0600);
    File file{handle < 0 ? nullptr : ::fdopen(handle, "w")};
    if (!file) {
        refuse_file(path);
    }
    return file;
}

Paper read_paper(const std::string& path)
{
    const File file{std::fopen(path.c_str(), "r")};
    return Paper{file ? PEM_read_X509(file.get(), nullptr, nullptr, nullptr) : nullptr};
}

bool still_good(const TlsFiles& files, const std::vector<std::string>& addresses)
{
    const auto paper = read_paper(files.certificate);
    struct stat about {};
    if (!paper || ::stat(files.key.c_str(), &about) != 0 || (about.st_mode & 077) != 0) {
        return false;
    }
    const File file{std::fopen(files.key.c_str(), "r")};
    const Key key{file ? PEM_read_PrivateKey(file.get(), nullptr, nullptr, nullptr) : nullptr};
    std::time_t tomorrow = std::time(nullptr) + 86400;
    return key && X509_check_private_key(paper.get(), key.get()) == 1 &&
           X509_cmp_time(X509_get0_notAfter(paper.get()), &tomorrow) > 0 &&
           std::all_of(addresses.begin(), addresses.end(), [&](const std::string& address) {
               return X509_check_ip_asc(paper.get(), address.c_str(), 0) == 1;
           });
}

void add_extension(X509* paper, int kind, const std::string& value)
{
    const std::unique_ptr<X509_EXTENSION, Freed<X509_EXTENSION_free>> extension{
        X509V3_EXT_conf_nid(nullptr, nullptr, kind, value.c_str())};
    if (!extension || X509_add_ext(paper, extension.get(), -1) != 1) {
        throw Failure{ErrorCode::Internal, "a certificate cannot be made"};
    }
}

void make(const TlsFiles& files, const std::vector<std::string>& addresses)
{
    const Key key{EVP_EC_gen("P-256")};
    const Paper paper{X509_new()};
    if (!key || !paper) {
        throw Failure{ErrorCode::Internal, "a certificate cannot be made"};
    }
    std::array<unsigned char, 8> serial{};
    RAND_bytes(serial.data(), static_cast<int>(serial.size()));
    std::uint64_t number = 1;
    for (const unsigned char byte : serial) {
        number = (number << 7U) ^ byte;
    }
    constexpr long kTwoYears = 2L * 365 * 86400;
    X509_set_version(paper.get(), X509_VERSION_3);
    ASN1_INTEGER_set_uint64(X509_get_serialNumber(paper.get()), number >> 1U);
    X509_gmtime_adj(X509_getm_notBefore(paper.get()), -3600);
    X509_gmtime_adj(X509_getm_notAfter(paper.get()), kTwoYears);
    X509_set_pubkey(paper.get(), key.get());
    X509_NAME* name = X509_get_subject_name(paper.get());
    const std::string words = "Nestround desk";
    X509_NAME_add_entry_by_txt(name, "CN", MBSTRING_UTF8,
                               reinterpret_cast<const unsigned char*>(words.data()),
                               static_cast<int>(words.size()), -1, 0);
    X509_set_issuer_name(paper.get(), name);
    std::string names = "DNS:localhost";
    for (const auto& address : addresses) {
        names += ",IP:" + address;
    }
    add_extension(paper.get(), NID_subject_alt_name, names);
    add_extension(paper.get(), NID_basic_constraints, "critical,CA:FALSE");
    add_extension(paper.get(), NID_ext_key_usage, "serverAuth");
    if (X509_sign(paper.get(), key.get(), EVP_sha256()) == 0) {
        throw Failure{ErrorCode::Internal, "a certificate cannot be made"};
    }
    {
        const auto file = private_file(files.key);
        if (PEM_write_PrivateKey(file.get(), key.get(), nullptr, nullptr, 0, nullptr, nullptr) !=
                1 ||
            std::fflush(file.get()) != 0) {
            refuse_file(files.key);
        }
    }
    const auto file = private_file(files.certificate);
    if (PEM_write_X509(file.get(), paper.get()) != 1 || std::fflush(file.get()) != 0) {
        refuse_file(files.certificate);
    }
}

}  // namespace

Certificate certificate_beside(const std::filesystem::path& book,
                               const std::vector<std::string>& addresses)
{
    Certificate out;
    out.files.certificate = book.string() + ".desk-certificate.pem";
    out.files.key = book.string() + ".desk-key.pem";
    if (!still_good(out.files, addresses)) {
        make(out.files, addresses);
    }
    const auto paper = read_paper(out.files.certificate);
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned length = 0;
    if (!paper || X509_digest(paper.get(), EVP_sha256(), digest.data(), &length) != 1) {
        refuse_file(out.files.certificate);
    }
    static constexpr std::string_view kDigits = "0123456789ABCDEF";
    for (unsigned i = 0; i < length; ++i) {
        out.fingerprint += i == 0 ? "" : ":";
        out.fingerprint += kDigits[digest[i] >> 4U];
        out.fingerprint += kDigits[digest[i] & 15U];
    }
    return out;
}

std::vector<std::string> local_addresses()
{
    ifaddrs* list = nullptr;
    std::vector<std::string> out;
    if (getifaddrs(&list) != 0) {
        return out;
    }
    for (const ifaddrs* one = list; one != nullptr; one = one->ifa_next) {
        if (one->ifa_addr == nullptr || one->ifa_addr->sa_family != AF_INET ||
            (one->ifa_flags & IFF_LOOPBACK) != 0 || (one->ifa_flags & IFF_UP) == 0) {
            continue;
        }
        sockaddr_in address{};
        std::copy_n(reinterpret_cast<const char*>(one->ifa_addr), sizeof address,
                    reinterpret_cast<char*>(&address));
        std::array<char, INET_ADDRSTRLEN> text{};
        if (inet_ntop(AF_INET, &address.sin_addr, text.data(), text.size()) != nullptr) {
            out.emplace_back(text.data());
        }
    }
    freeifaddrs(list);
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

}  // namespace nestround::desk
