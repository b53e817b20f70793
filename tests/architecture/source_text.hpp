// What the house rules need to know of a source text and its path.
#pragma once

#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "tests/architecture/house_rules.hpp"

namespace nestround::house {

using Names = std::set<std::string>;

struct Include {
    std::string name;
    bool ours = false;  // in quotes
    int line = 0;
};

bool starts_with(std::string_view text, std::string_view with);
bool ends_with(std::string_view text, std::string_view with);
bool is_source(const std::string& path);
/// "geocore/nature" of "geocore/nature/taxa_table.hpp"; "demo-region" is one room; else nothing.
std::string room_of(const std::string& path);
bool is_pure(const std::string& room);
const Names& pure_geocore();
const Names& pure_planner();
std::vector<Include> includes_of(const std::string& text);
/// Whether `word` stands in `text` with no letter or digit beside it.
bool holds_word(std::string_view text, std::string_view word);
/// "path:line".
std::string at(const File& file, int line);

}  // namespace nestround::house
