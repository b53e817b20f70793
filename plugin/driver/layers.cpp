#include "plugin/driver/layers.hpp"

#include <ogr_swq.h>

#include <cmath>
#include <cstring>

#include "geocore/base/error.hpp"

namespace nestround::driver {
namespace {

/// Runs `work`; what it throws becomes GDAL's error, and the answer is `otherwise`.
template <class Answer, class Work>
Answer guarded(Answer otherwise, Work work)
{
    try {
        return work();
    } catch (const Failure& failure) {
        CPLError(CE_Failure, CPLE_AppDefined, "%s", failure.error().text().c_str());
    } catch (const std::exception& error) {
        CPLError(CE_Failure, CPLE_AppDefined, "%s", error.what());
    }
    return otherwise;
}

OGRFieldType field_type(ColumnType type)
{
    switch (type) {
        case ColumnType::Whole:
            return OFTInteger64;
        case ColumnType::Real:
            return OFTReal;
        case ColumnType::Date:
            return OFTDate;
        case ColumnType::Clock:
            return OFTTime;
        case ColumnType::Flag:
            return OFTInteger;
        case ColumnType::Text:
            break;
    }
    return OFTString;
}

OGRwkbGeometryType geometry_type(ShapeKind kind)
{
    switch (kind) {
        case ShapeKind::Line:
            return wkbMultiLineString;
        case ShapeKind::Polygon:
            return wkbPolygon;
        case ShapeKind::Point:
            break;
    }
    return wkbPoint;
}

std::unique_ptr<OGRGeometry> geometry_of(const Row& row, ShapeKind kind)
{
    if (row.shape.empty() || row.shape.front().empty()) {
        return nullptr;
    }
    if (kind == ShapeKind::Point) {
        const auto at = row.shape.front().front();
        return std::make_unique<OGRPoint>(at.lon.value(), at.lat.value());
    }
    if (kind == ShapeKind::Line) {
        auto all = std::make_unique<OGRMultiLineString>();
        for (const auto& part : row.shape) {
            auto line = std::make_unique<OGRLineString>();
            for (const auto& at : part) {
                line->addPoint(at.lon.value(), at.lat.value());
            }
            all->addGeometryDirectly(line.release());
        }
        return all;
    }
    auto polygon = std::make_unique<OGRPolygon>();
    for (const auto& part : row.shape) {
        auto ring = std::make_unique<OGRLinearRing>();
        for (const auto& at : part) {
            ring->addPoint(at.lon.value(), at.lat.value());
        }
        polygon->addRingDirectly(ring.release());
    }
    return polygon;
}

struct SetCell {
    OGRFeature& feature;
    int field;

