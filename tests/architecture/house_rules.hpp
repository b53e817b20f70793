// The rules of the house as functions from a tree of files to complaints; no file is read here, so
// that each rule can be shown to fire on a small made-up tree. See DEVELOPERS.md.
#pragma once

#include <string>
#include <vector>

namespace nestround::house {

struct File {
    std::string path;  // from the root, with slashes
    std::string text;
};
using Tree = std::vector<File>;
using Complaints = std::vector<std::string>;

/// Includes between rooms follow the arrows only.
Complaints wrong_arrows(const Tree& tree);
/// No room includes itself by way of others; neither does a file.
Complaints circles(const Tree& tree);
/// Headers of libraries stay in the rooms that may use them.
Complaints foreign_headers(const Tree& tree);
/// Pure rooms have no input, output, clock, environment or global random numbers.
Complaints impure_words(const Tree& tree);
/// Every public header carries the block of six lines.
Complaints missing_blocks(const Tree& tree);
/// Source files of more lines than `most`.
Complaints longer_than(const Tree& tree, int most);
/// Every room with sources has tests in its mirror.
Complaints untested_rooms(const Tree& tree);
/// What lies at the top is what the house lists.
Complaints strange_top_level(const Tree& tree);
/// Words that have no place in the repository: machine paths and the like.
Complaints forbidden_words(const Tree& tree);

/// The text with comments and string contents blanked, lines kept.
std::string code_of(const std::string& text);
/// Lines of a text.
std::vector<std::string> lines_of(const std::string& text);

}  // namespace nestround::house
