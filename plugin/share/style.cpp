#include "plugin/share/style.hpp"

#include <fmt/format.h>

#include <array>

namespace nestround::share {

namespace {

/// A genus by the first word of a scientific name; the last one is for all others.
struct PointClass {
    const char* genus;
    const char* title;
    const char* colour;
    const char* shape;  ///< well-known name of SE
    const char* qgis;   ///< the same shape there
};
// A cross has no inside: one program strokes it, another fills it, so both get the outline's
// colour.
constexpr std::array kPoints{
    PointClass{"Vespula", "Vespula", "#e0b030", "circle", "circle"},
    PointClass{"Dolichovespula", "Dolichovespula", "#3b3b3b", "square", "square"},
    PointClass{"Vespa", "Vespa", "#9c4a1a", "triangle", "triangle"},
    PointClass{"Polistes", "Polistes", "#2f7f86", "star", "star"},
    PointClass{"", "of another or unknown genus", "#1e1e1e", "cross", "cross"},
};

/// A count from `from` up to below `below`; 0: no end.
struct CountClass {
    int from;
    int below;
    const char* colour;
};
constexpr std::array kCounts{CountClass{0, 10, "#f0e6c8"}, CountClass{10, 20, "#dcbf72"},
                             CountClass{20, 50, "#b07a2a"}, CountClass{50, 0, "#5d3a12"}};

std::string count_title(const CountClass& one)
{
    return one.below == 0  ? fmt::format("{} and more", one.from)
           : one.from == 0 ? fmt::format("below {}", one.below)
                           : fmt::format("{} to {}", one.from, one.below - 1);
}

std::string sld(const char* layer, const char* title, const std::string& rules)
{
    return fmt::format(
        R"(<?xml version="1.0" encoding="UTF-8"?>
<StyledLayerDescriptor xmlns="http://www.opengis.net/sld" xmlns:se="http://www.opengis.net/se" xmlns:ogc="http://www.opengis.net/ogc" version="1.1.0">
  <NamedLayer>
    <se:Name>{0}</se:Name>
    <UserStyle>
      <se:Name>{0}</se:Name>
      <se:FeatureTypeStyle>
        <se:Description><se:Title>{1}</se:Title></se:Description>
{2}      </se:FeatureTypeStyle>
    </UserStyle>
  </NamedLayer>
</StyledLayerDescriptor>
)",
        layer, title, rules);
}

/// The names of a taxon begin with its genus and a space, or are the genus alone.
std::string like(const char* genus)
{
    return fmt::format(
        "<ogc:PropertyIsLike wildCard=\"%\" singleChar=\"_\" escapeChar=\"\\\">"
        "<ogc:PropertyName>taxon</ogc:PropertyName><ogc:Literal>{} %</ogc:Literal>"
        "</ogc:PropertyIsLike>",
        genus);
}

std::string qml(const char* renderer_attributes, const std::string& rules,
                const std::string& symbols)
{
    return fmt::format(
        "<!DOCTYPE qgis PUBLIC 'http://mrcc.com/qgis.dtd' 'SYSTEM'>\n"
        "<qgis version=\"3.22\" styleCategories=\"Symbology\">\n"
        " <renderer-v2 {}>\n  <rules key=\"all\">\n{}  </rules>\n  <symbols>\n{}  </symbols>\n"
        " </renderer-v2>\n</qgis>\n",
        renderer_attributes, rules, symbols);
}

constexpr const char* kRuleRenderer =
    "type=\"RuleRenderer\" symbollevels=\"0\" forceraster=\"0\" enableorderby=\"0\"";

}  // namespace

std::string nests_sld()
{
    std::string rules;
    std::string others;
    for (const auto& one : kPoints) {
        const bool last = one.genus[0] == '\0';
        // Each denied by itself: one reader knows no denial around the whole.
        const auto filter = last ? fmt::format("<ogc:And>{}</ogc:And>", others) : like(one.genus);
        others += last ? std::string{} : "<ogc:Not>" + like(one.genus) + "</ogc:Not>";
        rules += fmt::format(
            R"(        <se:Rule>
          <se:Name>{0}</se:Name>
          <se:Description><se:Title>{0}</se:Title></se:Description>
          <ogc:Filter>{1}</ogc:Filter>
          <se:PointSymbolizer>
            <se:Graphic>
              <se:Mark>
                <se:WellKnownName>{2}</se:WellKnownName>
                <se:Fill><se:SvgParameter name="fill">{3}</se:SvgParameter></se:Fill>
                <se:Stroke><se:SvgParameter name="stroke">#1e1e1e</se:SvgParameter><se:SvgParameter name="stroke-width">0.8</se:SvgParameter></se:Stroke>
              </se:Mark>
              <se:Size>10</se:Size>
            </se:Graphic>
          </se:PointSymbolizer>
        </se:Rule>
)",
            one.title, filter, one.shape, one.colour);
    }
    return sld("nests", "Nests by genus", rules);
}