    void operator()(std::monostate) const { feature.SetFieldNull(field); }
    void operator()(std::int64_t value) const { feature.SetField(field, GIntBig{value}); }
    void operator()(double value) const { feature.SetField(field, value); }
    void operator()(const std::string& value) const { feature.SetField(field, value.c_str()); }
    void operator()(Day day) const
    {
        const std::chrono::year_month_day date{day};
        feature.SetField(field, static_cast<int>(date.year()),
                         static_cast<int>(static_cast<unsigned>(date.month())),
                         static_cast<int>(static_cast<unsigned>(date.day())));
    }
    void operator()(ClockTime time) const
    {
        // GDAL's times end with the day; work past midnight is shown by its clock.
        const auto all = static_cast<int>(time.since_midnight().count()) % 86'400;
        feature.SetField(field, 0, 0, 0, all / 3600, all / 60 % 60, static_cast<float>(all % 60));
    }
    void operator()(bool value) const { feature.SetField(field, value ? 1 : 0); }
};

/// Rules that the book can apply, out of a filter's tree; the rest is left to GDAL, which tests
/// every feature again.
void push_down(const swq_expr_node* node, const std::vector<std::string>& fields,
               book::NestFilter& filter)
{
    if (node == nullptr || node->eNodeType != SNT_OPERATION) {
        return;
    }
    if (node->nOperation == SWQ_AND && node->nSubExprCount == 2) {
        push_down(node->papoSubExpr[0], fields, filter);
        push_down(node->papoSubExpr[1], fields, filter);
        return;
    }
    if (node->nSubExprCount != 2 || node->papoSubExpr[0]->eNodeType != SNT_COLUMN ||
        node->papoSubExpr[1]->eNodeType != SNT_CONSTANT) {
        return;
    }
    const int index = node->papoSubExpr[0]->field_index;
    if (index < 0 || static_cast<std::size_t>(index) >= fields.size()) {
        return;
    }
    const auto* value = node->papoSubExpr[1];
    if (value->is_null != 0) {
        return;
    }
    if (fields[static_cast<std::size_t>(index)] == "taxon" && node->nOperation == SWQ_EQ &&
        value->field_type == SWQ_STRING && value->string_value != nullptr) {
        // GDAL compares words without regard to case, the book with it: codes are capitals.
        std::string code = value->string_value;
        for (char& letter : code) {
            letter = static_cast<char>(std::toupper(static_cast<unsigned char>(letter)));
        }
        filter.taxon = code;
    }
    if (fields[static_cast<std::size_t>(index)] == "season" &&
        (value->field_type == SWQ_INTEGER || value->field_type == SWQ_INTEGER64) &&
        std::abs(value->int_value) < 100'000) {
        const int year = static_cast<int>(value->int_value);
        switch (node->nOperation) {
            case SWQ_EQ:
                filter.first_season = year;
                filter.last_season = year;
                break;
            case SWQ_GE:
                filter.first_season = year;
                break;
            case SWQ_GT:
                filter.first_season = year + 1;
                break;
            case SWQ_LE:
                filter.last_season = year;
                break;
            case SWQ_LT:
                filter.last_season = year - 1;
                break;
            default:
                break;
        }
    }
}

}  // namespace

Layer::Layer(std::shared_ptr<app::LiveView> view, const std::string& name, const std::string& title,
             ShapeKind shape, std::vector<Column> columns)
    : view_{std::move(view)},
      definition_{new OGRFeatureDefn{name.c_str()}},
      system_{new OGRSpatialReference},
      columns_{std::move(columns)},
      shape_{shape}
{
    SetDescription(name.c_str());
    SetMetadataItem("IDENTIFIER", title.c_str());
    SetMetadataItem("ON", format_day(view_->on()).c_str());
    system_->importFromEPSG(4326);
    system_->SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    definition_->Reference();
    definition_->SetGeomType(geometry_type(shape));
    definition_->GetGeomFieldDefn(0)->SetSpatialRef(system_);
    definition_->GetGeomFieldDefn(0)->SetName("geom");
    for (const auto& column : columns_) {
        OGRFieldDefn field{column.name.c_str(), field_type(column.type)};
        if (column.type == ColumnType::Flag) {
            field.SetSubType(OFSTBoolean);
        }
        field.SetAlternativeName(column.title.c_str());
        if (!column.domain.empty()) {
            field.SetDomainName(column.domain);
        }
        definition_->AddFieldDefn(&field);
    }
}

Layer::~Layer()
{
    definition_->Release();
    system_->Release();
}

bool Layer::unfiltered() const { return m_poFilterGeom == nullptr && m_poAttrQuery == nullptr; }

int Layer::TestCapability(const char* word) NESTROUND_GDAL_CONST
{
    return EQUAL(word, OLCStringsAsUTF8) || EQUAL(word, OLCRandomRead) ||
           EQUAL(word, OLCFastGetExtent) || EQUAL(word, OLCFastSpatialFilter) ||
           (EQUAL(word, OLCFastFeatureCount) && unfiltered());
}

OGRFeature* Layer::feature_of(const Row& row, GIntBig number) const
{
    auto feature = std::make_unique<OGRFeature>(definition_);
    feature->SetFID(number);
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
        std::visit(SetCell{*feature, static_cast<int>(i)}, row.cells[i]);
    }
    if (auto geometry = geometry_of(row, shape_)) {
        geometry->assignSpatialReference(system_);
        feature->SetGeometryDirectly(geometry.release());
    }
    if (!row.style.empty()) {
        feature->SetStyleString(row.style.c_str());
    }
    return feature.release();
}

