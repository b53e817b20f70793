#include "planner/app/taxa_in_use.hpp"

#include "geocore/intake/taxa_folder.hpp"

namespace nestround::app {

Taxa taxa_in_use(const std::filesystem::path& folder)
{
    if (folder.empty()) {
        // Lives as long as the program: nothing to give back.
        return Taxa{&nature::standard_taxa(), [](const nature::TaxaTable*) {}};
    }
    return std::make_shared<const nature::TaxaTable>(intake::read_taxa_folder(folder));
}

Taxa taxa_in_use(const book::Book& book, const Preferences& preferences)
{
    const std::filesystem::path folder{preferences.taxa_folder};
    return taxa_in_use(folder.empty() || folder.is_absolute() ? folder
                                                              : book.path().parent_path() / folder);
}

}  // namespace nestround::app