std::string nests_qml()
{
    std::string rules;
    std::string symbols;
    int number = 0;
    for (const auto& one : kPoints) {
        const bool last = one.genus[0] == '\0';
        const auto filter =
            last ? std::string{"ELSE"} : fmt::format("&quot;taxon&quot; LIKE '{} %'", one.genus);
        rules += fmt::format("   <rule key=\"{0}\" symbol=\"{0}\" label=\"{1}\" filter=\"{2}\"/>\n",
                             number, one.title, filter);
        symbols += fmt::format(
            "   <symbol type=\"marker\" name=\"{}\" alpha=\"1\" clip_to_extent=\"1\">\n"
            "    <layer class=\"SimpleMarker\" enabled=\"1\" pass=\"0\" locked=\"0\">\n"
            "     <prop k=\"name\" v=\"{}\"/><prop k=\"color\" v=\"{}\"/>"
            "<prop k=\"outline_color\" v=\"#1e1e1e\"/><prop k=\"outline_width\" v=\"0.8\"/>"
            "<prop k=\"outline_width_unit\" v=\"Pixel\"/><prop k=\"size\" v=\"10\"/>"
            "<prop k=\"size_unit\" v=\"Pixel\"/>\n    </layer>\n   </symbol>\n",
            number, one.qgis, one.colour);
        ++number;
    }
    return qml(kRuleRenderer, rules, symbols);
}

std::string counts_sld()
{
    std::string rules;
    for (const auto& one : kCounts) {
        std::string filter = fmt::format(
            "<ogc:PropertyIsGreaterThanOrEqualTo><ogc:PropertyName>nests</ogc:PropertyName>"
            "<ogc:Literal>{}</ogc:Literal></ogc:PropertyIsGreaterThanOrEqualTo>",
            one.from);
        if (one.below > 0) {
            filter = fmt::format(
                "<ogc:And>{}<ogc:PropertyIsLessThan><ogc:PropertyName>nests</ogc:PropertyName>"
                "<ogc:Literal>{}</ogc:Literal></ogc:PropertyIsLessThan></ogc:And>",
                filter, one.below);
        }
        rules += fmt::format(
            R"(        <se:Rule>
          <se:Name>{0}</se:Name>
          <se:Description><se:Title>{0}</se:Title></se:Description>
          <ogc:Filter>{1}</ogc:Filter>
          <se:PolygonSymbolizer>
            <se:Fill><se:SvgParameter name="fill">{2}</se:SvgParameter></se:Fill>
            <se:Stroke><se:SvgParameter name="stroke">#1e1e1e</se:SvgParameter><se:SvgParameter name="stroke-width">0.5</se:SvgParameter></se:Stroke>
          </se:PolygonSymbolizer>
        </se:Rule>
)",
            count_title(one), filter, one.colour);
    }
    return sld("nest_counts", "Nests in a square", rules);
}

std::string counts_qml()
{
    std::string rules;
    std::string symbols;
    int number = 0;
    for (const auto& one : kCounts) {
        auto filter = fmt::format("&quot;nests&quot; >= {}", one.from);
        filter += one.below > 0 ? fmt::format(" AND &quot;nests&quot; &lt; {}", one.below)
                                : std::string{};
        rules += fmt::format("   <rule key=\"{0}\" symbol=\"{0}\" label=\"{1}\" filter=\"{2}\"/>\n",
                             number, count_title(one), filter);
        symbols += fmt::format(
            "   <symbol type=\"fill\" name=\"{}\" alpha=\"1\" clip_to_extent=\"1\">\n"
            "    <layer class=\"SimpleFill\" enabled=\"1\" pass=\"0\" locked=\"0\">\n"
            "     <prop k=\"color\" v=\"{}\"/><prop k=\"style\" v=\"solid\"/>"
            "<prop k=\"outline_color\" v=\"#1e1e1e\"/><prop k=\"outline_width\" v=\"0.5\"/>"
            "<prop k=\"outline_width_unit\" v=\"Pixel\"/>\n    </layer>\n   </symbol>\n",
            number, one.colour);
        ++number;
    }
    return qml(kRuleRenderer, rules, symbols);
}

}  // namespace nestround::share
