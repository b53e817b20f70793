// The entry that GDAL looks for in gdal_Nestround.so, and the data set it opens.
#include <gdal_priv.h>

#include <memory>
#include <vector>

#include "geocore/base/error.hpp"
#include "plugin/driver/layers.hpp"
#include "plugin/driver/open_words.hpp"

namespace nestround::driver {
namespace {

class DataSet final : public GDALDataset {
public:
    explicit DataSet(app::LiveWishes wishes)
        : view_{std::make_shared<app::LiveView>(std::move(wishes))}
    {
        for (auto& table : live_tables(*view_)) {
            layers_.push_back(std::make_unique<TableLayer>(view_, std::move(table)));
        }
        layers_.push_back(std::make_unique<NestLayer>(view_));
        for (auto& domain : domains(*view_)) {
            std::vector<OGRCodedValue> words;
            for (auto& [code, meaning] : domain.words) {
                words.push_back({CPLStrdup(code.c_str()), CPLStrdup(meaning.c_str())});
            }
            m_oMapFieldDomains[domain.name] = std::make_unique<OGRCodedFieldDomain>(
                domain.name, domain.meaning, OFTString, OFSTNone, std::move(words));
        }
    }

    int GetLayerCount() NESTROUND_GDAL_CONST override { return static_cast<int>(layers_.size()); }
#if GDAL_VERSION_NUM >= GDAL_COMPUTE_VERSION(3, 12, 0)
    const OGRLayer* GetLayer(int number) const override { return layer(number); }
#else
    OGRLayer* GetLayer(int number) override { return layer(number); }
#endif
    int TestCapability(const char*) NESTROUND_GDAL_CONST override { return FALSE; }

private:
    [[nodiscard]] OGRLayer* layer(int number) const
    {
        return number >= 0 && static_cast<std::size_t>(number) < layers_.size()
                   ? layers_[static_cast<std::size_t>(number)].get()
                   : nullptr;
    }

    std::shared_ptr<app::LiveView> view_;
    std::vector<std::unique_ptr<Layer>> layers_;
};

int identify(GDALOpenInfo* info)
{
    // By the prefix alone: the book's own layers stay with GDAL's GeoPackage driver.
    return has_prefix(info->pszFilename) ? TRUE : FALSE;
}

GDALDataset* open(GDALOpenInfo* info)
{
    if (identify(info) == FALSE) {
        return nullptr;
    }
    if (info->eAccess == GA_Update) {
        CPLError(CE_Failure, CPLE_NotSupported,
                 "Nestround's layers are worked out and can only be read; change the book with "
                 "nestround itself");
        return nullptr;
    }
    try {
        auto wishes = value_or_throw(read_name(info->pszFilename));
        for (char** option = info->papszOpenOptions; option != nullptr && *option != nullptr;
             ++option) {
            char* key = nullptr;
            const char* value = CPLParseNameValue(*option, &key);
            const std::string name = key == nullptr ? "" : key;
            CPLFree(key);
            // GDAL's tools add options of their own, and GDAL itself warns of unknown ones.
            if (value != nullptr && is_word(name)) {
                (void)value_or_throw(set_word(wishes, name, value));
            }
        }
        auto opened = std::make_unique<DataSet>(std::move(wishes));
        opened->SetDescription(info->pszFilename);
        return opened.release();
    } catch (const Failure& failure) {
        CPLError(CE_Failure, CPLE_OpenFailed, "%s", failure.error().text().c_str());
    } catch (const std::exception& error) {
        CPLError(CE_Failure, CPLE_OpenFailed, "%s", error.what());
    }
    return nullptr;
}

}  // namespace
}  // namespace nestround::driver

extern "C" __attribute__((visibility("default"))) void GDALRegister_Nestround()
{
    if (GDAL_CHECK_VERSION("the Nestround driver") == 0 ||
        GDALGetDriverByName("Nestround") != nullptr) {
        return;
    }
    auto driver = std::make_unique<GDALDriver>();
    driver->SetDescription("Nestround");
    driver->SetMetadataItem(GDAL_DCAP_VECTOR, "YES");
    driver->SetMetadataItem(GDAL_DMD_LONGNAME, "Nestround: live layers of a crew's book");
    driver->SetMetadataItem(GDAL_DMD_CONNECTION_PREFIX, "NESTROUND:");
    driver->SetMetadataItem(
        GDAL_DMD_OPENOPTIONLIST,
        "<OpenOptionList>"
        "<Option name='ON' type='string' description='Day: 2026-08-04, today, tomorrow' "
        "default='today'/>"
        "<Option name='ROADS' type='string' description='Road file; else the setting of the book'/>"
        "<Option name='TAXA' type='string' description='Folder of your own figures of wasps'/>"
        "<Option name='SPECIES' type='string' description='Of the density, with commas; all if "
        "none'/>"
        "<Option name='SEASON' type='string' description='Of the density: 2026 or 2024..2026'/>"
        "<Option name='CELL_KM2' type='float' description='Of the density, square kilometres' "
        "default='4'/>"
        "</OpenOptionList>");
    driver->pfnIdentify = nestround::driver::identify;
    driver->pfnOpen = nestround::driver::open;
    GetGDALDriverManager()->RegisterDriver(driver.release());
}