TableLayer::TableLayer(std::shared_ptr<app::LiveView> view, Table table)
    : Layer{std::move(view), table.name, table.title, table.shape, table.columns},
      table_{std::move(table)}
{
}

const std::vector<Row>& TableLayer::rows()
{
    if (!rows_) {
        rows_ = guarded(std::vector<Row>{}, [this] { return table_.rows(*view_); });
    }
    return *rows_;
}

OGRFeature* TableLayer::GetNextRawFeature()
{
    const auto& all = rows();
    if (next_ >= all.size()) {
        return nullptr;
    }
    const auto at = next_++;
    return feature_of(all[at], static_cast<GIntBig>(at + 1));
}

OGRFeature* TableLayer::GetFeature(GIntBig number)
{
    const auto& all = rows();
    return number >= 1 && static_cast<std::size_t>(number) <= all.size()
               ? feature_of(all[static_cast<std::size_t>(number - 1)], number)
               : nullptr;
}

GIntBig TableLayer::GetFeatureCount(int force)
{
    return unfiltered() ? static_cast<GIntBig>(rows().size()) : OGRLayer::GetFeatureCount(force);
}

OGRErr TableLayer::extent_of(OGREnvelope* extent)
{
    *extent = {};
    for (const auto& row : rows()) {
        for (const auto& part : row.shape) {
            for (const auto& at : part) {
                extent->Merge(at.lon.value(), at.lat.value());
            }
        }
    }
    return extent->IsInit() ? OGRERR_NONE : OGRERR_FAILURE;
}

NestLayer::NestLayer(std::shared_ptr<app::LiveView> view)
    : Layer{std::move(view), "nests", "Nests of all seasons and what became of them",
            ShapeKind::Point, nest_columns()}
{
}

void NestLayer::ResetReading()
{
    numbers_.reset();
    next_ = 0;
}

OGRErr NestLayer::SetAttributeFilter(const char* query)
{
    ResetReading();
    return OGRLayer::SetAttributeFilter(query);
}

book::NestFilter NestLayer::filter() const
{
    book::NestFilter filter;
    if (m_poFilterGeom != nullptr) {
        filter.window = {m_sFilterEnvelope.MinX, m_sFilterEnvelope.MinY, m_sFilterEnvelope.MaxX,
                         m_sFilterEnvelope.MaxY};
    }
    if (m_poAttrQuery != nullptr) {
        std::vector<std::string> fields;
        for (const auto& column : nest_columns()) {
            fields.push_back(column.name);
        }
        push_down(static_cast<swq_expr_node*>(m_poAttrQuery->GetSWQExpr()), fields, filter);
    }
    return filter;
}

OGRFeature* NestLayer::GetNextRawFeature()
{
    return guarded<OGRFeature*>(nullptr, [this]() -> OGRFeature* {
        if (!numbers_) {
            numbers_ = view_->book().nest_numbers(filter());
        }
        while (next_ < numbers_->size()) {
            const auto number = (*numbers_)[next_++];
            // One that another process took out in the meantime is passed over.
            if (const auto row = view_->book().nest_row(number)) {
                return feature_of(nest_row(*row), number);
            }
        }
        return nullptr;
    });
}

OGRFeature* NestLayer::GetFeature(GIntBig number)
{
    return guarded<OGRFeature*>(nullptr, [&]() -> OGRFeature* {
        const auto row = view_->book().nest_row(number);
        return row ? feature_of(nest_row(*row), number) : nullptr;
    });
}

GIntBig NestLayer::GetFeatureCount(int force)
{
    if (!unfiltered()) {
        return OGRLayer::GetFeatureCount(force);
    }
    return guarded(GIntBig{0}, [this] { return GIntBig{view_->book().nest_count()}; });
}

OGRErr NestLayer::extent_of(OGREnvelope* extent)
{
    return guarded(OGRErr{OGRERR_FAILURE}, [&] {
        const auto window = view_->book().extent();
        if (!window) {
            return OGRErr{OGRERR_FAILURE};
        }
        extent->MinX = window->west;
        extent->MinY = window->south;
        extent->MaxX = window->east;
        extent->MaxY = window->north;
        return OGRErr{OGRERR_NONE};
    });
}

}  // namespace nestround::driver
