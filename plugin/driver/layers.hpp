/// \file layers.hpp
/// \brief Layers as GDAL wants them: one that is worked out when first read, one read row by row.
///
/// Purpose:  tables and nests in GDAL's tools and every GIS on it.
/// Units:    WGS 84 degrees, longitude first.
/// Range:    reading only; what GDAL asks otherwise is answered with no.
/// Accuracy: as live_table.hpp.
/// Promise:  no exception leaves; what failed is said through GDAL's own error, and then a layer is
///           empty. No statement stays open between two features.
/// Errors:   CPLError of GDAL.
/// Source:   GDAL vector driver interface.
#pragma once

#include <ogrsf_frmts.h>

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "plugin/driver/gdal_versions.hpp"
#include "plugin/driver/live_table.hpp"

namespace nestround::driver {

/// What both kinds of layer share: definition, spatial filter by GDAL's exact test, styles.
class Layer : public OGRLayer, public OGRGetNextFeatureThroughRaw<Layer> {
public:
    Layer(std::shared_ptr<app::LiveView> view, const std::string& name, const std::string& title,
          ShapeKind shape, std::vector<Column> columns);
    ~Layer() override;
    Layer(const Layer&) = delete;
    Layer& operator=(const Layer&) = delete;

    DEFINE_GET_NEXT_FEATURE_THROUGH_RAW(Layer)
    virtual OGRFeature* GetNextRawFeature() = 0;
#if GDAL_VERSION_NUM >= GDAL_COMPUTE_VERSION(3, 12, 0)
    const OGRFeatureDefn* GetLayerDefn() const override { return definition_; }
#else
    OGRFeatureDefn* GetLayerDefn() override { return definition_; }
#endif
    int TestCapability(const char* word) NESTROUND_GDAL_CONST override;
#if NESTROUND_GDAL_EXTENT_BY_RFC_107
    OGRErr IGetExtent(int, OGREnvelope* extent, bool) override { return extent_of(extent); }
#else
    OGRErr GetExtent(OGREnvelope* extent, int) override { return extent_of(extent); }
    OGRErr GetExtent(int field, OGREnvelope* extent, int force) override
    {
        return OGRLayer::GetExtent(field, extent, force);
    }
#endif

protected:
    virtual OGRErr extent_of(OGREnvelope* extent) = 0;
    [[nodiscard]] OGRFeature* feature_of(const Row& row, GIntBig number) const;
    [[nodiscard]] bool unfiltered() const;

    std::shared_ptr<app::LiveView> view_;

private:
    OGRFeatureDefn* definition_;
    OGRSpatialReference* system_;
    std::vector<Column> columns_;
    ShapeKind shape_;
};

class TableLayer final : public Layer {
public:
    TableLayer(std::shared_ptr<app::LiveView> view, Table table);
    void ResetReading() override { next_ = 0; }
    OGRFeature* GetNextRawFeature() override;
    OGRFeature* GetFeature(GIntBig number) override;
    GIntBig GetFeatureCount(int force) override;

private:
    OGRErr extent_of(OGREnvelope* extent) override;
    const std::vector<Row>& rows();

    Table table_;
    std::optional<std::vector<Row>> rows_;
    std::size_t next_ = 0;
};

/// All nests of the book. A window goes through the book's own index; rules on season and taxon of
/// the attribute filter that stand alone or are joined by AND go to the book, too.
class NestLayer final : public Layer {
public:
    explicit NestLayer(std::shared_ptr<app::LiveView> view);
    void ResetReading() override;
    OGRFeature* GetNextRawFeature() override;
    OGRFeature* GetFeature(GIntBig number) override;
    GIntBig GetFeatureCount(int force) override;
    OGRErr SetAttributeFilter(const char* query) override;

private:
    OGRErr extent_of(OGREnvelope* extent) override;
    [[nodiscard]] book::NestFilter filter() const;

    std::optional<std::vector<std::int64_t>> numbers_;
    std::size_t next_ = 0;
};

}  // namespace nestround::driver
