/// \file darwin_core.hpp
/// \brief A share as a Darwin Core archive.
///
/// Purpose:  collections and aggregators of biodiversity data take it as it is.
/// Units:    decimal degrees on WGS 84; metres; grams.
/// Range:    names in .zip that are not there yet.
/// Accuracy: as withhold.hpp.
/// Promise:  whole or not at all; the same share and statement give the same bytes.
/// Errors:   throws Failure: BadUsage for another ending, OutputFailed.
/// Source:   Darwin Core text guide (TDWG, 2023-09-13): a core file with extensions, described by
///           meta.xml; terms of http://rs.tdwg.org/dwc/terms/ and http://purl.org/dc/terms/; EML
///           2.1.1 (from memory of its required parts: title, creator, contact).
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "plugin/share/statement.hpp"

namespace nestround::share {

/// Takes a part of a text.
using Sink = std::function<void(std::string_view)>;

struct ArchiveFile {
    std::string name;
    std::function<void(const Sink&)> write;  ///< part by part, so that none is held whole
};

/// The files of the archive in the order in which they are packed: meta.xml, eml.xml,
/// occurrence.txt, event.txt, measurementorfact.txt. What is given must live as long as they do.
[[nodiscard]] std::vector<ArchiveFile> archive_files(const Shared& shared,
                                                     const Statement& statement,
                                                     const nature::TaxaTable& table);
/// The same whole, by name.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> darwin_core_files(
    const Shared& shared, const Statement& statement, const nature::TaxaTable& table);

void check_archive_name(const std::string& path);
void write_darwin_core(const Shared& shared, const Statement& statement,
                       const nature::TaxaTable& table, const std::string& path);

}  // namespace nestround::share
