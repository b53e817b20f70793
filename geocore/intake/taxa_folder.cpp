#include "geocore/intake/taxa_folder.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include "geocore/intake/file_text.hpp"
#include "geocore/nature/own_taxa.hpp"

namespace nestround::intake {

namespace fs = std::filesystem;

nature::TaxaTable read_taxa_folder(const fs::path& folder)
{
    std::error_code error;
    if (!fs::is_directory(folder, error)) {
        throw Failure{ErrorCode::NotFound,
                      "no such folder of taxa; name one with --taxa or in the setting taxa.folder",
                      folder.string()};
    }
    std::vector<fs::path> paths;
    fs::directory_iterator entries{folder, error};
    if (error) {
        throw Failure{ErrorCode::NotFound, "the folder of taxa cannot be read: " + error.message(),
                      folder.string()};
    }
    for (const auto& entry : entries) {
        if (entry.path().extension() == ".csv") {
            paths.push_back(entry.path());
        }
    }
    if (paths.empty()) {
        throw Failure{ErrorCode::InvalidInput,
                      "the folder of taxa holds no .csv file; docs/reference/taxa.md shows one",
                      folder.string()};
    }
    std::sort(paths.begin(), paths.end());
    std::vector<std::string> names;
    std::vector<std::string> texts;
    for (const auto& path : paths) {
        names.push_back(path.string());
        texts.push_back(read_text(path).text);
    }
    std::vector<TextFile> files;
    for (std::size_t i = 0; i < paths.size(); ++i) {
        files.push_back({names[i], texts[i]});
    }
    return value_or_throw(nature::with_own_rows(nature::standard_taxa(), files));
}

}  // namespace nestround::intake
