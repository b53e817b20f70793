/// \file check.hpp
/// \brief Whether a book keeps its own rules, whoever wrote to it.
///
/// Purpose:  finds rows that a program damaged which dropped our triggers or wrote with checks off,
///           and files that a disk damaged. Reads only.
/// Units:    none.
/// Range:    every table and every rule of the schema: the CHECKs are taken from the schema itself,
///           so that the two cannot differ; rules between rows stand in check_rules.hpp.
/// Promise:  the book is not changed.
/// Errors:   Failure as Book::open in read-only mode; broken rules are values, not errors.
/// Source:   OGC GeoPackage 1.3 (12-128r17); SQLite's integrity_check, foreign_key_check and
///           rtreecheck.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace nestround::book {

struct BrokenRule {
    std::string table;
    std::string row;   ///< "fid 12, id 0190..."; empty when it is of the table or file as a whole
    std::string rule;  ///< what does not hold, in words

    /// "nest, fid 12, id 0190...: the rule".
    [[nodiscard]] std::string text() const;
};

struct CheckReport {
    std::vector<BrokenRule> broken;
    std::size_t tables = 0;  ///< looked at
    std::size_t rows = 0;
    std::size_t rules = 0;
    std::size_t links = 0;  ///< of the chain of sealed lots
    std::string head;       ///< hash of the last link; empty when there is none
};

[[nodiscard]] CheckReport check(const std::filesystem::path& path);

/// The number of the link of the chain of sealed lots that has this hash; 0 when none has.
[[nodiscard]] int link_with_hash(const std::filesystem::path& path, std::string_view hash);

}  // namespace nestround::book
