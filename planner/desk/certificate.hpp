/// \file certificate.hpp
/// \brief The certificate by which devices of the local network know the desk.
///
/// Purpose:  made at the first run, signed by itself, kept beside the book, so that a device that
///           was told to trust it meets the same one again.
/// Units:    none.
/// Range:    P-256, two years; made anew when an address is not in it or it ends within a day.
/// Accuracy: not applicable.
/// Errors:   Failure{OutputFailed} naming the file.
/// Source:   RFC 5280; OpenSSL.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "planner/desk/server.hpp"

namespace nestround::desk {

struct Certificate {
    TlsFiles files;
    std::string fingerprint;  ///< SHA-256, "AB:CD:..."
};

/// BOOK.desk-certificate.pem and BOOK.desk-key.pem, readable by their owner alone.
[[nodiscard]] Certificate certificate_beside(const std::filesystem::path& book,
                                             const std::vector<std::string>& addresses);

/// IPv4 addresses of this machine that are not its own loop, in a steady order.
[[nodiscard]] std::vector<std::string> local_addresses();

}  // namespace nestround::desk
