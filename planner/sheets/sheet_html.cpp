#include "planner/sheets/sheet_html.hpp"

#include <fmt/format.h>

#include <string_view>

#include "planner/sheets/access_scenes.hpp"
#include "planner/sheets/map_drawing.hpp"
#include "planner/sheets/morning_gpx.hpp"

namespace nestround::sheets {

namespace {

constexpr std::string_view kStyle = R"(
*{box-sizing:border-box}
body{margin:0 auto;max-width:46rem;padding:.6rem;font:1.06rem/1.4 "DejaVu Sans",Verdana,sans-serif;color:#000;background:#fff;overflow-wrap:anywhere}
h1{font-size:1.6rem;margin:.2rem 0}h2{font-size:1.3rem;margin:1rem 0 .3rem;border-top:.2rem solid #000;padding-top:.3rem}
h3{font-size:1.08rem;margin:.9rem 0 .2rem;border-top:1px solid #000;padding-top:.2rem}
p{margin:.2rem 0}img{display:block;width:100%;height:auto;border:1px solid #000;margin:.4rem 0}
ul,ol{margin:.2rem 0;padding-left:1.5rem}ul.tick{list-style:none;padding-left:0}ul.tick label{display:block;padding:.15rem 0 .15rem 2rem;text-indent:-2rem}
ul.tick input{width:1.3rem;height:1.3rem;margin:0 .6rem 0 0;vertical-align:-.2rem}
.mark{background:#000;color:#fff;padding:0 .4rem;font-weight:bold}
.row{border-bottom:1px solid #000;padding:.3rem 0}.row a{color:#000}.time{font-weight:bold;white-space:nowrap}
dl{margin:.2rem 0}dt{font-weight:bold;margin-top:.3rem}dd{margin:0}
.boxes{display:grid;grid-template-columns:1fr 1fr;gap:.4rem}.boxes div{border:2px solid #000;min-height:3.4rem;padding:.1rem .3rem;font-weight:bold;display:flex;justify-content:space-between}
.boxes span{align-self:flex-end;font-weight:normal}.slot{border:2px dashed #000;min-height:9rem;padding:.2rem .4rem;margin:.4rem 0}
.warn{font-weight:bold;border:.2rem solid #000;padding:.3rem .5rem}
.foot{border-top:.2rem solid #000;font-weight:bold;margin-top:.8rem;padding-top:.3rem}
@media print{body{max-width:none;font-size:10.5pt}.page{break-before:page}.page:first-child{break-before:auto}img.map{max-height:105mm;width:auto}img.drawing{max-height:80mm;width:auto}h3,.row,li{break-inside:avoid}}
)";

std::string base64(std::string_view bytes)
{
    static constexpr std::string_view kLetters =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string out;
    out.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t k = 0; k < bytes.size(); k += 3) {
        std::uint32_t three = 0;
        for (std::size_t j = 0; j < 3; ++j) {
            three = three << 8U |
                    (k + j < bytes.size() ? static_cast<unsigned char>(bytes[k + j]) : 0U);
        }
        for (std::size_t j = 0; j < 4; ++j) {
            out += k + j <= bytes.size() ? kLetters[three >> (18 - 6 * j) & 63U] : '=';
        }
    }
    return out;
}

std::string picture(const std::string& bytes, std::string_view type, std::string_view kind,
                    const std::string& words)
{
    return fmt::format("<img class=\"{}\" alt=\"{}\" src=\"data:image/{};base64,{}\"/>\n", kind,
                       xml_text(words), type, base64(bytes));
}

std::string map_picture(const day::DayPlan& plan, const MapRoads& roads)
{
    const PageBox box = html_map_box();
    // Thousands of roads: as dots a tenth of what their lines would take.
    Canvas canvas{MapFormat::Png, box.width, box.height, 220};
    canvas.rectangle(box);
    canvas.fill({0xffffff, 1});
    draw_map(canvas, box, plan, roads);
    return canvas.finish();
}

std::string scene_picture(const SceneContent& scene, UnitStyle units)
{
    constexpr double kWidth = 104;
    constexpr double kHeight = 108;
    Canvas canvas{MapFormat::Svg, kWidth, kHeight, 72};
    canvas.rectangle({0, 0, kWidth, kHeight});
    canvas.fill({0xffffff, 1});
    draw_scenes(canvas, {scene}, {3, 2, kWidth - 6, kHeight - 4}, units);
    return canvas.finish();
}

class Html {
public:
    Html(const DaySheet& sheet, const day::DayPlan& plan, const MapRoads& roads)
        : sheet_{sheet}, map_{map_picture(plan, roads)}
    {
    }

    std::string take()
    {
        out_ += fmt::format(
            "<!DOCTYPE html>\n<html xmlns=\"http://www.w3.org/1999/xhtml\" "
            "lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n<meta "
            "name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>Morning "
            "sheet, {}</title>\n<style>{}</style>\n</head>\n<body>\n",
            xml_text(sheet_.title), kStyle);
        for (const CrewSheet& crew : sheet_.crews) {
            day_of(crew);
            for (const StopSheet& stop : crew.stops) {
                stop_of(stop);
            }
        }
        if (sheet_.crews.empty()) {
            day_of({"", "", "No crew goes out.", {}, {}, {}});
        }
        out_ += "</body>\n</html>\n";
        return std::move(out_);
    }

private:
    void day_of(const CrewSheet& crew)
    {
        out_ += fmt::format(
            "<div class=\"page\">\n<h1>{}</h1>\n<p>{}</p>\n<p><b>{} {}</b></p>\n<p>{}</p>\n",
            xml_text(sheet_.title), xml_text(sheet_.region), crew.letter, xml_text(crew.name),
            xml_text(crew.summary));
        out_ += picture(map_, "png", "map",
                        "Map of the day with the tours and the numbers of the stops");
        if (!crew.rows.empty()) {
            out_ += "<h2>Times</h2>\n";
        }
        for (const SheetRow& row : crew.rows) {
            const std::string place = xml_text(row.place);
            out_ += fmt::format(
                "<div class=\"row\">{} <span class=\"time\">{}{}</span> <b>{}</b><br/>{}</div>\n",
                row.mark.empty() ? "" : fmt::format("<span class=\"mark\">{}</span>", row.mark),
                row.arrive, row.leave.empty() ? "" : " to " + row.leave,
                row.mark.empty() ? place
                                 : fmt::format("<a href=\"#stop-{}\">{}</a>", row.mark, place),
                xml_text(row.more));
        }
        list("h2", "Load", crew.load, true);
        list("h2", "Mind today", sheet_.mind, false);
        foot();
    }

    void stop_of(const StopSheet& stop)
    {
        out_ += fmt::format(
            "<div class=\"page\" id=\"stop-{0}\">\n<h1><span class=\"mark\">{0}</span> "
            "{1}</h1>\n<p><b>arrive "
            "{2}, leave {3}</b>; call {4}{5}</p>\n<dl>\n",
            stop.mark, xml_text(stop.place), stop.arrive, stop.leave, xml_text(stop.key),
            stop.promised ? ", promised" : "");
        for (const SheetFact& fact : stop.facts) {
            out_ += fmt::format("<dt>{}</dt><dd>{}</dd>\n", fact.name, xml_text(fact.words));
        }
        out_ += "</dl>\n<div class=\"slot\">picture or sketch of the spot</div>\n";
        if (stop.drawing.plan.place.height) {
            for (const SceneContent& scene : scenes_of(stop.drawing)) {
                out_ += picture(scene_picture(scene, sheet_.units), "svg+xml", "drawing",
                                "Set-up from the side: " + scene.title);
            }
        } else {
            out_ +=
                "<p class=\"warn\">No drawing: the height of the nest is not in the book. "
                "Measure it from the ground before any pole or ladder is raised.</p>\n";
        }
        list("h2", "Mind here", stop.mind, false);
        steps(stop);
        list("h3", "Clean up", stop.clean_up, true);
        list("h3", "Tell the client", stop.tell_client, true);
        out_ += "<h3>Write down</h3>\n<div class=\"boxes\">\n";
        for (const SheetBox& box : boxes_to_fill()) {
            out_ += fmt::format("<div>{}<span>{}</span></div>\n", box.name, box.unit);
        }
        out_ += "</div>\n";
        foot();
    }

    void steps(const StopSheet& stop)
    {
        out_ += "<h2>In this order</h2>\n<ol>\n";
        for (const SheetStep& step : stop.steps) {
            out_ += fmt::format("<li><b>{}{}</b>", xml_text(step.title),
                                step.time.empty() ? "" : ": " + step.time);
            for (const std::string& words : step.words) {
                out_ += "<br/>" + xml_text(words);
            }
            out_ += "</li>\n";
        }
        out_ += "</ol>\n";
    }

    void list(std::string_view level, std::string_view title, const std::vector<std::string>& words,
              bool ticked)
    {
        if (words.empty()) {
            return;
        }
        out_ +=
            fmt::format("<{0}>{1}</{0}>\n<ul{2}>\n", level, title, ticked ? " class=\"tick\"" : "");
        for (const std::string& each : words) {
            out_ += ticked ? fmt::format("<li><label><input type=\"checkbox\"/>{}</label></li>\n",
                                         xml_text(each))
                           : fmt::format("<li>{}</li>\n", xml_text(each));
        }
        out_ += "</ul>\n";
    }

    void foot()
    {
        out_ += fmt::format("<p class=\"foot\">{}</p>\n", sheet_caution());
        if (!sheet_.attribution.empty()) {
            out_ += fmt::format("<p>Roads: {}</p>\n", xml_text(sheet_.attribution));
        }
        out_ += "</div>\n";
    }

    const DaySheet& sheet_;
    std::string map_;
    std::string out_;
};

}  // namespace

PageBox html_map_box() { return {0, 0, 112, 112}; }

std::string sheet_html(const DaySheet& sheet, const day::DayPlan& plan, const MapRoads& roads)
{
    return Html{sheet, plan, roads}.take();
}

}  // namespace nestround::sheets
